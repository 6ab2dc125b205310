"""The verdict on a measurement. Total: every input has an answer."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from benchmeter.conformity.decision import Case, Numbers, below, first, zones
from benchmeter.conformity.instrument_bias import MeterBias
from benchmeter.conformity.uncertainty import (
    COVERAGE_FACTOR,
    beyond_the_line,
    conformance_probability,
    expanded_uncertainty,
    half_width,
    mean_deviation,
    standard_uncertainty,
    students_factor,
)
from benchmeter.conformity.verdict import (
    Accuracy,
    Budget,
    Measurement,
    MeasurementVerdict,
    Reason,
    Rule,
    Verdict,
)
from benchmeter.quantities.quantity import Quantity

__all__ = [
    "WORST_FIRST",
    "cases",
    "expected_si",
    "judge_measurement",
    "low_limit_si",
    "mean_si",
    "open_below_si",
    "without_value",
]

WORST_FIRST = (
    Verdict.SHORTED,
    Verdict.OPEN,
    Verdict.FAIL,
    Verdict.NO_READING,
    Verdict.UNDECIDABLE,
    Verdict.CONDITIONAL_FAIL,
    Verdict.CONDITIONAL_PASS,
    Verdict.PASS,
    Verdict.MEASURED,
)
"""A part is as bad as its worst measurement. A bad one settles it whatever is still unmeasured;
otherwise what was not measured keeps the part from any better verdict."""

_OPEN_FRACTION = Decimal("0.01")
_NOISE_COUNTS = 5


@dataclass(frozen=True, slots=True)
class _Measured:
    """What the readings give: SI; a limit that there is not is infinite.

    `deviation`: standard uncertainty of the mean and of the bias together; `open_below`: up to
    this a capacitance is open.
    """

    y: float
    low: float
    high: float
    open_below: Decimal | None
    a: float | None
    deviation: float
    u: float | None


def expected_si(measurement: Measurement) -> Decimal | None:
    """The rated value; without it the low limit, or the high one; None without limits."""
    if measurement.rated_si is not None:
        return measurement.rated_si
    return measurement.high_si if measurement.low_si is None else measurement.low_si


def low_limit_si(measurement: Measurement) -> Decimal | None:
    """The low limit; without it the value up to which the part is shorted."""
    return measurement.shorted_below_si if measurement.low_si is None else measurement.low_si


def open_below_si(measurement: Measurement) -> Decimal | None:
    """A capacitance up to this, farad, is an open section: 1 % of the rated value.

    IEC 60252-1, class S3: open with a residual capacitance below 1 % (from memory). None for
    another quantity.
    """
    expected = expected_si(measurement)
    if measurement.quantity is not Quantity.CAPACITANCE or expected is None:
        return None
    return expected * _OPEN_FRACTION


def mean_si(readings_si: Sequence[Decimal]) -> Decimal:
    """Mean of repeated readings, at least one."""
    if len(readings_si) == 1:
        return +readings_si[0]
    return sum(readings_si, Decimal(0)) / len(readings_si)


def judge_measurement(
    measurement: Measurement,
    readings_si: Sequence[Decimal],
    *,
    resolution_si: Decimal | None,
    accuracy: Accuracy | None,
    rule: Rule,
    lead_offset_si: Decimal = Decimal(0),
    lead_offset_u_si: float = 0.0,
    bias: MeterBias | None = None,
    budget: Budget = Budget.WHOLE,
) -> MeasurementVerdict:
    """The verdict on one measurement.

    Args:
        readings_si: repeated readings as shown; the mean is judged.
        resolution_si: worth of the last digit; None if unknown.
        accuracy: the meter's lines; where none holds for what was read, the limits decide simply,
            and the verdict says so.
        lead_offset_si: subtracted from the mean.
        lead_offset_u_si: its standard uncertainty; what the meter's own error has in common with
            the reading cancels.
        bias: of the meter, accepted; subtracted, with its uncertainty added (JCGM 100 cl. 5.1.2).
        budget: of the uncertainty.
    """
    if not readings_si:
        return without_value(measurement, Reason.NOT_MEASURED)
    shown_si = mean_si(readings_si)
    bias_si = Decimal(0) if bias is None else bias.bias_si
    reading_si = shown_si - lead_offset_si - bias_si
    line = (
        None
        if accuracy is None
        else accuracy.line_for(measurement.quantity, shown_si, measurement.instrument)
    )
    a = None if line is None else half_width(shown_si, line, resolution_si)
    whole = budget is Budget.WHOLE
    extra = beyond_the_line(line, resolution_si, lead_offset_u_si) if whole else 0.0
    measured = _measure(measurement, readings_si, reading_si, a, bias, extra)
    u = measured.u
    scatter = mean_deviation(readings_si)
    below_zero = _below_zero(measurement, measured, resolution_si)
    if below_zero is not None:
        finding = without_value(measurement, below_zero)
        return replace(
            finding,
            readings_si=tuple(readings_si),
            lead_offset_si=lead_offset_si,
            bias_si=bias_si,
        )
    count = len(readings_si) if whole else 1  # k = 2 of the first budget, however few
    expanded = None if u is None else expanded_uncertainty(u, scatter, count)
    guard = None if expanded is None else (expanded if rule is Rule.GUARDED else 0.0)
    word, reason = first(cases(measurement, measured.y, guard, line))
    off_si = lead_offset_si + bias_si
    if _scatters(word, guard, measured, count, [float(r - off_si) for r in readings_si]):
        word, reason = Verdict.UNDECIDABLE, Reason.SCATTER
    return MeasurementVerdict(
        section=measurement,
        readings_si=tuple(readings_si),
        lead_offset_si=lead_offset_si,
        reading_si=reading_si,
        resolution_si=resolution_si,
        half_width_si=measured.a,
        standard_uncertainty_si=u,
        expanded_uncertainty_si=expanded,
        guard_band_si=guard,
        conformance_probability=(
            None
            if u is None
            or measurement.common_practice
            or word is Verdict.MEASURED
            or reason is Reason.NO_CURRENT
            else conformance_probability(measured.y, u, measured.low, measured.high)
        ),
        verdict=word,
        reason=reason,
        needed_half_width_si=_needed(measured) if reason is Reason.METER_TOO_COARSE else None,
        bias_si=bias_si,
    )


def without_value(measurement: Measurement, reason: Reason) -> MeasurementVerdict:
    """The finding where there is no value: open, shorted, or no reading and why."""
    word = {Reason.NO_CAPACITANCE: Verdict.OPEN, Reason.NO_RESISTANCE: Verdict.SHORTED}
    if measurement.overload is not None:
        word[Reason.OVERLOAD] = measurement.overload
    return MeasurementVerdict(
        section=measurement,
        readings_si=(),
        lead_offset_si=Decimal(0),
        reading_si=None,
        resolution_si=None,
        half_width_si=None,
        standard_uncertainty_si=None,
        expanded_uncertainty_si=None,
        guard_band_si=None,
        conformance_probability=None,
        verdict=word.get(reason, Verdict.NO_READING),
        reason=reason,
    )


def _measure(
    measurement: Measurement,
    readings_si: Sequence[Decimal],
    reading_si: Decimal,
    a: float | None,
    bias: MeterBias | None,
    extra: float,
) -> _Measured:
    low, high = low_limit_si(measurement), measurement.high_si
    deviation, u = mean_deviation(readings_si), None
    if a is not None:
        deviation = math.hypot(deviation, extra)
        if bias is not None:
            of_bias = float(bias.expanded_uncertainty_si) / COVERAGE_FACTOR
            deviation = math.hypot(deviation, of_bias)
        u = standard_uncertainty(a, deviation)
    return _Measured(
        float(reading_si),
        -math.inf if low is None else float(low),
        math.inf if high is None else float(high),
        open_below_si(measurement),
        a,
        deviation,
        u,
    )


def _scatters(
    word: Verdict, guard: float | None, measured: _Measured, count: int, readings: Sequence[float]
) -> bool:
    """Whether repeated readings leave open what their mean alone would tell.

    A mean passes nothing where every reading lies outside. Where no guard band covers the scatter
    since the accuracy is not known, t·s/√n of the mean must not reach over a limit.
    """
    low, high = measured.low, measured.high
    if word in (Verdict.PASS, Verdict.CONDITIONAL_PASS):
        if all(below(r, low) or below(high, r) for r in readings):
            return True
    elif word is not Verdict.FAIL:
        return False
    nearest = min(abs(measured.y - low), abs(high - measured.y))
    return guard is None and below(nearest, students_factor(count) * measured.deviation)


def _below_zero(
    measurement: Measurement, measured: _Measured, resolution_si: Decimal | None
) -> Reason | None:
    """The finding where a quantity without sign reads clearly below zero."""
    if measured.open_below is not None:
        return Reason.NOT_A_CAPACITANCE if measured.y < -float(measured.open_below) else None
    if measurement.quantity.row.signed:
        return None
    doubt = COVERAGE_FACTOR * (measured.u or 0.0)
    noise = _NOISE_COUNTS * float(resolution_si or 0)
    return Reason.BELOW_ZERO if measured.y < -max(doubt, noise) else None


def cases(
    measurement: Measurement, y: Numbers, guard: Numbers | None, accuracy: Accuracy | None
) -> Iterator[Case]:
    """What a value of the measurement says, for one reading or an array of them.

    Args:
        y: not below zero beyond doubt.
        guard: w; None where the accuracy line does not tell it.
        accuracy: the line that holds for y; None: not known.
    """
    low_si, high_si = low_limit_si(measurement), measurement.high_si
    low = -math.inf if low_si is None else float(low_si)
    high = math.inf if high_si is None else float(high_si)
    open_below, shorted_below = open_below_si(measurement), measurement.shorted_below_si
    # A meter so coarse that it may show a good part as nothing cannot tell that it is open.
    seen = True if guard is None else below(y, low - guard)
    if open_below is not None:
        yield (y <= float(open_below)) & seen, Verdict.OPEN, Reason.NO_CAPACITANCE
    if shorted_below is not None:
        yield (y <= float(shorted_below)) & seen, Verdict.SHORTED, Reason.NO_RESISTANCE
    if measurement.idle_below_si is not None:
        yield y <= float(measurement.idle_below_si), Verdict.UNDECIDABLE, Reason.NO_CURRENT
    if measurement.low_si is None and measurement.high_si is None:
        yield (
            True,
            Verdict.MEASURED,
            Reason.UNRATED if measurement.unrated else Reason.WITHOUT_LIMITS,
        )
    elif guard is not None:
        yield from zones(y, low, high, guard)
    elif accuracy is not None:
        yield True, Verdict.UNDECIDABLE, Reason.COUNT_UNKNOWN
    else:
        yield below(y, low), Verdict.FAIL, Reason.BELOW_ACCURACY_UNKNOWN
        yield below(high, y), Verdict.FAIL, Reason.ABOVE_ACCURACY_UNKNOWN
        yield True, Verdict.PASS, Reason.INSIDE_ACCURACY_UNKNOWN


def _needed(m: _Measured) -> float | None:
    """The half-width with which 2U is as wide as the band; None if the scatter alone is wider."""
    u = (m.high - m.low) / (2 * COVERAGE_FACTOR)
    rest = u**2 - m.deviation**2
    return math.sqrt(3 * rest) if rest > 0 else None
