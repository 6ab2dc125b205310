"""The values that judging takes and gives. All numbers are SI, decimals where exact.

Terms: JCGM 106:2012 (tolerance limit, guard band, conformance probability), ILAC-G8:09/2019
(pass, conditional pass, conditional fail, fail).
"""

from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum

from benchmeter.quantities.quantity import Quantity

__all__ = [
    "INSULATION_TESTER",
    "WORDS",
    "Accuracy",
    "Budget",
    "Measurement",
    "MeasurementVerdict",
    "Reason",
    "Rule",
    "Verdict",
]


class Verdict(StrEnum):
    """The verdict in a word."""

    PASS = "pass"
    CONDITIONAL_PASS = "conditional pass"
    CONDITIONAL_FAIL = "conditional fail"
    FAIL = "fail"
    UNDECIDABLE = "undecidable"
    MEASURED = "measured"  # no limits of its own: a conclusion is drawn from it
    OPEN = "open"
    SHORTED = "shorted"
    NO_READING = "no reading"


INSULATION_TESTER = "insulation tester"

WORDS = tuple(Verdict)
"""What a code in an array means: its place here."""


class Reason(StrEnum):
    """Why; the sentence is made in `words`."""

    INSIDE = "inside"  # the reading with its uncertainty lies inside the limits
    INSIDE_ACCURACY_UNKNOWN = "inside, accuracy unknown"
    INSIDE_SIMPLE = "inside, simple rule"
    NEAR_LIMIT_INSIDE = "near limit, inside"
    NEAR_LIMIT_OUTSIDE = "near limit, outside"
    BELOW = "below"
    ABOVE = "above"
    BELOW_ACCURACY_UNKNOWN = "below, accuracy unknown"
    ABOVE_ACCURACY_UNKNOWN = "above, accuracy unknown"
    WITHOUT_LIMITS = "without limits"  # measured, judged together with others
    UNRATED = "unrated"  # neither open nor shorted; what would give its limits is not known
    NO_CURRENT = "no current"  # nothing flows: the value says nothing
    DEPENDS = "depends on another"  # that is not good, or not measured
    METER_TOO_COARSE = "meter too coarse"
    SCATTER = "readings scatter"  # repeated readings lie on both sides of a limit, or all outside
    COUNT_UNKNOWN = "worth of a count unknown"  # the accuracy line cannot be used
    NO_CAPACITANCE = "no capacitance"  # open
    NO_RESISTANCE = "no resistance"  # shorted
    OVERLOAD = "overload"
    WRONG_FUNCTION = "wrong function"
    NO_CONTACT = "no contact"
    NO_VALUE = "no value"  # the meter shows dashes
    NOT_A_CAPACITANCE = "not a capacitance"  # below zero
    BELOW_ZERO = "below zero"  # of another quantity that has no sign
    STILL_MOVING = "still moving"
    STALE = "stale"
    NOT_MEASURED = "not measured"


class Rule(StrEnum):
    """Decision rule, agreed before the measurement (ISO/IEC 17025:2017 cl. 7.1.3)."""

    GUARDED = "guarded"
    SIMPLE = "simple"


class Budget(StrEnum):
    """Which contributions make up the uncertainty of a reading; a record keeps its own.

    The whole one has the resolution where the accuracy line counts no digits, that of the lead
    offset, and Student's factor for few repeats (JCGM 100:2008, F.2.2.1, 5.1.2, G.4).
    """

    FIRST = "first"  # accuracy line, scatter and bias alone, k = 2
    WHOLE = "whole"


@dataclass(frozen=True, slots=True)
class Measurement:
    """One measurement of a part and its tolerance limits; both limits belong to the band.

    Attributes:
        name: "HERM", "FAN", "single", or the name of the measurement in the part's kind.
        rated_si: None where there are limits only.
        low_si, high_si: tolerance limits, exact; None: no limit on that side.
        quantity: what the meter must be set to.
        unit: in which it is written, a symbol of `quantities.units`.
        shorted_below_si: a value up to this is a short; None: there is no such finding.
        overload: what it means that the meter shows overload, taken by hand: OPEN (a coil), PASS
            (an insulation), MEASURED (one that cannot be graded); None: no reading.
        idle_below_si: a value up to this means that nothing flows; None: any value counts.
        unrated: limits hang on what is not known: where there are none, that is why.
        common_practice: the limits have no source: how likely a value lies inside is not told.
        instrument: that shows it, where the meter of its quantity does not: INSULATION_TESTER.
    """

    name: str
    rated_si: Decimal | None
    low_si: Decimal | None
    high_si: Decimal | None
    quantity: Quantity = Quantity.CAPACITANCE
    unit: str = "µF"
    shorted_below_si: Decimal | None = None
    overload: Verdict | None = None
    idle_below_si: Decimal | None = None
    unrated: bool = False
    common_practice: bool = False
    instrument: str = ""


@dataclass(frozen=True, slots=True)
class Accuracy:
    """A meter's accuracy line ±(percent of reading + counts).

    Attributes:
        percent: of reading.
        counts: number of counts.
        count_si: worth of one count, SI unit of what is measured; None: the resolution of the
            reading counts.
        text: as written, the whole of it; says nothing that the numbers do not, so that two lines
            that are written differently are equal.
        holds_for: function ("DC voltage") or kind of unit ("voltage"), or INSULATION_TESTER; ""
            every function of a meter.
        up_to_si: end of the range that it holds for; None: every range.
        more: lines for other functions and ranges.
    """

    percent: Decimal
    counts: Decimal
    count_si: Decimal | None
    text: str = field(compare=False)
    holds_for: str = ""
    up_to_si: Decimal | None = None
    more: tuple["Accuracy", ...] = ()

    def line_for(
        self, quantity: Quantity, value_si: Decimal, instrument: str = ""
    ) -> "Accuracy | None":
        """The line of the smallest range that holds this value; None if there is none."""
        lines = self.lines_of(quantity, instrument)
        return next((k for k in lines if k.up_to_si is None or abs(value_si) <= k.up_to_si), None)

    def lines_of(self, quantity: Quantity, instrument: str = "") -> "list[Accuracy]":
        """The lines for this quantity, that of the smallest range first.

        Args:
            instrument: as of a `Measurement`: another instrument's lines do not hold for it.
        """
        wanted = (instrument,) if instrument else ("", quantity.value, quantity.kind)
        fitting = [
            line
            for line in (self, *self.more)
            if line.holds_for in wanted
            and not (quantity is Quantity.TEMPERATURE and line.percent)  # of which scale?
        ]
        return sorted(fitting, key=lambda line: line.up_to_si or Decimal("Infinity"))


@dataclass(frozen=True, slots=True)
class MeasurementVerdict:
    """The verdict on one section, with all that it follows from.

    Attributes:
        section: rating and limits.
        readings_si: every repeated reading, SI, as shown (before the lead offset).
        lead_offset_si: subtracted from the mean.
        reading_si: what was judged: mean less lead offset and bias; None if there is no value.
        resolution_si: worth of the last digit; None if unknown.
        half_width_si: a of the accuracy line at this reading; None if not known.
        standard_uncertainty_si: u; None if the accuracy is not known.
        expanded_uncertainty_si: U = k·u; k is 2, and more for few readings that scatter.
        guard_band_si: w; 0 for the simple rule, None if the accuracy is not known.
        conformance_probability: 0..1; None if the accuracy is not known.
        verdict, reason: the finding.
        needed_half_width_si: for METER_TOO_COARSE: the accuracy half-width that could decide.
        bias_si: of the meter, as a person accepted it; subtracted from the mean, its uncertainty
            in u.
    """

    section: Measurement
    readings_si: tuple[Decimal, ...]
    lead_offset_si: Decimal
    reading_si: Decimal | None
    resolution_si: Decimal | None
    half_width_si: float | None
    standard_uncertainty_si: float | None
    expanded_uncertainty_si: float | None
    guard_band_si: float | None
    conformance_probability: float | None
    verdict: Verdict
    reason: Reason
    needed_half_width_si: float | None = None
    bias_si: Decimal = Decimal(0)
