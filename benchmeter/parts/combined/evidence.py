"""What a conclusion is drawn from: the last verdict of each measurement, with its uncertainty."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from benchmeter.conformity.decision import zone
from benchmeter.conformity.uncertainty import COVERAGE_FACTOR
from benchmeter.conformity.verdict import (
    Accuracy,
    MeasurementVerdict,
    Reason,
    Rule,
    Verdict,
)
from benchmeter.parts.conclusion import (
    Conclusion,
)
from benchmeter.parts.part_kind import PartKind
from benchmeter.parts.rated_part import (
    Rating,
)
from benchmeter.quantities.quantity import Quantity

__all__ = ["Evidence", "Value", "decide", "expanded", "not_measured"]


@dataclass(frozen=True, slots=True)
class Value:
    """A usable value of a measurement.

    Attributes:
        si: what was judged, SI.
        u_si: standard uncertainty; None if not known.
        line: of the meter's accuracy that holds for it; None if there is none.
        verdict: where it comes from.
    """

    si: float
    u_si: float | None
    line: Accuracy | None
    verdict: MeasurementVerdict

    @property
    def count_unknown(self) -> bool:
        """The uncertainty is not known for want of a count's worth."""
        return self.u_si is None and self.line is not None


@dataclass(frozen=True, slots=True)
class Evidence:
    """All that the rules of a kind may look at.

    Attributes:
        label: what was typed for the part.
        sections: the last verdict of each measurement by its name.
        rule: decision rule.
    """

    kind: PartKind
    label: str
    rating: Rating
    sections: Mapping[str, MeasurementVerdict]
    accuracy: Accuracy | None
    rule: Rule

    def value(self, name: str) -> Value | None:
        """The value of a measurement; None if there is none."""
        found = self.sections.get(name)
        if found is None or found.reading_si is None:
            return None
        line = None
        if self.accuracy is not None:
            shown_si = found.reading_si + found.lead_offset_si
            line = self.accuracy.line_for(
                found.section.quantity, shown_si, found.section.instrument
            )
        return Value(float(found.reading_si), found.standard_uncertainty_si, line, found)

    def values(self, names: Sequence[str]) -> list[Value] | None:
        """The values of several measurements; None if one is missing."""
        found = [value for name in names if (value := self.value(name)) is not None]
        return found if len(found) == len(names) else None

    def word(self, name: str) -> Verdict | None:
        """The verdict on a measurement by itself; None if it was never taken."""
        found = self.sections.get(name)
        return None if found is None else found.verdict

    def is_open(self, name: str) -> bool:
        """Whether a winding is open there: a meter in ohms shows that as overload."""
        found = self.sections.get(name)
        if found is None or found.verdict is Verdict.PASS:
            return False
        ohms = found.section.quantity.kind == Quantity.RESISTANCE.kind
        return found.verdict is Verdict.OPEN or (ohms and found.reason is Reason.OVERLOAD)


def not_measured(name: str) -> Conclusion:
    """The conclusion where a value is missing."""
    return Conclusion(name, Verdict.NO_READING, Reason.NOT_MEASURED)


def expanded(u_si: float | None) -> float | None:
    """U = k·u."""
    return None if u_si is None else COVERAGE_FACTOR * u_si


def decide(
    y: float,
    low: float | None,
    high: float | None,
    u: float | None,
    rule: Rule,
    *,
    count_unknown: bool,
) -> tuple[Verdict, Reason]:
    """The verdict on what was computed, as `judge_measurement` gives it on what was read.

    Args:
        low, high: limits; None: no limit on that side.
        u: standard uncertainty; None accepts simply by the limits and says so.
        count_unknown: why there is no u.
    """
    low = -math.inf if low is None else low
    high = math.inf if high is None else high
    if u is not None:
        return zone(y, low, high, COVERAGE_FACTOR * u if rule is Rule.GUARDED else 0.0)
    if count_unknown:
        return Verdict.UNDECIDABLE, Reason.COUNT_UNKNOWN
    word, reason = zone(y, low, high, 0.0)
    return word, _UNKNOWN[reason]


_UNKNOWN = {
    Reason.INSIDE_SIMPLE: Reason.INSIDE_ACCURACY_UNKNOWN,
    Reason.BELOW: Reason.BELOW_ACCURACY_UNKNOWN,
    Reason.ABOVE: Reason.ABOVE_ACCURACY_UNKNOWN,
}
