"""A dual capacitor and findings on it, invented."""

from decimal import Decimal

from benchmeter.conformity.part_check import SectionCheck, Taken
from benchmeter.conformity.verdict import (
    CapacitorKind,
    PartVerdict,
    Rating,
    Reason,
    Rule,
    Section,
    SectionVerdict,
    Word,
)

D = Decimal
# 45 µF ±6 %: 42.3 to 47.7; 5 µF ±6 %: 4.7 to 5.3 (arithmetic).
HERM = Section("HERM", D("45e-6"), D("42.3e-6"), D("47.7e-6"))
FAN = Section("FAN", D("5e-6"), D("4.7e-6"), D("5.3e-6"))
START = Section("single", None, D("88e-6"), D("108e-6"))
RATING = Rating("45/5 µF ±6 %", CapacitorKind.RUN, (HERM, FAN), "±6 %", "label", (440,), ())


def finding(section, microfarad, word=Word.PASS, reason=Reason.INSIDE, expanded=0.6e-6):
    value = D(str(microfarad)) * D("1e-6") if microfarad is not None else None
    return SectionVerdict(
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
    return SectionCheck(section, tuple(Taken(i, False, f) for i, f in enumerate(findings)))


def part(word):
    value = None if word in (Word.OPEN, Word.SHORTED, Word.NO_READING) else 4.9
    reason = {
        Word.OPEN: Reason.NO_CAPACITANCE,
        Word.SHORTED: Reason.NO_RESISTANCE,
        Word.NO_READING: Reason.NOT_MEASURED,
        Word.UNDECIDABLE: Reason.METER_TOO_COARSE,
        Word.CONDITIONAL_PASS: Reason.NEAR_LIMIT_INSIDE,
        Word.CONDITIONAL_FAIL: Reason.NEAR_LIMIT_OUTSIDE,
        Word.FAIL: Reason.BELOW,
    }.get(word, Reason.INSIDE)
    sections = (finding(HERM, 44.1), finding(FAN, value, word, reason))
    return PartVerdict(RATING, Rule.GUARDED, None, sections, word)
