"""The values that judging takes and gives. All numbers are SI (farad), decimals where exact.

Terms: JCGM 106:2012 (tolerance limit, guard band, conformance probability), ILAC-G8:09/2019
(pass, conditional pass, conditional fail, fail).
"""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

__all__ = [
    "Accuracy",
    "CapacitorKind",
    "PartVerdict",
    "Rating",
    "Reason",
    "Rule",
    "Section",
    "SectionVerdict",
    "Word",
]


class Word(StrEnum):
    """The verdict in a word."""

    PASS = "pass"
    CONDITIONAL_PASS = "conditional pass"
    CONDITIONAL_FAIL = "conditional fail"
    FAIL = "fail"
    UNDECIDABLE = "undecidable"
    OPEN = "open"
    SHORTED = "shorted"
    NO_READING = "no reading"


class Reason(StrEnum):
    """Why; the sentence is made in `reporting.wording`."""

    INSIDE = "inside"  # the reading with its uncertainty lies inside the limits
    INSIDE_ACCURACY_UNKNOWN = "inside, accuracy unknown"
    INSIDE_SIMPLE = "inside, simple rule"
    NEAR_LIMIT_INSIDE = "near limit, inside"
    NEAR_LIMIT_OUTSIDE = "near limit, outside"
    BELOW = "below"
    ABOVE = "above"
    BELOW_ACCURACY_UNKNOWN = "below, accuracy unknown"
    ABOVE_ACCURACY_UNKNOWN = "above, accuracy unknown"
    METER_TOO_COARSE = "meter too coarse"
    COUNT_UNKNOWN = "worth of a count unknown"  # the accuracy line cannot be used
    NO_CAPACITANCE = "no capacitance"  # open
    NO_RESISTANCE = "no resistance"  # shorted
    OVERLOAD = "overload"
    WRONG_FUNCTION = "wrong function"
    NO_CONTACT = "no contact"
    NO_VALUE = "no value"  # the meter shows dashes
    NOT_A_CAPACITANCE = "not a capacitance"  # below zero
    STILL_MOVING = "still moving"
    STALE = "stale"
    NOT_MEASURED = "not measured"


class Rule(StrEnum):
    """Decision rule, agreed before the measurement (ISO/IEC 17025:2017 cl. 7.1.3)."""

    GUARDED = "guarded"
    SIMPLE = "simple"


class CapacitorKind(StrEnum):
    RUN = "run capacitor"
    START = "start capacitor"  # label gives a range: 88-108 µF


@dataclass(frozen=True, slots=True)
class Section:
    """One capacitance of a part and its tolerance limits; both limits belong to the band.

    Attributes:
        name: "HERM", "FAN", or "single".
        rated_si: farad; None where the label gives a range only.
        low_si, high_si: tolerance limits, farad, exact.
    """

    name: str
    rated_si: Decimal | None
    low_si: Decimal
    high_si: Decimal


@dataclass(frozen=True, slots=True)
class Rating:
    """What the label says.

    Attributes:
        text: the label as typed.
        sections: HERM (the larger) first.
        tolerance: as understood: "±6 %", "0/+10 %", "range on the label".
        tolerance_from: "label" or "user".
        voltages_v: rated voltages, AC, RMS; may be empty.
        frequencies_hz: may be empty.
    """

    text: str
    kind: CapacitorKind
    sections: tuple[Section, ...]
    tolerance: str
    tolerance_from: str
    voltages_v: tuple[int, ...]
    frequencies_hz: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Accuracy:
    """A meter's accuracy line ±(percent of reading + counts).

    Attributes:
        percent: of reading.
        counts: number of counts.
        count_si: worth of one count, SI unit of what is measured; None: the resolution of the
            reading counts.
        text: as written.
    """

    percent: Decimal
    counts: Decimal
    count_si: Decimal | None
    text: str


@dataclass(frozen=True, slots=True)
class SectionVerdict:
    """The verdict on one section, with all that it follows from.

    Attributes:
        section: rating and limits.
        readings_si: every repeated reading, farad, as shown (before the lead offset).
        lead_offset_si: subtracted from the mean.
        reading_si: what was judged: mean less lead offset; None if there is no value.
        resolution_si: worth of the last digit; None if unknown.
        half_width_si: a of the accuracy line at this reading; None if not known.
        standard_uncertainty_si: u; None if the accuracy is not known.
        expanded_uncertainty_si: U = 2u.
        guard_band_si: w; 0 for the simple rule, None if the accuracy is not known.
        conformance_probability: 0..1; None if the accuracy is not known.
        verdict, reason: the finding.
        needed_half_width_si: for METER_TOO_COARSE: the accuracy half-width that could decide.
    """

    section: Section
    readings_si: tuple[Decimal, ...]
    lead_offset_si: Decimal
    reading_si: Decimal | None
    resolution_si: Decimal | None
    half_width_si: float | None
    standard_uncertainty_si: float | None
    expanded_uncertainty_si: float | None
    guard_band_si: float | None
    conformance_probability: float | None
    verdict: Word
    reason: Reason
    needed_half_width_si: float | None = None


@dataclass(frozen=True, slots=True)
class PartVerdict:
    """The verdict on the part: the worst of its sections."""

    rating: Rating
    rule: Rule
    accuracy: Accuracy | None
    sections: tuple[SectionVerdict, ...]
    verdict: Word
