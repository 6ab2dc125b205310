"""Numbers as instruments write them, and the unit of those that come without one."""

import math
import re
from decimal import Decimal

from msgspec.structs import replace

from benchmeter.errors import InputError
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.units import Unit
from benchmeter.readings.gate import Admitted, ShownField, WrittenUnit, place, weigh
from benchmeter.readings.reading import Indication
from benchmeter.readings.status import Status

__all__ = ["base_unit", "indicated", "shown_number", "unread"]

_NUMBER = re.compile(r"([+-]?) *((?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d{1,3})?)", re.ASCII)
_LONGEST_NUMBER = 40


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


def indicated(
    field: ShownField,
    text: str,
    number: Decimal | None,
    unit: WrittenUnit | None,
    *,
    told: Quantity | None = None,
    status: Status = Status.OK,
    step: Decimal | None = None,
) -> Indication:
    """What the gate admits, as an indication; `step`: worth of the last digit written.

    Raises:
        InputError: the gate refuses it.
    """
    found = place(field, text, unit, told, status)
    if number is None or found.unit is None:
        return unread(field, found, text)
    shown = Indication(field.name, found.quantity, number, found.unit, found.status, step, text)
    assert shown.value is not None, "it has a number and a unit"
    if shown.resolution is not None and not 0 < shown.resolution < math.inf:
        raise InputError("readings.no_number", text=text)
    weighed = weigh(field, shown.value, found, text)
    return shown if weighed is found.status else replace(shown, status=weighed)


def unread(field: ShownField, found: Admitted, text: str) -> Indication:
    """Why there is no value."""
    return Indication(field.name, found.quantity, None, None, found.status, None, text)
