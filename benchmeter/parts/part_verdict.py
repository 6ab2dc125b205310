"""The verdict on a part: each measurement, and what they say together. The one place for both."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from benchmeter.conformity.judgement import judge_part
from benchmeter.conformity.verdict import (
    Accuracy,
    CapacitorKind,
    MeasurementVerdict,
    PartVerdict,
    Rating,
    Rule,
)

if TYPE_CHECKING:  # slow to import, and a capacitor by its label alone is judged without it
    from benchmeter.parts.part_kind import PartKind

__all__ = ["verdict_on_part"]


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
