"""Verdicts in words: every word, reason and step has some; numbers to sensible digits."""

import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmeter.conformity.judgement import judge_measurement, without_value
from benchmeter.conformity.verdict import (
    Accuracy,
    Measurement,
    MeasurementVerdict,
    Reason,
    Rule,
    Verdict,
)
from benchmeter.parts.nameplate.label import parse_label
from benchmeter.quantities.quantity import Quantity
from benchmeter.words.verdicts import (
    probability_words,
    reading_words,
    verdict_in_words,
    verdict_word,
    why,
)

UF = Decimal("1e-6")


def judged(
    label: str, y: str, u: float | None = None, rule: Rule = Rule.GUARDED, resolution: str = "0.01"
) -> MeasurementVerdict:
    accuracy = (
        None if u is None else Accuracy(Decimal(0), Decimal(1), Decimal(u * math.sqrt(3)) * UF, "")
    )
    return judge_measurement(
        parse_label(label).sections[0],
        [Decimal(y) * UF],
        resolution_si=Decimal(resolution) * UF,
        accuracy=accuracy,
        rule=rule,
    )


def test_the_words_of_the_command_line():
    """design: these words are what scripts rely on."""
    assert [verdict_word(w) for w in Verdict] == [
        "pass", "conditional pass", "conditional fail", "fail", "undecidable", "measured", "open", "shorted", "no reading",
    ]  # fmt: skip


def test_every_verdict_is_said_in_the_technicians_words():
    assert len({verdict_in_words(w) for w in Verdict}) == len(Verdict)
    assert (
        verdict_in_words(Verdict.CONDITIONAL_PASS) == "Good, but closer than this meter can tell."
    )
    assert all(verdict_in_words(w).endswith(".") for w in Verdict)


@pytest.mark.parametrize("reason", Reason)
def test_every_reason_without_a_value_is_a_sentence(reason):
    said = why(without_value(parse_label("45 µF ±6 %").sections[0], reason))
    assert said[0].isupper() and said.endswith(".")


@pytest.mark.parametrize(
    ("y", "u", "rule", "says"),
    [
        ("45", 0.425, Rule.GUARDED, "45.00 ±0.85 µF is inside 42.3 to 47.7 µF."),
        (
            "42.8",
            0.425,
            Rule.GUARDED,
            "42.80 µF is inside 42.3 to 47.7 µF, but within the meter's ±0.85 µF of 42.3 µF.",
        ),
        (
            "47.3",
            0.425,
            Rule.GUARDED,
            "47.30 µF is inside 42.3 to 47.7 µF, but within the meter's ±0.85 µF of 47.7 µF.",
        ),
        (
            "42.0",
            0.425,
            Rule.GUARDED,
            "42.00 µF is outside 42.3 to 47.7 µF, but by no more than the meter's ±0.85 µF.",
        ),
        ("41.0", 0.425, Rule.GUARDED, "41.00 ±0.85 µF is below the limit of 42.3 µF."),
        ("49.0", 0.425, Rule.GUARDED, "49.00 ±0.85 µF is above the limit of 47.7 µF."),
        (
            "42.3",
            None,
            Rule.GUARDED,
            "42.30 µF is inside 42.3 to 47.7 µF; the meter's accuracy is not known.",
        ),
        (
            "42.29",
            None,
            Rule.GUARDED,
            "42.29 µF is below the limit of 42.3 µF; the meter's accuracy is not known.",
        ),
        ("0.02", None, Rule.GUARDED, "0.02 µF is no more than 1 % of 45 µF: open."),
    ],
)
def test_the_reason_has_its_numbers(y, u, rule, says):
    """Digits: two of the uncertainty (JCGM 100 cl. 7.2.6), otherwise those of the meter."""
    assert why(judged("45 µF ±6 %", y, u, rule)) == says


def test_a_meter_too_coarse_is_told_what_could_decide():
    """a of the needed meter: (5.3 - 4.7)/4·√3 = 0.2598 (CALC), rounded down so that it suffices."""
    said = why(judged("5 µF ±6 %", "5", 0.26))
    assert said == (
        "5.00 ±0.52 µF: the limits 4.7 to 5.3 µF are closer together than that; "
        "a meter good for ±0.25 µF or better could decide."
    )


@given(st.integers(40_000, 50_000), st.floats(0.01, 5), st.booleans())
def test_the_reading_is_never_said_on_the_wrong_side_of_a_limit(thousandths, u, known):
    verdict = judged(
        "45 µF ±6 %", f"{thousandths / 1000:.3f}", u if known else None, resolution="0.1"
    )
    said = Decimal(reading_words(verdict).split()[0])
    exact = Decimal(thousandths) / 1000
    for limit in (Decimal("42.3"), Decimal("47.7")):
        assert said.compare(limit) == exact.compare(limit)


def test_probability_is_never_certainty():
    assert probability_words(1.0) == "> 99.9 %"
    assert probability_words(0.0) == "< 0.1 %"
    assert probability_words(0.76294) == "76.3 %"


def test_extreme_values_can_be_said():
    for y in ("1e20", "1e290"):
        assert why(judged("45 µF ±6 %", y, 0.4)).endswith("above the limit of 47.7 µF.")


def test_an_accuracy_in_counts_of_unknown_worth_says_how_to_write_it():
    accuracy = Accuracy(Decimal(1), Decimal(2), None, "1 % + 2 counts")
    section = parse_label("45 µF ±6 %").sections[0]
    found = judge_measurement(
        section, [45 * UF], resolution_si=None, accuracy=accuracy, rule=Rule.GUARDED
    )
    assert "2 x 0.1 µF" in why(found)
    assert reading_words(found) == "45 µF"


def test_scatter_is_mended_by_measuring_again():
    accuracy = Accuracy(Decimal(0), Decimal(1), Decimal("0.01") * UF, "")
    section = parse_label("5 µF ±6 %").sections[0]
    readings = [Decimal(y) * UF for y in ("4.2", "5.0", "5.8")]
    found = judge_measurement(
        section, readings, resolution_si=UF, accuracy=accuracy, rule=Rule.GUARDED
    )
    assert why(found).endswith("the readings scatter too much: measure again.")


def test_a_welded_contact_is_written_in_ohms_though_its_limit_is_in_megohms() -> None:
    section = Measurement("pole", None, Decimal(10) ** 6, None, Quantity.RESISTANCE, "MΩ")
    found = judge_measurement(
        section, [Decimal("0.2")], resolution_si=Decimal("0.1"), accuracy=None, rule=Rule.GUARDED
    )
    assert reading_words(found) == "0.2 Ω"
    assert why(found).startswith("0.2 Ω is below the limit of 1 MΩ")
