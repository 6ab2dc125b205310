"""The verdict on a section and on a part. Total: every input has an answer."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from benchmeter.conformity.decision import at_least, zone
from benchmeter.conformity.uncertainty import (
    COVERAGE_FACTOR,
    conformance_probability,
    half_width,
    mean_deviation,
    standard_uncertainty,
)
from benchmeter.conformity.verdict import (
    Accuracy,
    PartVerdict,
    Rating,
    Reason,
    Rule,
    Section,
    SectionVerdict,
    Word,
)

__all__ = [
    "WORST_FIRST",
    "expected_si",
    "judge_part",
    "judge_section",
    "open_below_si",
    "without_value",
]

WORST_FIRST = (
    Word.SHORTED,
    Word.OPEN,
    Word.FAIL,
    Word.NO_READING,
    Word.UNDECIDABLE,
    Word.CONDITIONAL_FAIL,
    Word.CONDITIONAL_PASS,
    Word.PASS,
)
"""A part is as bad as its worst section. A bad section settles it whatever is still unmeasured;
otherwise what was not measured keeps the part from any better verdict."""

_OPEN_FRACTION = Decimal("0.01")


@dataclass(frozen=True, slots=True)
class _Measured:
    """What the readings give: farad."""

    y: float
    low: float
    high: float
    a: float | None = None
    deviation: float = 0.0
    u: float | None = None


def expected_si(section: Section) -> Decimal:
    """The rated value; the low limit where the label gives a range. Farad."""
    return section.low_si if section.rated_si is None else section.rated_si


def open_below_si(section: Section) -> Decimal:
    """A capacitance up to this, farad, is an open section: 1 % of the rated value.

    IEC 60252-1, class S3: open with a residual capacitance below 1 % (from memory).
    """
    return expected_si(section) * _OPEN_FRACTION


def judge_section(
    section: Section,
    readings_si: Sequence[Decimal],
    *,
    resolution_si: Decimal | None,
    accuracy: Accuracy | None,
    rule: Rule,
    lead_offset_si: Decimal = Decimal(0),
) -> SectionVerdict:
    """The verdict on one section.

    Args:
        readings_si: repeated readings as shown, farad; the mean is judged.
        resolution_si: worth of the last digit, farad; None if unknown.
        accuracy: the meter's; None accepts simply by the limits and says so.
        lead_offset_si: subtracted from the mean; taken as exact.
    """
    if not readings_si:
        return without_value(section, Reason.NOT_MEASURED)
    shown_si = sum(readings_si, Decimal(0)) / len(readings_si)
    reading_si = shown_si - lead_offset_si
    if reading_si < -open_below_si(section):
        finding = without_value(section, Reason.NOT_A_CAPACITANCE)
        return replace(finding, readings_si=tuple(readings_si), lead_offset_si=lead_offset_si)
    measured = _measure(section, readings_si, shown_si, reading_si, resolution_si, accuracy)
    u = measured.u
    expanded = None if u is None else COVERAGE_FACTOR * u
    guard = None if expanded is None else (expanded if rule is Rule.GUARDED else 0.0)
    word, reason = _decide(section, reading_si, measured, guard, accuracy)
    return SectionVerdict(
        section=section,
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
            else conformance_probability(measured.y, u, measured.low, measured.high)
        ),
        verdict=word,
        reason=reason,
        needed_half_width_si=_needed(measured) if reason is Reason.METER_TOO_COARSE else None,
    )


def without_value(section: Section, reason: Reason) -> SectionVerdict:
    """The finding where there is no value: open, shorted, or no reading and why."""
    word = {Reason.NO_CAPACITANCE: Word.OPEN, Reason.NO_RESISTANCE: Word.SHORTED}
    return SectionVerdict(
        section=section,
        readings_si=(),
        lead_offset_si=Decimal(0),
        reading_si=None,
        resolution_si=None,
        half_width_si=None,
        standard_uncertainty_si=None,
        expanded_uncertainty_si=None,
        guard_band_si=None,
        conformance_probability=None,
        verdict=word.get(reason, Word.NO_READING),
        reason=reason,
    )


def judge_part(
    rating: Rating, rule: Rule, accuracy: Accuracy | None, sections: Sequence[SectionVerdict]
) -> PartVerdict:
    """The verdict on the part: the worst of its sections, by `WORST_FIRST`."""
    worst = min((s.verdict for s in sections), key=WORST_FIRST.index, default=Word.NO_READING)
    return PartVerdict(rating, rule, accuracy, tuple(sections), worst)


def _measure(
    section: Section,
    readings_si: Sequence[Decimal],
    shown_si: Decimal,
    reading_si: Decimal,
    resolution_si: Decimal | None,
    accuracy: Accuracy | None,
) -> _Measured:
    plain = _Measured(float(reading_si), float(section.low_si), float(section.high_si))
    a = None if accuracy is None else half_width(shown_si, accuracy, resolution_si)
    if a is None:
        return plain
    deviation = mean_deviation(readings_si)
    u = standard_uncertainty(a, deviation)
    return _Measured(plain.y, plain.low, plain.high, a, deviation, u)


def _decide(
    section: Section,
    reading_si: Decimal,
    measured: _Measured,
    guard: float | None,
    accuracy: Accuracy | None,
) -> tuple[Word, Reason]:
    # A meter so coarse that it may show a good part as nothing cannot tell that it is open.
    seen = guard is None or not at_least(measured.y, measured.low - guard)
    if reading_si <= open_below_si(section) and seen:
        return Word.OPEN, Reason.NO_CAPACITANCE
    if guard is not None:
        return zone(measured.y, measured.low, measured.high, guard)
    if accuracy is not None:
        return Word.UNDECIDABLE, Reason.COUNT_UNKNOWN
    if not at_least(measured.y, measured.low):
        return Word.FAIL, Reason.BELOW_ACCURACY_UNKNOWN
    if not at_least(measured.high, measured.y):
        return Word.FAIL, Reason.ABOVE_ACCURACY_UNKNOWN
    return Word.PASS, Reason.INSIDE_ACCURACY_UNKNOWN


def _needed(m: _Measured) -> float | None:
    """The half-width with which 2U is as wide as the band; None if the scatter alone is wider."""
    u = (m.high - m.low) / (2 * COVERAGE_FACTOR)
    rest = u**2 - m.deviation**2
    return math.sqrt(3 * rest) if rest > 0 else None
