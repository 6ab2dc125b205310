"""From the number that an instrument shows or sends to an indication in SI."""

import math
import re
from dataclasses import dataclass
from decimal import Decimal

from msgspec.structs import replace

from benchmeter.errors import Message
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.units import Unit
from benchmeter.readings.reading import Garbled, Indication, Status

__all__ = [
    "ShownField",
    "base_unit",
    "no_indication",
    "shown_indication",
    "shown_number",
    "wrong_function",
]

_NUMBER = re.compile(r"([+-]?) *((?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d{1,3})?)", re.ASCII)
_LONGEST_NUMBER = 40


@dataclass(frozen=True, slots=True)
class ShownField:
    """One value of a wire format, as the profile describes it.

    Attributes:
        name: of the field; "" where the format has one value only.
        quantity: what it measures; None where the instrument says so itself.
        unit: of the number on the wire where the format does not carry it.
        lowest, highest: plausible range, in SI; None for no limit.
        doubtful: values in SI that stand for something else, such as a probe's power-up value.

    Where the instrument says what it measures, range and doubtful values hold for what `unit` can
    measure only: limits of a temperature are none of a resistance.
    """

    name: str = ""
    quantity: Quantity | None = None
    unit: Unit | None = None
    lowest: float | None = None
    highest: float | None = None
    doubtful: tuple[float, ...] = ()


def base_unit(quantity: Quantity, field: ShownField | None = None) -> Unit:
    """Unit of a bare number: the field's where it can measure `quantity`, else the base unit.

    The base unit of temperature is °C, that of a ratio %: so meters send them.
    """
    if field is not None and field.unit is not None and field.unit.kind == quantity.kind:
        return field.unit
    return quantity.wire_unit


def shown_number(text: str) -> Decimal | None:
    """The number in `text`, every digit kept; None if it is none.

    A comma is a decimal sign: instruments do not part thousands.

    >>> shown_number("- 1,230")
    Decimal('-1.230')
    """
    if len(text) > _LONGEST_NUMBER:
        return None
    match = _NUMBER.fullmatch(text.strip())
    return Decimal((match[1] + match[2]).replace(",", ".")) if match else None


def shown_indication(
    field: ShownField,
    quantity: Quantity,
    number: Decimal,
    unit: Unit,
    text: str,
    step: Decimal | None,
) -> Indication | Garbled:
    """The indication of a number; SUSPECT where it is not plausible, value kept.

    Args:
        unit: of `number`.
        text: as the instrument wrote it.
        step: what the last digit is worth that was shown, in `unit`; None if not known.
    """
    shown = Indication(field.name, quantity, number, unit, Status.OK, step, text)
    value, resolution = shown.value, shown.resolution
    assert value is not None, "it has a number and a unit"
    if not math.isfinite(value) or not (resolution is None or 0 < resolution < math.inf):
        return Garbled(Message("decoders.number_too_large"), text.encode())
    limited = field.unit is None or field.unit.kind == quantity.kind
    plausible = not limited or (
        value not in field.doubtful
        and (field.lowest is None or value >= field.lowest)
        and (field.highest is None or value <= field.highest)
    )
    least = quantity.row.least_si
    if least is not None and value < least:
        plausible = False
    return shown if plausible else replace(shown, status=Status.SUSPECT)


def no_indication(
    field: ShownField, quantity: Quantity | None, status: Status, text: str
) -> Indication:
    """Why there is no value."""
    return Indication(field.name, quantity, None, None, status, None, text)


def wrong_function(field: ShownField, said: Quantity | None, text: str) -> Indication:
    """The meter is set to another quantity; `said` is None where it names one unknown here."""
    return no_indication(field, said, Status.WRONG_FUNCTION, text)
