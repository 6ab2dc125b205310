"""Units that people compose of others: 15 kV/mA, 45 µA·s/V. Through pint and our definitions.

For what is typed at leisure: pint takes a third of a second to load, and is loaded when the first
such unit is met.
"""

import re
from decimal import Decimal, localcontext
from functools import cache
from typing import TYPE_CHECKING, Any

from benchmeter.errors import InputError
from benchmeter.quantities.definitions import DEFINITIONS
from benchmeter.quantities.typed_numbers import parse_number
from benchmeter.quantities.units import UNITS, Unit, parse_value, split_value

if TYPE_CHECKING:
    from pint import UnitRegistry

__all__ = ["find_compound", "parse_compound", "unit_registry"]

_FACTOR = r"(?:1|[A-Za-zµΩ]+(?:(?:\^|\*\*)-?[1-9]|[²³])?)"
_COMPOUND = re.compile(rf"{_FACTOR}(?:[*·/]{_FACTOR})+")
_LONGEST = 40


@cache
def unit_registry() -> "UnitRegistry[Any]":
    """The registry of our definitions, the same one at each call. Its numbers are decimals."""
    from pint import UnitRegistry

    return UnitRegistry(
        str(DEFINITIONS), non_int_type=Decimal, autoconvert_offset_to_baseunit=False
    )


def find_compound(text: str, kind: str) -> Unit:
    """The unit of `kind` that is composed so; its symbol is as written.

    >>> find_compound("kV/mA", "resistance").scale == 10**6
    True

    Raises:
        InputError: no product or quotient of units of ours, or not of that kind.
    """
    name = "".join(text.split()).replace("\u03bc", "µ").replace("\u2126", "Ω")
    if len(name) > _LONGEST or not _COMPOUND.fullmatch(name):
        raise InputError("quantities.unit_unknown", unit=text)
    from pint import DimensionalityError, PintError

    registry = unit_registry()
    target = next((u for u in UNITS.values() if u.kind == kind and u.scale == 1), None)
    try:
        if target is None:
            raise DimensionalityError(name, kind)
        with localcontext(prec=60):
            one = registry.Quantity(Decimal(1), registry.parse_units(name.replace("·", "*")))
            scale = one.to(target.definition).magnitude
    except PintError:
        raise InputError("quantities.unit_does_not_compose", unit=text, wanted=kind) from None
    return Unit(text, kind, Decimal(scale), name)


def parse_compound(text: str, kind: str, default_unit: str = "") -> tuple[Decimal, Unit]:
    """A number with its unit, which may be composed of others; else as `parse_value`.

    Raises:
        InputError: see `parse_value`.
    """
    written, name = split_value(text)
    if not _COMPOUND.fullmatch("".join(name.split())):
        return parse_value(text, kind, default_unit)
    try:
        return parse_value(text, kind)
    except InputError:
        return parse_number(written), find_compound(name, kind)
