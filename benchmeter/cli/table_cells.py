"""Cells and column names of a table that holds capacitances."""

import re

from benchmeter.conformity.typed import TypedReading, parse_typed
from benchmeter.errors import InputError
from benchmeter.readings.units import find_unit, split_value
from benchmeter.storage.table_file import Row, TableFile

__all__ = ["name_and_unit", "typed_cell"]

_NAME_AND_UNIT = re.compile(r"([^()\[\]]*)(?:[(\[]([^()\[\]]*)[)\]])?")


def name_and_unit(cell: str) -> tuple[str, str]:
    """Name and unit of a column like FAN, reading (µF); the unit is "" where none is given.

    Raises:
        InputError: what stands in brackets is no unit of capacitance.
    """
    match = _NAME_AND_UNIT.fullmatch(cell.strip())
    if match is None or match[2] is None:
        return cell.strip(), ""
    return match[1].strip(), find_unit(match[2], "capacitance").symbol


def typed_cell(file: TableFile, row: Row, column: int, unit: str) -> TypedReading:
    """What a filled cell says.

    Args:
        unit: of the column; one in the cell wins, and without either it is µF.

    Raises:
        InputError: it is no reading; the column is named.
    """
    text = row.cells[column].strip()
    if file.decimal_comma:
        text = text.replace(",", ".")
    number, own_unit = split_value(text)
    try:
        return parse_typed(f"{number} {unit}" if number and not own_unit else text)
    except InputError as error:
        said = f"{file.header[column]}: {error.user_text()}"
        raise InputError(said, error.advice()) from None
