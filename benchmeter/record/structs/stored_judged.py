"""The stored form of what was judged: the label, the meter's accuracy, measurements, verdicts."""

from decimal import Decimal

import msgspec

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
    finding_in,
)
from benchmeter.parts.rated_part import (
    Rating,
)
from benchmeter.parts.seen import Look, SeenFault
from benchmeter.quantities.quantity import Quantity

__all__ = [
    "StoredAccuracy",
    "StoredConclusion",
    "StoredMeasurement",
    "StoredMeasurementVerdict",
    "StoredPartVerdict",
    "StoredRating",
    "StoredSeenFault",
    "restored_seen",
]


class StoredMeasurement(msgspec.Struct, frozen=True):
    name: str
    rated_si: Decimal | None
    low_si: Decimal | None
    high_si: Decimal | None
    quantity: str = Quantity.CAPACITANCE.value
    unit: str = "µF"
    shorted_below_si: Decimal | None = None
    overload: str | None = None
    idle_below_si: Decimal | msgspec.UnsetType = msgspec.UNSET  # left out: what is sealed stays
    unrated: bool | msgspec.UnsetType = msgspec.UNSET
    common_practice: bool | msgspec.UnsetType = msgspec.UNSET
    instrument: str | msgspec.UnsetType = msgspec.UNSET

    @classmethod
    def of(cls, measurement: Measurement) -> "StoredMeasurement":
        return cls(
            name=measurement.name,
            rated_si=measurement.rated_si,
            low_si=measurement.low_si,
            high_si=measurement.high_si,
            quantity=measurement.quantity.value,
            unit=measurement.unit,
            shorted_below_si=measurement.shorted_below_si,
            overload=None if measurement.overload is None else measurement.overload.value,
            idle_below_si=(
                msgspec.UNSET if measurement.idle_below_si is None else measurement.idle_below_si
            ),
            unrated=measurement.unrated or msgspec.UNSET,
            common_practice=measurement.common_practice or msgspec.UNSET,
            instrument=measurement.instrument or msgspec.UNSET,
        )

    def restored(self) -> Measurement:
        return Measurement(
            name=self.name,
            rated_si=self.rated_si,
            low_si=self.low_si,
            high_si=self.high_si,
            quantity=Quantity(self.quantity),
            unit=self.unit,
            shorted_below_si=self.shorted_below_si,
            overload=None if self.overload is None else Verdict(self.overload),
            idle_below_si=(None if self.idle_below_si is msgspec.UNSET else self.idle_below_si),
            unrated=self.unrated is True,
            common_practice=self.common_practice is True,
            instrument="" if self.instrument is msgspec.UNSET else self.instrument,
        )


class StoredRating(msgspec.Struct, frozen=True):
    text: str
    kind: str
    sections: tuple[StoredMeasurement, ...]
    tolerance: str
    tolerance_from: str
    voltages_v: tuple[int, ...]
    frequencies_hz: tuple[int, ...]

    @classmethod
    def of(cls, rating: Rating) -> "StoredRating":
        return cls(
            text=rating.text,
            kind=rating.kind,
            sections=tuple(map(StoredMeasurement.of, rating.sections)),
            tolerance=rating.tolerance,
            tolerance_from=rating.tolerance_from,
            voltages_v=rating.voltages_v,
            frequencies_hz=rating.frequencies_hz,
        )

    def restored(self) -> Rating:
        return Rating(
            text=self.text,
            kind=self.kind,
            sections=tuple(s.restored() for s in self.sections),
            tolerance=self.tolerance,
            tolerance_from=self.tolerance_from,
            voltages_v=self.voltages_v,
            frequencies_hz=self.frequencies_hz,
        )


class StoredAccuracy(msgspec.Struct, frozen=True):
    percent: Decimal
    counts: Decimal
    count_si: Decimal | None
    text: str
    holds_for: str = ""
    up_to_si: Decimal | None = None
    more: "tuple[StoredAccuracy, ...]" = ()

    @classmethod
    def of(cls, accuracy: Accuracy) -> "StoredAccuracy":
        return cls(
            percent=accuracy.percent,
            counts=accuracy.counts,
            count_si=accuracy.count_si,
            text=accuracy.text,
            holds_for=accuracy.holds_for,
            up_to_si=accuracy.up_to_si,
            more=tuple(map(StoredAccuracy.of, accuracy.more)),
        )

    def restored(self) -> Accuracy:
        return Accuracy(
            percent=self.percent,
            counts=self.counts,
            count_si=self.count_si,
            text=self.text,
            holds_for=self.holds_for,
            up_to_si=self.up_to_si,
            more=tuple(line.restored() for line in self.more),
        )


class StoredMeasurementVerdict(msgspec.Struct, frozen=True):
    section: StoredMeasurement
    readings_si: tuple[Decimal, ...]
    lead_offset_si: Decimal
    reading_si: Decimal | None
    resolution_si: Decimal | None
    half_width_si: float | None
    standard_uncertainty_si: float | None
    expanded_uncertainty_si: float | None
    guard_band_si: float | None
    conformance_probability: float | None
    verdict: str
    reason: str
    needed_half_width_si: float | None = None
    bias_si: Decimal = Decimal(0)

    @classmethod
    def of(cls, found: MeasurementVerdict) -> "StoredMeasurementVerdict":
        return cls(
            section=StoredMeasurement.of(found.section),
            readings_si=found.readings_si,
            lead_offset_si=found.lead_offset_si,
            reading_si=found.reading_si,
            resolution_si=found.resolution_si,
            half_width_si=found.half_width_si,
            standard_uncertainty_si=found.standard_uncertainty_si,
            expanded_uncertainty_si=found.expanded_uncertainty_si,
            guard_band_si=found.guard_band_si,
            conformance_probability=found.conformance_probability,
            verdict=found.verdict.value,
            reason=found.reason.value,
            needed_half_width_si=found.needed_half_width_si,
            bias_si=found.bias_si,
        )

    def restored(self) -> MeasurementVerdict:
        return MeasurementVerdict(
            section=self.section.restored(),
            readings_si=self.readings_si,
            lead_offset_si=self.lead_offset_si,
            reading_si=self.reading_si,
            resolution_si=self.resolution_si,
            half_width_si=self.half_width_si,
            standard_uncertainty_si=self.standard_uncertainty_si,
            expanded_uncertainty_si=self.expanded_uncertainty_si,
            guard_band_si=self.guard_band_si,
            conformance_probability=self.conformance_probability,
            verdict=Verdict(self.verdict),
            reason=Reason(self.reason),
            needed_half_width_si=self.needed_half_width_si,
            bias_si=self.bias_si,
        )


class StoredConclusion(msgspec.Struct, frozen=True):
    name: str
    word: str
    finding: str
    value_si: float | None = None
    expanded_uncertainty_si: float | None = None
    low_si: float | None = None
    high_si: float | None = None
    unit: str = ""
    terminals: dict[str, str] = {}
    names: tuple[str, ...] = ()

    @classmethod
    def of(cls, conclusion: Conclusion) -> "StoredConclusion":
        return cls(
            name=conclusion.name,
            word=conclusion.word.value,
            finding=conclusion.finding.value,
            value_si=conclusion.value_si,
            expanded_uncertainty_si=conclusion.expanded_uncertainty_si,
            low_si=conclusion.low_si,
            high_si=conclusion.high_si,
            unit=conclusion.unit,
            terminals=conclusion.terminals,
            names=conclusion.names,
        )

    def restored(self) -> Conclusion:
        return Conclusion(
            name=self.name,
            word=Verdict(self.word),
            finding=finding_in(self.finding),
            value_si=self.value_si,
            expanded_uncertainty_si=self.expanded_uncertainty_si,
            low_si=self.low_si,
            high_si=self.high_si,
            unit=self.unit,
            terminals=self.terminals,
            names=self.names,
        )


class StoredSeenFault(msgspec.Struct, frozen=True):
    look: str
    words: str
    photo: str = ""

    @classmethod
    def of(cls, seen: SeenFault | None) -> "StoredSeenFault | msgspec.UnsetType":
        return msgspec.UNSET if seen is None else cls(seen.look.value, seen.words, seen.photo)


def restored_seen(stored: StoredSeenFault | msgspec.UnsetType) -> SeenFault | None:
    """What was seen.

    Raises:
        ValueError: a look that is not known.
    """
    if isinstance(stored, msgspec.UnsetType):
        return None
    return SeenFault(Look(stored.look), stored.words, stored.photo)


class StoredPartVerdict(msgspec.Struct, frozen=True):
    rating: StoredRating
    rule: str
    accuracy: StoredAccuracy | None
    sections: tuple[StoredMeasurementVerdict, ...]
    verdict: str
    conclusions: tuple[StoredConclusion, ...] = ()
    seen: StoredSeenFault | msgspec.UnsetType = msgspec.UNSET

    @classmethod
    def of(cls, found: PartVerdict) -> "StoredPartVerdict":
        return cls(
            rating=StoredRating.of(found.rating),
            rule=found.rule.value,
            accuracy=None if found.accuracy is None else StoredAccuracy.of(found.accuracy),
            sections=tuple(map(StoredMeasurementVerdict.of, found.sections)),
            verdict=found.verdict.value,
            conclusions=tuple(map(StoredConclusion.of, found.conclusions)),
            seen=StoredSeenFault.of(found.seen),
        )

    def restored(self) -> PartVerdict:
        return PartVerdict(
            rating=self.rating.restored(),
            rule=Rule(self.rule),
            accuracy=None if self.accuracy is None else self.accuracy.restored(),
            sections=tuple(s.restored() for s in self.sections),
            verdict=Verdict(self.verdict),
            conclusions=tuple(c.restored() for c in self.conclusions),
            seen=restored_seen(self.seen),
        )
