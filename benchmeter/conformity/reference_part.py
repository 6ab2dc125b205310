"""Part or meter: what a reference part of known value says about the meter."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum

from benchmeter.conformity.decision import at_least
from benchmeter.conformity.uncertainty import (
    COVERAGE_FACTOR,
    half_width,
    mean_deviation,
    standard_uncertainty,
)
from benchmeter.conformity.verdict import Accuracy
from benchmeter.errors import InputError
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.units import UNITS, Unit

__all__ = [
    "KIND_OF_PARTS",
    "Compatibility",
    "MeterReason",
    "MeterVerdict",
    "ReferencePart",
    "compare_with_reference",
    "compatibility",
    "quantity_of",
    "shown_unit",
]


_QUANTITY = {
    "capacitance": Quantity.CAPACITANCE,
    "resistance": Quantity.RESISTANCE,
    "voltage": Quantity.VOLTAGE_DC,
}

KIND_OF_PARTS = tuple(_QUANTITY)
"""Kinds of units that the value of a reference part can have."""


_SMALLEST_SI, _LARGEST_SI = Decimal("1e-20"), Decimal("1e15")  # no part goes beyond, in any unit


def quantity_of(unit: Unit) -> Quantity:
    """What a meter must be set to for a part whose value is told in this unit."""
    return _QUANTITY[unit.kind]


def shown_unit(unit: Unit) -> str:
    """The unit that such a part is written in: µF for every capacitance, else as it was told."""
    return "µF" if unit.kind == "capacitance" else unit.symbol


class MeterVerdict(StrEnum):
    """The verdict on the meter."""

    AGREES = "meter agrees"
    DIFFERS = "meter differs"
    CANNOT_TELL = "cannot tell"


class MeterReason(StrEnum):
    """Why."""

    WITHIN = "within both uncertainties"
    BEYOND = "beyond both uncertainties"
    ACCURACY_UNKNOWN = "accuracy unknown"
    REFERENCE_TOO_COARSE = "reference less certain than the meter"


@dataclass(frozen=True, slots=True)
class ReferencePart:
    """A part whose value is known better than the meter knows it.

    Attributes:
        value_si: exact.
        expanded_uncertainty_si: U with k = 2, above zero; drift since `valued_on` included.
        valued_on: when its value was determined; None if nobody wrote it down.
        quantity: what the meter must be set to.
        unit: in which it is written, a symbol of `quantities.units`.
        valued_by: who determined it, and by what paper; "" if nobody wrote it down.
        due: when it is to be determined again; None if nobody said.

    Raises:
        InputError: a value or an uncertainty that is absurd or not above zero, or a unit of another
            quantity.
    """

    name: str
    value_si: Decimal
    expanded_uncertainty_si: Decimal
    valued_on: date | None
    quantity: Quantity = Quantity.CAPACITANCE
    unit: str = "µF"
    valued_by: str = ""
    due: date | None = None

    def __post_init__(self) -> None:
        values = (self.value_si, self.expanded_uncertainty_si)
        if not all(value.is_finite() and _SMALLEST_SI < value < _LARGEST_SI for value in values):
            raise InputError("conformity.reference_without_value", name=self.name)
        unit = UNITS.get(self.unit)
        if unit is None or _QUANTITY.get(unit.kind) is not self.quantity:
            raise InputError(
                "conformity.reference_of_other_unit",
                name=self.name,
                quantity=self.quantity,
                unit=self.unit,
            )


@dataclass(frozen=True, slots=True)
class Compatibility:
    """A reading of a reference part against its value. It corrects no other reading.

    Attributes:
        read_on: date of the reading.
        reading_si: mean of the repeated readings less the lead offset.
        difference_si: reading less reference.
        expanded_uncertainty_si: of the difference, k = 2; None if the accuracy is unknown.
        en_number: difference over its uncertainty; None likewise.
    """

    reference: ReferencePart
    read_on: date
    reading_si: Decimal
    difference_si: Decimal
    expanded_uncertainty_si: float | None
    en_number: float | None
    verdict: MeterVerdict
    reason: MeterReason


def compare_with_reference(
    reference: ReferencePart,
    readings_si: Sequence[Decimal],
    read_on: date,
    *,
    resolution_si: Decimal | None,
    accuracy: Accuracy | None,
    lead_offset_si: Decimal = Decimal(0),
) -> Compatibility:
    """Whether the meter's reading and the reference agree within what both claim.

    En = (x - X)/√(U² + Uref²), agreement where |En| ≤ 1 (ISO/IEC 17043, performance statistics).
    A reference that is less certain than the meter can show that the meter differs. That it
    agrees would say nothing, so it is "cannot tell" (common practice, no source).

    Args:
        readings_si: repeated readings as shown, at least one.
        resolution_si: worth of the last digit; None if unknown.
        accuracy: the meter's lines.

    Raises:
        InputError: the reading is older than the value of the reference.
    """
    if reference.valued_on is not None and read_on < reference.valued_on:
        raise InputError(
            "conformity.reading_before_value",
            read_on=read_on,
            name=reference.name,
            valued_on=reference.valued_on,
        )
    shown_si = sum(readings_si, Decimal(0)) / len(readings_si)
    line = None if accuracy is None else accuracy.line_for(reference.quantity, shown_si)
    a = None if line is None else half_width(shown_si, line, resolution_si)
    own = (
        None
        if a is None
        else COVERAGE_FACTOR * standard_uncertainty(a, mean_deviation(readings_si))
    )
    return compatibility(reference, shown_si - lead_offset_si, own, read_on)


def compatibility(
    reference: ReferencePart,
    reading_si: Decimal,
    expanded_uncertainty_si: float | None,
    read_on: date,
) -> Compatibility:
    """The same for a reading whose expanded uncertainty U is known already; None: it is not."""
    difference_si = reading_si - reference.value_si
    expanded = en = None
    word, reason = MeterVerdict.CANNOT_TELL, MeterReason.ACCURACY_UNKNOWN
    if expanded_uncertainty_si is not None:
        own, theirs = expanded_uncertainty_si, float(reference.expanded_uncertainty_si)
        expanded = math.hypot(own, theirs)
        en = float(difference_si) / expanded
        if not at_least(1.0, abs(en)):
            word, reason = MeterVerdict.DIFFERS, MeterReason.BEYOND
        elif not at_least(own, theirs):
            reason = MeterReason.REFERENCE_TOO_COARSE
        else:
            word, reason = MeterVerdict.AGREES, MeterReason.WITHIN
    return Compatibility(
        reference=reference,
        read_on=read_on,
        reading_si=reading_si,
        difference_si=difference_si,
        expanded_uncertainty_si=expanded,
        en_number=en,
        verdict=word,
        reason=reason,
    )
