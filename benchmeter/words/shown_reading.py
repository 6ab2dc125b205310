"""What a meter shows, as digits and unit: its own where it wrote them."""

import math
from decimal import Context, Decimal

from benchmeter.errors import InputError
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.typed_numbers import parse_number
from benchmeter.quantities.units import find_unit, split_value, to_si
from benchmeter.readings.reading import Reading
from benchmeter.readings.status import Status
from benchmeter.words.numbers import NOTHING, decimal, decimals_of, in_unit, number_text
from benchmeter.words.presentation import Presentation

__all__ = ["reading_text"]

_SHORT = Context(prec=9)
_SIGNIFICANT = 4  # digits of a value whose resolution is not known


def reading_text(
    reading: Reading, quantity: Quantity, presentation: Presentation
) -> tuple[str, str]:
    """A reading as digits and unit: ("44.10", "µF").

    The meter's own digits and unit where it wrote them; a temperature in the other unit has the
    digits that its resolution supports. "OL" for an overload; `NOTHING` without a value.
    """
    if reading.status is Status.OVERLOAD:
        return "OL", ""
    if reading.value is None or not math.isfinite(reading.value):
        return NOTHING, ""
    value, decimals, unit = _written(reading, reading.value, quantity, presentation)
    return presentation.number(number_text(value, decimals)), unit


def _written(
    reading: Reading, value: float, quantity: Quantity, presentation: Presentation
) -> tuple[Decimal, int, str]:
    kind, degrees = quantity.kind, presentation.temperature_unit
    own = _as_written(reading, kind)
    if own is not None and (kind != "temperature" or own[1] == degrees):
        exponent = own[0].as_tuple().exponent
        return own[0], max(-exponent, 0) if isinstance(exponent, int) else 0, own[1]
    if kind == "temperature":
        decimals = _temperature_decimals(reading.resolution, degrees)
        return in_unit(decimal(value), degrees), decimals, degrees
    symbol = next(name for least, name in quantity.row.ladder if abs(value) >= least)
    shown = in_unit(decimal(value), symbol)
    if reading.resolution is not None and reading.resolution > 0:
        return shown, decimals_of(in_unit(decimal(reading.resolution), symbol)), symbol
    return shown, _significant(shown), symbol


def _as_written(reading: Reading, kind: str) -> tuple[Decimal, str] | None:
    """Number and unit of the meter's own text, if they say the same as the reading's value."""
    digits, name = split_value(reading.text)
    try:
        number, unit = parse_number(digits), find_unit(name, kind)
    except InputError:
        return None
    same = reading.value is not None and math.isclose(
        to_si(number, unit), reading.value, rel_tol=1e-9, abs_tol=1e-15
    )
    return (number, unit.symbol) if same else None


def _significant(value: Decimal) -> int:
    return max(_SIGNIFICANT - 1 - value.adjusted(), 0) if value else _SIGNIFICANT - 1


def _temperature_decimals(resolution_k: float | None, unit: str) -> int:
    if resolution_k is None or not resolution_k > 0 or not math.isfinite(resolution_k):
        return 1
    digit = {
        u: _SHORT.plus(in_unit(decimal(resolution_k), f"Δ{u}")).normalize() for u in ("°C", "°F")
    }
    # The scale on which one digit is the shorter number is the meter's own.
    own = min(digit, key=lambda u: len(digit[u].as_tuple().digits))
    if own == unit:
        return min(decimals_of(digit[unit]), 3)
    # The finest decimal that is not below half of what one digit is worth.
    return min(max(math.floor(-(digit[unit] / 2).log10()), 0), 3)
