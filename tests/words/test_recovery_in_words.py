"""What is said of a recovery: complete sentences, the person's units, no false certainty."""

import re

import pytest

from benchmeter.cooling.recovery import (
    Estimate,
    FitFailure,
    Phase,
    Recovery,
    RiseJudgement,
    StepFit,
)
from benchmeter.errors import Message
from benchmeter.words.presentation import PLAIN, Presentation
from benchmeter.words.recovery_words import judgement_words, phase_words

MINUTE = 60_000_000_000
FIT = StepFit(
    initial=Estimate(295.15, 295.0, 295.3),
    final=Estimate(307.35, 306.75, 307.95),
    time_constant_s=Estimate(180, 170, 190),
    residual=0.1,
    count=200,
)


def recovery(
    phase: Phase,
    *,
    fit: StepFit | None = None,
    failure: FitFailure | None = None,
    settled: Estimate | None = None,
    left: Estimate | None = None,
    rise: Estimate | None = None,
    judgement: RiseJudgement = RiseJudgement.NOT_YET,
    stops: int = 0,
    settled_ns: int | None = None,
    minutes: int = 7,
    power: bool = True,
    discharge: float | None = 300.0,
) -> Recovery:
    return Recovery(
        time_ns=minutes * MINUTE + 5, phase=phase, power_ns=0 if power else None, start_ns=None,
        fit=fit, fit_failure=failure, settled_k=settled, time_left_s=left, discharge_k=discharge,
        outdoor_k=295.15, rise_k=rise, judgement=judgement, stops=stops,
        settled_ns=settled_ns,
    )  # fmt: skip


def settled(**more) -> Recovery:
    return recovery(Phase.SETTLED, fit=FIT, settled=FIT.final, **more)


@pytest.mark.parametrize(
    ("state", "said"),
    [
        # 3 to 5 min of restart delay: common practice, no source
        (recovery(Phase.HELD_OFF), ["3 to 5 minutes", "no fault yet"]),
        (recovery(Phase.NO_START), ["7 minutes", "capacitor"]),
        (
            recovery(Phase.STOPPED, stops=3, minutes=51),
            ["Stopped 3 times in about 51", "not recovered"],
        ),
        (recovery(Phase.SETTLED, stops=3), ["not recovered"]),
        (recovery(Phase.RISING), ["has risen", "amps", "ten minutes"]),
        (recovery(Phase.SETTLED), ["sways too much"]),
        (settled(stops=1, settled_ns=0), ["Held still for about 17", "stopped once"]),
        (recovery(Phase.NO_START, minutes=1), ["No rise 1 minute after"]),
        (recovery(Phase.RISING, failure=FitFailure.TOO_SHORT), ["Too early"]),
        (recovery(Phase.RISING, failure=FitFailure.NOT_CONVERGED), ["no forecast"]),
        *(
            (settled(rise=Estimate(8.3, 7.9, 8.7), judgement=judgement), [words])
            for judgement, words in (
                (RiseJudgement.TOO_SMALL, "less than usual of a split"),
                (RiseJudgement.TOO_LARGE, "more than usual of a split"),
                (RiseJudgement.CLOSE, "closer to a limit than can be told"),
                (RiseJudgement.NO_OUTDOOR, "cannot be judged"),
            )
        ),
    ],
)
def test_what_stands_and_what_to_do_is_said(state: Recovery, said: list[str]) -> None:
    words = phase_words(state, PLAIN)
    assert all(each in words for each in said)
    if state.settled_k is None and state.phase is Phase.RISING:
        assert not re.search(r"\d", words)  # no forecast is invented


def test_what_is_said_is_all_that_is_said() -> None:
    early = phase_words(recovery(Phase.RISING, failure=FitFailure.TOO_SHORT), PLAIN)
    assert early == "Rising. Too early to say where it settles."
    gone = phase_words(recovery(Phase.SETTLED, settled=FIT.final, discharge=None), PLAIN)
    assert gone.endswith("No readings now.")


# 307.35 K = 34.2 °C = 93.56 °F; ± 0.6 K = ± 1.08 °F, in two digits 1.1 (NIST SP 811, B.8).
@pytest.mark.parametrize(
    "unit, sign, words",
    [
        ("°C", ".", "Rising. Settles at about 34.2 °C ± 0.6 in about 6 min."),
        ("°C", ",", "Rising. Settles at about 34,2 °C ± 0,6 in about 6 min."),
        ("°F", ".", "Rising. Settles at about 93.6 °F ± 1.1 in about 6 min."),
    ],
)
def test_rising(unit: str, sign: str, words: str) -> None:
    state = recovery(Phase.RISING, fit=FIT, settled=FIT.final, left=Estimate(362, 300, 420))
    assert phase_words(state, Presentation("english", sign, unit)) == words


# 15 to 30 °F = 8.3 to 16.7 °C of difference (common practice, no source); 12.9 K = 23.2 °F.
@pytest.mark.parametrize(
    "unit, over, usual",
    [
        ("°C", "12.9 °C over outdoor air", "8 to 17 °C"),
        ("°F", "23.2 °F over outdoor air", "15 to 30 °F"),
    ],
)
def test_a_settled_rise_is_told_beside_what_is_usual(unit: str, over: str, usual: str) -> None:
    state = settled(rise=Estimate(12.9, 12.2, 13.6), judgement=RiseJudgement.USUAL)
    words = phase_words(state, Presentation(temperature_unit=unit))
    assert words.startswith("Settled at ")
    assert f"{over}; usual of a split air conditioner is {usual} (common practice)." in words


def test_nothing_is_judged_before_it_has_settled() -> None:
    state = recovery(Phase.RISING, fit=FIT, settled=FIT.final, rise=Estimate(12.9, 12, 14))
    assert judgement_words(state, PLAIN) == ""
    assert "usual" not in phase_words(state, PLAIN)


@pytest.mark.parametrize("phase", Phase)
@pytest.mark.parametrize("power", [True, False])
def test_each_phase_has_whole_sentences(phase: Phase, power: bool) -> None:
    words = phase_words(recovery(phase, power=power), PLAIN)
    assert words[0].isupper() and words.endswith(".")


@pytest.mark.parametrize("failure", FitFailure)
def test_each_failure_says_what_and_what_to_do(failure: FitFailure) -> None:
    told = PLAIN.tell(Message(f"recovery.failure_{failure.name.lower()}"))
    assert told.text.endswith(".") and told.advice.endswith(".")
