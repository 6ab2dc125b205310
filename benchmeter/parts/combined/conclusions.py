"""What several measurements of a part say together: one conclusion for each rule of its kind."""

from collections.abc import Sequence

from benchmeter.conformity.verdict import (
    Accuracy,
    MeasurementVerdict,
    Rule,
)
from benchmeter.parts.combined.alike import (
    conclude_alike,
    conclude_difference,
    conclude_unbalance,
)
from benchmeter.parts.combined.evidence import Evidence
from benchmeter.parts.combined.motor_windings import conclude_windings
from benchmeter.parts.combined.sensor import conclude_sensor
from benchmeter.parts.combined.under_load import conclude_under_load
from benchmeter.parts.conclusion import (
    Conclusion,
)
from benchmeter.parts.part_kind import (
    AlikeRule,
    DifferenceRule,
    PartKind,
    SensorRule,
    UnbalanceRule,
    UnderLoadRule,
    WindingsRule,
)
from benchmeter.parts.part_kind import Rule as KindRule
from benchmeter.parts.rated_part import (
    Rating,
)

__all__ = ["conclude"]


def conclude(
    kind: PartKind,
    label: str,
    rating: Rating,
    sections: Sequence[MeasurementVerdict],
    accuracy: Accuracy | None,
    *,
    rule: Rule,
) -> tuple[Conclusion, ...]:
    """The conclusions of a kind, in its order.

    A measurement that has no usable value leaves its conclusions "not measured", except where that
    is itself the finding: a pair of a winding that is open.

    Args:
        label: what was typed for the part.
        sections: of each measurement the last one counts.
        accuracy: the meter's; what each reading's uncertainty came from.
        rule: decision rule.

    Raises:
        InputError: the label does not fit the kind; `rate` refuses it before anything is measured.
    """
    evidence = Evidence(kind, label, rating, {s.section.name: s for s in sections}, accuracy, rule)
    return tuple(_conclude(drawn, evidence) for drawn in kind.conclusions)


def _conclude(drawn: KindRule, evidence: Evidence) -> Conclusion:
    match drawn:
        case WindingsRule():
            return conclude_windings(drawn, evidence)
        case AlikeRule():
            return conclude_alike(drawn, evidence)
        case UnbalanceRule():
            return conclude_unbalance(drawn, evidence)
        case UnderLoadRule():
            return conclude_under_load(drawn, evidence)
        case SensorRule():
            return conclude_sensor(drawn, evidence)
        case DifferenceRule():
            return conclude_difference(drawn, evidence)
