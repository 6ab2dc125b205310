"""The verdict on a part: each measurement, and what they say together. The one place for both.

Of a lot `conformity.verdict_codes` judges plain readings at once, by the same rule.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
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
    Verdict,
)
from benchmeter.parts.conclusion import (
    Conclusion,
    PartVerdict,
    judge_part,
)
from benchmeter.parts.rated_part import (
    CapacitorKind,
    Rating,
)
from benchmeter.parts.seen import SeenFault

if TYPE_CHECKING:  # slow to import, and a capacitor by its label alone is judged without it
    from benchmeter.parts.part_kind import PartKind

__all__ = [
    "ShownReading",
    "decides",
    "depend_on_each_other",
    "judge_readings",
    "judge_shown",
    "verdict_on_part",
]


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
    seen: SeenFault | None = None,
) -> PartVerdict:
    """The verdict on a part from what the meter showed; alone, or one of a lot.

    Args:
        kind, rating, accuracy, rule: as for `verdict_on_part`.
        shown: of each measurement its repeated readings; none: not measured.
        offsets: subtracted from the readings.
        seen: on the part.
    """
    measured = [
        judge_readings(measurement, readings, accuracy, rule, offsets)
        for measurement, readings in shown
    ]
    return verdict_on_part(kind, rating, measured, accuracy, rule=rule, seen=seen)


def verdict_on_part(
    kind: "PartKind | CapacitorKind",
    rating: Rating,
    measured: Sequence[MeasurementVerdict],
    accuracy: Accuracy | None,
    *,
    rule: Rule,
    seen: SeenFault | None = None,
) -> PartVerdict:
    """The worst of what is of the part: measurements, and conclusions that the kind draws.

    What is of its supply, its control or an accessory is told beside the verdict; see `beside`.

    Args:
        kind: of the part; a `CapacitorKind` stands for its `kind_by_label`, which concludes
            nothing.
        rating: as `rate` gives it for that kind.
        measured: of each measurement the last verdict.
        accuracy: the meter's; what each reading's uncertainty came from.
        seen: a fault that decides, whatever was measured.

    Raises:
        InputError: the rating is not of that kind.
    """
    if isinstance(kind, CapacitorKind):
        return judge_part(rating, rule, accuracy, measured, seen=seen)
    by_name = {verdict.section.name: verdict for verdict in measured}
    measured = [_dependent(verdict, kind, by_name) for verdict in measured]
    if not kind.conclusions:
        conclusions: tuple[Conclusion, ...] = ()
    else:
        from benchmeter.parts.combined.conclusions import conclude

        conclusions = conclude(kind, rating.text, rating, measured, accuracy, rule=rule)
    deciding = [verdict for verdict in measured if decides(kind, verdict.section)]
    words = [verdict.verdict for verdict in deciding]
    for drawn, conclusion in zip(kind.conclusions, conclusions, strict=True):
        words += [conclusion.word] * (drawn.subject == "part")
    if any(v.section.unrated and v.verdict is Verdict.MEASURED for v in deciding):
        # What could not be graded is not proven good by the rest.
        words = [Verdict.MEASURED if word in _ENOUGH else word for word in words]
    return judge_part(rating, rule, accuracy, measured, conclusions, words, seen)


def decides(kind: "PartKind | CapacitorKind", section: Measurement) -> bool:
    """Whether a measurement by itself decides the part.

    Those of supply, control or accessory do not; pairs of a winding decide together.
    """
    if isinstance(kind, CapacitorKind):
        return True
    from benchmeter.parts.part_kind import WindingsRule

    together = (r.pairs for r in kind.conclusions if isinstance(r, WindingsRule) and r.state)
    return kind.measure_of(section.name).subject == "part" and not any(
        section.name in pairs for pairs in together
    )


def depend_on_each_other(kind: "PartKind | CapacitorKind") -> bool:
    """Whether the verdict on such a part takes more than the worst of its measurements."""
    if isinstance(kind, CapacitorKind):
        return False
    return bool(kind.conclusions) or any(measure.needs for measure in kind.measures)


_ENOUGH = (Verdict.PASS, Verdict.CONDITIONAL_PASS, Verdict.MEASURED)
_BY_VALUE = (*_ENOUGH[:2], Verdict.CONDITIONAL_FAIL, Verdict.FAIL)


def _dependent(
    verdict: MeasurementVerdict, kind: "PartKind", by_name: Mapping[str, MeasurementVerdict]
) -> MeasurementVerdict:
    """Undecidable where what it depends on is not good, or was not measured."""
    needs = kind.measure_of(verdict.section.name).needs
    if verdict.verdict not in _BY_VALUE or all(
        name in by_name and by_name[name].verdict in _ENOUGH for name in needs
    ):
        return verdict
    return replace(
        verdict, verdict=Verdict.UNDECIDABLE, reason=Reason.DEPENDS, conformance_probability=None
    )


def judge_readings(
    measurement: Measurement,
    shown: Sequence[ShownReading],
    accuracy: Accuracy | None,
    rule: Rule,
    offsets: LeadOffsets,
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
        lead_offset_si=offsets.of(measurement),
        lead_offset_u_si=offsets.u_of(measurement),
    )
