"""The stored form of a part check."""

from datetime import date
from decimal import Decimal
from typing import Any

import msgspec

from benchmeter.checking.part_check import MeasurementCheck, PartCheck, Step, TakenReading
from benchmeter.checking.reference_check import reference_kind
from benchmeter.checking.safety import ResidualVoltage
from benchmeter.conformity.instrument_bias import MeterBias
from benchmeter.conformity.reference_part import ReferencePart
from benchmeter.conformity.verdict import Budget, Rule
from benchmeter.parts.by_label import kind_by_label
from benchmeter.parts.kind_catalogue import kind_fields
from benchmeter.parts.part_kind import PartKind
from benchmeter.parts.rated_part import CapacitorKind
from benchmeter.quantities.quantity import Quantity
from benchmeter.record.structs.older_kinds import kind_now
from benchmeter.record.structs.stored_judged import (
    StoredAccuracy,
    StoredMeasurement,
    StoredMeasurementVerdict,
    StoredPartVerdict,
    StoredRating,
    StoredSeenFault,
    restored_seen,
)

__all__ = ["StoredPartCheck", "StoredReferencePart"]


class StoredReferencePart(msgspec.Struct, frozen=True):
    name: str
    value_si: Decimal
    expanded_uncertainty_si: Decimal
    valued_on: date | None
    quantity: str = Quantity.CAPACITANCE.value
    unit: str = "µF"
    valued_by: str = ""
    due: date | None = None

    @classmethod
    def of(cls, part: ReferencePart) -> "StoredReferencePart":
        return cls(
            name=part.name,
            value_si=part.value_si,
            expanded_uncertainty_si=part.expanded_uncertainty_si,
            valued_on=part.valued_on,
            quantity=part.quantity.value,
            unit=part.unit,
            valued_by=part.valued_by,
            due=part.due,
        )

    def restored(self) -> ReferencePart:
        return ReferencePart(
            name=self.name,
            value_si=self.value_si,
            expanded_uncertainty_si=self.expanded_uncertainty_si,
            valued_on=self.valued_on,
            quantity=Quantity(self.quantity),
            unit=self.unit,
            valued_by=self.valued_by,
            due=self.due,
        )


class StoredBias(msgspec.Struct, frozen=True):
    channel: str
    bias_si: Decimal
    expanded_uncertainty_si: Decimal
    reference: StoredReferencePart

    @classmethod
    def of(cls, bias: MeterBias) -> "StoredBias":
        return cls(
            channel=bias.channel,
            bias_si=bias.bias_si,
            expanded_uncertainty_si=bias.expanded_uncertainty_si,
            reference=StoredReferencePart.of(bias.reference),
        )

    def restored(self) -> MeterBias:
        return MeterBias(
            channel=self.channel,
            bias_si=self.bias_si,
            expanded_uncertainty_si=self.expanded_uncertainty_si,
            reference=self.reference.restored(),
        )


class StoredResidualVoltage(msgspec.Struct, frozen=True):
    time_ns: int
    residual_v: float | None
    typed: bool

    @classmethod
    def of(cls, seen: ResidualVoltage) -> "StoredResidualVoltage":
        return cls(time_ns=seen.time_ns, residual_v=seen.residual_v, typed=seen.typed)

    def restored(self) -> ResidualVoltage:
        return ResidualVoltage(time_ns=self.time_ns, residual_v=self.residual_v, typed=self.typed)


class StoredTakenReading(msgspec.Struct, frozen=True):
    time_ns: int
    by_hand: bool
    verdict: StoredMeasurementVerdict
    text: str = ""

    @classmethod
    def of(cls, taken: TakenReading) -> "StoredTakenReading":
        return cls(
            time_ns=taken.time_ns,
            by_hand=taken.by_hand,
            verdict=StoredMeasurementVerdict.of(taken.verdict),
            text=taken.text,
        )

    def restored(self) -> TakenReading:
        return TakenReading(
            time_ns=self.time_ns,
            by_hand=self.by_hand,
            verdict=self.verdict.restored(),
            text=self.text,
        )


class StoredMeasurementCheck(msgspec.Struct, frozen=True):
    section: StoredMeasurement
    taken: tuple[StoredTakenReading, ...] = ()

    @classmethod
    def of(cls, check: MeasurementCheck) -> "StoredMeasurementCheck":
        return cls(
            section=StoredMeasurement.of(check.section),
            taken=tuple(map(StoredTakenReading.of, check.taken)),
        )

    def restored(self) -> MeasurementCheck:
        return MeasurementCheck(
            section=self.section.restored(), taken=tuple(t.restored() for t in self.taken)
        )


class StoredPartCheck(msgspec.Struct, frozen=True):
    number: int
    part: str
    channel: str
    rating: StoredRating
    accuracy: StoredAccuracy | None
    rule: str
    lead_offset_si: Decimal
    sections: tuple[StoredMeasurementCheck, ...]
    expected: str | None
    step: str
    kind: dict[str, Any] | None = None  # as its file writes it; None: nobody named it
    verdict: StoredPartVerdict | None = None
    lead_offset_ohm: Decimal = Decimal(0)
    lot: str = ""
    residual: StoredResidualVoltage | None = None
    supply: StoredResidualVoltage | msgspec.UnsetType = msgspec.UNSET  # AC: not seen
    reference: StoredReferencePart | None = None
    biases: tuple[StoredBias, ...] = ()
    held_si: Decimal | None = None
    moved: bool = True
    lifted: bool = True
    seen: StoredSeenFault | msgspec.UnsetType = msgspec.UNSET
    budget: str | msgspec.UnsetType = msgspec.UNSET  # the first
    lead_offset_u: tuple[float, float] | msgspec.UnsetType = msgspec.UNSET  # farad, ohm; none

    @classmethod
    def of(cls, check: PartCheck) -> "StoredPartCheck":
        u = (check.lead_offset_u_si, check.lead_offset_u_ohm)
        return cls(
            number=check.number,
            part=check.part,
            channel=check.channel,
            rating=StoredRating.of(check.rating),
            accuracy=None if check.accuracy is None else StoredAccuracy.of(check.accuracy),
            rule=check.rule.value,
            lead_offset_si=check.lead_offset_si,
            sections=tuple(map(StoredMeasurementCheck.of, check.sections)),
            expected=check.expected,
            step=check.step.value,
            kind=kind_fields(check.kind) if check.kind_named else None,
            verdict=None if check.verdict is None else StoredPartVerdict.of(check.verdict),
            lead_offset_ohm=check.lead_offset_ohm,
            lot=check.lot,
            residual=None if check.residual is None else StoredResidualVoltage.of(check.residual),
            supply=(
                msgspec.UNSET if check.supply is None else StoredResidualVoltage.of(check.supply)
            ),
            reference=(
                None if check.reference is None else StoredReferencePart.of(check.reference)
            ),
            biases=tuple(map(StoredBias.of, check.biases)),
            held_si=check.held_si,
            moved=check.moved,
            seen=StoredSeenFault.of(check.seen),
            lifted=check.lifted,
            budget=msgspec.UNSET if check.budget is Budget.FIRST else check.budget.value,
            lead_offset_u=(u if any(u) else msgspec.UNSET),
        )

    def restored(self) -> PartCheck:
        """The check.

        Raises:
            ValueError: a value that no check can have.
        """
        u_si, u_ohm = (0.0, 0.0) if self.lead_offset_u is msgspec.UNSET else self.lead_offset_u
        return PartCheck(
            number=self.number,
            part=self.part,
            channel=self.channel,
            rating=self.rating.restored(),
            accuracy=None if self.accuracy is None else self.accuracy.restored(),
            rule=Rule(self.rule),
            lead_offset_si=self.lead_offset_si,
            sections=tuple(s.restored() for s in self.sections),
            expected=self.expected,
            step=Step(self.step),
            kind=self._kind(),
            verdict=None if self.verdict is None else self.verdict.restored(),
            lead_offset_ohm=self.lead_offset_ohm,
            lot=self.lot,
            residual=None if self.residual is None else self.residual.restored(),
            supply=None if self.supply is msgspec.UNSET else self.supply.restored(),
            reference=None if self.reference is None else self.reference.restored(),
            biases=tuple(b.restored() for b in self.biases),
            held_si=self.held_si,
            moved=self.moved,
            seen=restored_seen(self.seen),
            lifted=self.lifted,
            budget=Budget.FIRST if self.budget is msgspec.UNSET else Budget(self.budget),
            lead_offset_u_si=u_si,
            lead_offset_u_ohm=u_ohm,
        )

    def _kind(self) -> PartKind:
        if self.reference is not None:
            return reference_kind(self.reference.restored())
        if self.kind is None:
            return kind_by_label(CapacitorKind(self.rating.kind))
        return msgspec.convert(kind_now(self.kind), PartKind)
