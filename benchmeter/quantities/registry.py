"""The one registry of units, made from our own small file when it is first needed.

Never for text of people or meters (see `readings.units`); for conversion on the way to people.
"""

from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pint import UnitRegistry

__all__ = ["unit_registry"]


@cache
def unit_registry(definitions: Path) -> "UnitRegistry[Any]":
    """The registry of `definitions`; the same one at each call. Numbers are decimals, exact.

    Args:
        definitions: the program's unit file, `resource("units/units.txt")`.
    """
    from pint import UnitRegistry

    return UnitRegistry(
        str(definitions), non_int_type=Decimal, autoconvert_offset_to_baseunit=False
    )
