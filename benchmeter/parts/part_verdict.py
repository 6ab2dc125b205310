"""The verdict on a part: each measurement, and what they say together. The one place for both.

Of a lot `conformity.verdict_codes` judges plain readings at once, by the same rule.
"""

from collections.abc import Sequence
from decimal import Decimal
from typing import TYPE_CHECKING, Protocol

from benchmeter.conformity.judgement import (
    judge_measurement,
    without_value,
)
from benchmeter.conformity.lead_offset import LeadOffsets
from benchmeter.conformity.verdict import (
    Accuracy,
    Measurement,
    MeasurementVerdict,
    Reason,
    Rule,
)
from benchmeter.parts.conclusion import (
    PartVerdict,
    judge_part,
)
from benchmeter.parts.rated_part import (
    CapacitorKind,
    Rating,
)

if TYPE_CHECKING:  # slow to import, and a capacitor by its label alone is judged without it
    from benchmeter.parts.part_kind import PartKind

__all__ = ["ShownReading", "judge_readings", "judge_shown", "verdict_on_part"]


class ShownReading(Protocol):
    """A value with the worth of its last digit, or the reason why there is none; SI."""

    @property
    def value_si(self) -> Decimal | None: ...
    @property
    def resolution_si(self) -> Decimal | None: ...
    @property
    def reason(self) -> Reason | None: ...


def judge_shown(
    kind: "PartKind | CapacitorKind",
    rating: Rating,
    shown: Sequence[tuple[Measurement, Sequence[ShownReading]]],
    accuracy: Accuracy | None,
    *,
    rule: Rule,
    offsets: LeadOffsets,
) -> PartVerdict:
    """The verdict on a part from what the meter showed; alone, or one of a lot.

    Args:
        kind, rating, accuracy, rule: as for `verdict_on_part`.
        shown: of each measurement its repeated readings; none: not measured.
        offsets: subtracted from the readings.
    """
    measured = [
        judge_readings(measurement, readings, accuracy, rule, offsets.of(measurement))
        for measurement, readings in shown
    ]
    return verdict_on_part(kind, rating, measured, accuracy, rule=rule)


def verdict_on_part(
    kind: "PartKind | CapacitorKind",
    rating: Rating,
    measured: Sequence[MeasurementVerdict],
    accuracy: Accuracy | None,
    *,
    rule: Rule,
) -> PartVerdict:
    """The worst of the measurements and of the conclusions that the kind draws from them.

    Args:
        kind: of the part; a `CapacitorKind` stands for its `kind_by_label`, which concludes
            nothing.
        rating: as `rate` gives it for that kind.
        measured: of each measurement the last verdict.
        accuracy: the meter's; what each reading's uncertainty came from.

    Raises:
        InputError: the rating is not of that kind.
    """
    if isinstance(kind, CapacitorKind) or not kind.conclusions:
        return judge_part(rating, rule, accuracy, measured)
    from benchmeter.parts.combined.conclusions import conclude

    conclusions = conclude(kind, rating.text, rating, measured, accuracy, rule=rule)
    return judge_part(rating, rule, accuracy, measured, conclusions)


def judge_readings(
    measurement: Measurement,
    shown: Sequence[ShownReading],
    accuracy: Accuracy | None,
    rule: Rule,
    lead_offset_si: Decimal,
) -> MeasurementVerdict:
    """The verdict on one measurement from what the meter showed of it."""
    values = [r.value_si for r in shown if r.value_si is not None]
    if not values:
        reasons = [r.reason for r in shown if r.reason is not None]
        return without_value(measurement, reasons[0] if reasons else Reason.NOT_MEASURED)
    return judge_measurement(
        measurement,
        values,
        resolution_si=max(
            (r.resolution_si for r in shown if r.resolution_si is not None), default=None
        ),
        accuracy=accuracy,
        rule=rule,
        lead_offset_si=lead_offset_si,
    )
