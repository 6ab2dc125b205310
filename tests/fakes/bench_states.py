"""States of a bench, made by hand, for tests and pictures of the screens. All invented."""

from dataclasses import replace
from decimal import Decimal

from benchmeter.checking.check import MeasurementCheck, PartCheck, Step, TakenReading
from benchmeter.checking.safety import PartSafety
from benchmeter.conformity.instrument_bias import MeterBias
from benchmeter.conformity.verdict import (
    Accuracy,
    Measurement,
    MeasurementVerdict,
    Reason,
    Rule,
    Verdict,
)
from benchmeter.cooling.recovery import (
    Estimate,
    FitFailure,
    Phase,
    Recovery,
    RiseJudgement,
    StepFit,
)
from benchmeter.links.instruments.formats.scpi_format import ScpiFormat
from benchmeter.links.instruments.profile import ChannelOfProfile, Profile
from benchmeter.links.instruments.setup import BenchSetup, ChannelSetup, LinkSetup, Role
from benchmeter.parts.by_label import kind_by_label
from benchmeter.parts.conclusion import (
    PartVerdict,
)
from benchmeter.parts.rated_part import (
    CapacitorKind,
    Rating,
)
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.events import Event, EventKind, reported
from benchmeter.readings.reading import Reading
from benchmeter.readings.status import Status
from benchmeter.session.acquisition.channel_state import ChannelState, ChannelStatus
from benchmeter.session.outcome import Outcome
from tests.fakes.charge import left
from tests.fakes.outcomes import outcome
from tests.fakes.readings import reading_in_si

SECOND = 1_000_000_000
MICRO = Decimal("1e-6")

_PROFILE = Profile(
    name="bench", title="Bench meter", format=ScpiFormat(), channels=(ChannelOfProfile(),)
)

SETUP = BenchSetup(
    origin="serial",
    links=(
        LinkSetup(name="link 1", address="serial:/dev/ttyUSB0?profile=bench", profile=_PROFILE),
    ),
    channels=(
        ChannelSetup(
            name="capacitor", role=Role.CAPACITOR, link="link 1", quantity=Quantity.CAPACITANCE
        ),
        ChannelSetup(
            name="residual", role=Role.RESIDUAL, link="link 1", quantity=Quantity.VOLTAGE_DC
        ),
        ChannelSetup(
            name="discharge", role=Role.DISCHARGE, link="link 1", quantity=Quantity.TEMPERATURE
        ),
        ChannelSetup(
            name="outdoor", role=Role.OUTDOOR, link="link 1", quantity=Quantity.TEMPERATURE
        ),
    ),
)

# 40 µF ±5 %: 38 to 42; 6 µF ±5 %: 5.7 to 6.3 (arithmetic).
HERM = Measurement("HERM", 40 * MICRO, 38 * MICRO, 42 * MICRO)
FAN = Measurement("FAN", 6 * MICRO, Decimal("5.7") * MICRO, Decimal("6.3") * MICRO)
RATING = Rating(
    "40/6 µF ±5 % 440 V", CapacitorKind.RUN, (HERM, FAN), "±5 %", "label", (440,), (60,)
)
ACCURACY = Accuracy(Decimal("1.2"), Decimal(2), Decimal("0.01") * MICRO, "1.2 % + 2 x 0.01 uF")


def reading(
    channel: str,
    time_s: float,
    value: float | None,
    status: Status = Status.OK,
    resolution: float | None = None,
    text: str = "",
) -> Reading:
    return reading_in_si(channel, int(time_s * SECOND), value, status, resolution, text)


_PULLED_OUT = reported(
    "The cable was pulled out.", "Plug it in again; recording goes on by itself."
)


def capacitor_pulse(
    state: ChannelStatus, uf: float | None = 39.2, at_s: float = 20.0
) -> ChannelState:
    """What the capacitance meter shows; the state began 4 s before."""
    status = {
        ChannelStatus.OVERLOAD: Status.OVERLOAD,
        ChannelStatus.WRONG_FUNCTION: Status.WRONG_FUNCTION,
        ChannelStatus.NO_CONTACT: Status.NO_CONTACT,
        ChannelStatus.NO_VALUE: Status.NO_VALUE,
        ChannelStatus.SUSPECT: Status.SUSPECT,
    }.get(state, Status.OK)
    value = uf * 1e-6 if uf is not None and status.has_value else None
    shown = (
        None
        if state is ChannelStatus.WAITING
        else reading("capacitor", at_s, value, status, 1e-8, f"{uf} µF")
    )
    lost = state is ChannelStatus.LOST
    return ChannelState(
        "capacitor",
        state,
        int((at_s - 4) * SECOND),
        shown,
        reason=_PULLED_OUT if lost else None,
    )


def pulses(
    state: ChannelStatus = ChannelStatus.SETTLED, uf: float | None = 39.2, at_s: float = 20.0
) -> tuple[ChannelState, ...]:
    """Every instrument, the capacitance meter in the given state."""
    since = int(at_s * SECOND)
    return (
        capacitor_pulse(state, uf, at_s),
        ChannelState("residual", ChannelStatus.SETTLED, since, reading("residual", at_s, 0.3)),
        ChannelState("discharge", ChannelStatus.MOVING, since, reading("discharge", at_s, 300.3)),
        ChannelState("outdoor", ChannelStatus.SETTLED, since, reading("outdoor", at_s, 295.4)),
    )


def finding(
    section: Measurement, uf: str | None, word: Verdict, reason: Reason
) -> MeasurementVerdict:
    """A finding on one section; the uncertainty is that of ACCURACY."""
    if uf is None:
        return MeasurementVerdict(
            section, (), Decimal(0), None, None, None, None, None, None, None, word, reason
        )
    value = Decimal(uf) * MICRO
    half = float(value) * 0.012 + 2 * 1e-8
    standard = half / 3**0.5
    return MeasurementVerdict(
        section=section,
        readings_si=(value,),
        lead_offset_si=Decimal(0),
        reading_si=value,
        resolution_si=Decimal("1e-8"),
        half_width_si=half,
        standard_uncertainty_si=standard,
        expanded_uncertainty_si=2 * standard,
        guard_band_si=2 * standard,
        conformance_probability={
            Verdict.PASS: 0.999,
            Verdict.CONDITIONAL_PASS: 0.86,
            Verdict.CONDITIONAL_FAIL: 0.21,
        }.get(word, 0.001),
        verdict=word,
        reason=reason,
    )


HERM_GOOD = finding(HERM, "39.20", Verdict.PASS, Reason.INSIDE)
FAN_GOOD = finding(FAN, "6.02", Verdict.PASS, Reason.INSIDE)
FAN_CLOSE = finding(FAN, "5.73", Verdict.CONDITIONAL_PASS, Reason.NEAR_LIMIT_INSIDE)
FAN_CLOSE_BAD = finding(FAN, "5.67", Verdict.CONDITIONAL_FAIL, Reason.NEAR_LIMIT_OUTSIDE)
FAN_BAD = finding(FAN, "4.86", Verdict.FAIL, Reason.BELOW)
FAN_OPEN = finding(FAN, None, Verdict.OPEN, Reason.NO_CAPACITANCE)
FAN_SHORTED = finding(FAN, None, Verdict.SHORTED, Reason.NO_RESISTANCE)
FAN_UNDECIDED = finding(FAN, "6.02", Verdict.UNDECIDABLE, Reason.METER_TOO_COARSE)
FAN_UNREAD = finding(FAN, None, Verdict.NO_READING, Reason.OVERLOAD)

FINDINGS = {
    "good": FAN_GOOD,
    "close": FAN_CLOSE,
    "close_bad": FAN_CLOSE_BAD,
    "bad": FAN_BAD,
    "open": FAN_OPEN,
    "shorted": FAN_SHORTED,
    "undecided": FAN_UNDECIDED,
    "unread": FAN_UNREAD,
}


def new_check(number: int = 1, part: str = "old part", step: Step = Step.CLIP_ON) -> PartCheck:
    """A check of a dual run capacitor of which nothing has been taken."""
    return PartCheck(
        number=number,
        part=part,
        channel="capacitor",
        rating=RATING,
        accuracy=ACCURACY,
        rule=Rule.GUARDED,
        lead_offset_si=Decimal(0),
        sections=(MeasurementCheck(HERM), MeasurementCheck(FAN)),
        expected="HERM",
        step=step,
        kind=kind_by_label(CapacitorKind.RUN),
    )


def half_check(number: int = 1, part: str = "old part") -> PartCheck:
    """HERM has been taken, twice; FAN is next."""
    before = finding(HERM, "39.05", Verdict.PASS, Reason.INSIDE)
    taken = (TakenReading(8 * SECOND, False, before), TakenReading(12 * SECOND, False, HERM_GOOD))
    return replace(
        new_check(number, part),
        sections=(MeasurementCheck(HERM, taken), MeasurementCheck(FAN)),
        expected="FAN",
        step=Step.LIFT_LEADS,
    )


def judged_check(fan: MeasurementVerdict, number: int = 1, part: str = "old part") -> PartCheck:
    """Both sections have been taken; HERM is good."""
    half = half_check(number, part)
    return replace(
        half,
        sections=(
            half.sections[0],
            MeasurementCheck(FAN, (TakenReading(20 * SECOND, False, fan),)),
        ),
        expected=None,
        step=Step.DONE,
        verdict=PartVerdict(RATING, Rule.GUARDED, ACCURACY, (HERM_GOOD, fan), fan.verdict),
    )


def _estimate(value: float, half: float) -> Estimate:
    return Estimate(value, value - half, value + half)


# Outdoor air 72 °F = 295.37 K; the discharge air settles 22 °F above it.
OUTDOOR_K, INITIAL_K, FINAL_K, TAU_S, START_S = 295.37, 295.6, 307.6, 150.0, 120.0


def temperatures(until_s: float) -> list[Reading]:
    """Discharge and outdoor air each second: a step response from START_S, as trade.md says."""
    from math import exp

    found = []
    for second in range(int(until_s)):
        rise = 0.0 if second < START_S else 1 - exp(-(second - START_S) / TAU_S)
        wobble = 0.05 * ((second * 7919) % 13 - 6) / 6
        found.append(
            reading("discharge", second, INITIAL_K + (FINAL_K - INITIAL_K) * rise + wobble)
        )
        found.append(reading("outdoor", second, OUTDOOR_K - wobble))
    return found


def recovery(phase: Phase, at_s: float) -> Recovery:
    """What is known of the recovery in that phase."""
    blank = Recovery(
        time_ns=int(at_s * SECOND),
        phase=phase,
        power_ns=None,
        start_ns=None,
        fit=None,
        fit_failure=FitFailure.TOO_FEW,
        settled_k=None,
        time_left_s=None,
        discharge_k=INITIAL_K,
        outdoor_k=OUTDOOR_K,
        rise_k=None,
        judgement=RiseJudgement.NOT_YET,
    )
    if phase in (Phase.NO_READINGS, Phase.WAITING):
        return blank
    powered = replace(blank, power_ns=30 * SECOND)
    if phase in (Phase.HELD_OFF, Phase.NO_START):
        return powered
    half = 0.2 if phase is Phase.SETTLED else 1.8
    final = _estimate(FINAL_K, half)
    fit = StepFit(_estimate(INITIAL_K, 0.1), final, _estimate(TAU_S, 20.0), 0.05, 200)
    settled = phase is Phase.SETTLED
    return replace(
        powered,
        start_ns=int(START_S * SECOND),
        fit=fit,
        fit_failure=None,
        settled_k=final,
        time_left_s=None if settled else Estimate(380.0, 300.0, 500.0),
        discharge_k=FINAL_K if settled else 302.2,
        rise_k=_estimate(FINAL_K - OUTDOOR_K, half),
        judgement=RiseJudgement.USUAL if settled else RiseJudgement.NOT_YET,
    )


def safe(typed: bool = False) -> PartSafety:
    return left(0.3, typed=typed, time_ns=2 * SECOND)


def bench_outcome(
    state: ChannelStatus = ChannelStatus.SETTLED,
    check: PartCheck | None = None,
    *,
    uf: float | None = 39.2,
    at_s: float = 20.0,
    safety: PartSafety | None = None,
    biases: tuple[MeterBias, ...] | None = None,
) -> Outcome:
    """One outcome that brings a bench into a state."""
    states = pulses(state, uf, at_s)
    return outcome(int(at_s * SECOND), states=states, check=check, safety=safety, biases=biases)


def unit_outcomes(phase: Phase, until_s: float) -> list[Outcome]:
    """A recovery until then."""
    readings = temperatures(until_s)
    found = [Outcome(r.time_ns, readings=(r,)) for r in readings]
    end = int(until_s * SECOND)
    events = (Event(EventKind.MARK, 60 * SECOND, text="new fan motor in"),) if until_s > 60 else ()
    found.append(
        outcome(
            end,
            states=pulses(ChannelStatus.SETTLED, at_s=until_s),
            events=events,
            recovery=recovery(phase, until_s),
            safety=safe(),
        )
    )
    return found
