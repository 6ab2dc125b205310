"""Cells and column names of a table that holds readings."""

import re

from benchmeter.checking.typed_reading import TypedReading, parse_typed
from benchmeter.conformity.verdict import Measurement
from benchmeter.errors import InputError
from benchmeter.files.table_file import TableFile, with_point
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.units import find_unit, split_value
from benchmeter.readings.status import Status

__all__ = ["name_and_unit", "split_name", "typed_cell"]

_NAME_AND_UNIT = re.compile(r"([^()\[\]]*)(?:[(\[]([^()\[\]]*)[)\]])?")


def name_and_unit(cell: str, kind: str = "capacitance") -> tuple[str, str]:
    """Name and unit of a column like FAN, reading (µF); the unit is "" where none is given.

    Args:
        kind: that the unit must be of; "": any.

    Raises:
        InputError: what stands in brackets is no such unit.
    """
    name, unit = split_name(cell)
    return name, find_unit(unit, kind).symbol if unit is not None else ""


def split_name(cell: str) -> tuple[str, str | None]:
    """Name of a column and what stands behind it in brackets, None for nothing."""
    match = _NAME_AND_UNIT.fullmatch(cell.strip())
    if match is None or match[2] is None:
        return cell.strip(), None
    return match[1].strip(), match[2]


def typed_cell(
    file: TableFile,
    column: int,
    text: str,
    unit: str,
    section: Measurement,
    *,
    told: Quantity | None = None,
    status: Status = Status.OK,
) -> TypedReading:
    """What a filled cell says.

    Args:
        text: of the cell, without spaces around.
        unit: of the column; one in the cell wins, and without either it is the section's.
        section: whose reading it is.
        told, status: what the row says of the meter: its function, its status.

    Raises:
        InputError: it is no reading; the column is named.
    """
    try:
        if file.decimal_comma:
            text = with_point(text)
        number, own_unit = split_value(text)
        if number and not own_unit:
            text = f"{number} {unit}"
        return parse_typed(text, section, told=told, status=status)
    except InputError as error:
        raise InputError("quantities.at", where=file.header[column], why=error) from None
