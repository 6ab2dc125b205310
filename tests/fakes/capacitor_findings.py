"""A dual capacitor and findings on it, invented."""

from decimal import Decimal

from benchmeter.checking.part_check import MeasurementCheck, PartCheck, Step, TakenReading
from benchmeter.conformity.verdict import (
    Measurement,
    MeasurementVerdict,
    Reason,
    Rule,
    Verdict,
)
from benchmeter.parts.by_label import kind_by_label
from benchmeter.parts.conclusion import (
    PartVerdict,
)
from benchmeter.parts.rated_part import (
    CapacitorKind,
    Rating,
)

D = Decimal
# 45 µF ±6 %: 42.3 to 47.7; 5 µF ±6 %: 4.7 to 5.3 (arithmetic).
HERM = Measurement("HERM", D("45e-6"), D("42.3e-6"), D("47.7e-6"))
FAN = Measurement("FAN", D("5e-6"), D("4.7e-6"), D("5.3e-6"))
START = Measurement("single", None, D("88e-6"), D("108e-6"))
RATING = Rating("45/5 µF ±6 %", CapacitorKind.RUN, (HERM, FAN), "±6 %", "label", (440,), ())


def finding(section, microfarad, word=Verdict.PASS, reason=Reason.INSIDE, expanded=0.6e-6):
    value = D(str(microfarad)) * D("1e-6") if microfarad is not None else None
    return MeasurementVerdict(
        section=section,
        readings_si=(value,) if value is not None else (),
        lead_offset_si=D(0),
        reading_si=value,
        resolution_si=D("1e-8"),
        half_width_si=0.5e-6,
        standard_uncertainty_si=expanded / 2,
        expanded_uncertainty_si=expanded,
        guard_band_si=expanded,
        conformance_probability=0.98 if value is not None else None,
        verdict=word,
        reason=reason,
    )


def section_check(section, *findings):
    return MeasurementCheck(
        section, tuple(TakenReading(i, False, f) for i, f in enumerate(findings))
    )


def part(word):
    value = None if word in (Verdict.OPEN, Verdict.SHORTED, Verdict.NO_READING) else 4.9
    reason = {
        Verdict.OPEN: Reason.NO_CAPACITANCE,
        Verdict.SHORTED: Reason.NO_RESISTANCE,
        Verdict.NO_READING: Reason.NOT_MEASURED,
        Verdict.UNDECIDABLE: Reason.METER_TOO_COARSE,
        Verdict.CONDITIONAL_PASS: Reason.NEAR_LIMIT_INSIDE,
        Verdict.CONDITIONAL_FAIL: Reason.NEAR_LIMIT_OUTSIDE,
        Verdict.FAIL: Reason.BELOW,
    }.get(word, Reason.INSIDE)
    sections = (finding(HERM, 44.1), finding(FAN, value, word, reason))
    return PartVerdict(RATING, Rule.GUARDED, None, sections, word)


def judged(verdict):
    """A finished check with this verdict; None: a check that has not been judged."""
    return PartCheck(
        number=1,
        part="old part",
        channel="capacitor",
        rating=RATING,
        accuracy=None,
        rule=Rule.GUARDED,
        lead_offset_si=D(0),
        sections=(),
        expected=None,
        step=Step.DONE,
        kind=kind_by_label(CapacitorKind.RUN),
        verdict=verdict,
    )
