"""Files of readings: the columns that are needed, and every line that cannot be used."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import TypeVar

from benchmeter.conformity.reference_part import quantity_of
from benchmeter.errors import InputError, Message
from benchmeter.files.table_file import (
    BadRow,
    Row,
    TableFile,
    no_column,
    one_line,
    open_table,
    unknown_columns,
)
from benchmeter.quantities.label_text import EXACTLY
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.typed_numbers import parse_number
from benchmeter.quantities.units import Unit, last_digit, split_value
from benchmeter.readings.gate import ShownField, admit, written_unit
from benchmeter.tasks.table_cells import name_and_unit

__all__ = ["Cells", "read_lines", "told_together"]

_T = TypeVar("_T")
_SHOWN_BAD_LINES = 3


@dataclass(frozen=True, slots=True)
class Cells:
    """One line of a file, by the names of its columns."""

    _file: TableFile
    _row: Row
    _columns: dict[str, tuple[int, str]]

    def text(self, name: str) -> str:
        """What stands there; "" in an empty cell, or where there is no such column."""
        return one_line(self._row.cells[self._columns[name][0]]) if name in self._columns else ""

    def unit(self, name: str) -> str:
        """What the name of the column carries; "" for none."""
        return self._columns[name][1]

    def pointed(self, text: str) -> str:
        """A number of this file, with a decimal point."""
        return text.replace(",", ".") if self._file.decimal_comma else text

    def filled(self, name: str) -> str:
        """The same, of a cell that must not be empty.

        Raises:
            InputError: it is.
        """
        text = self.text(name)
        if not text:
            raise InputError("computations.empty", column=name)
        return text

    def value(self, name: str, kinds: Sequence[str]) -> tuple[Decimal, Decimal, Unit]:
        """Value and worth of the last digit, SI, and the unit: the cell's, the column's, or µF.

        Args:
            kinds: of units that are expected.

        Raises:
            InputError: no value, one below zero, or one of another kind.
        """
        text = self.filled(name)
        column, unit_of_column = self._columns[name]
        cell = self._row.cells[column].strip()
        shown = cell.replace(",", ".") if self._file.decimal_comma else cell
        number, own = split_value(shown)
        if not number:
            raise InputError("computations.no_value", column=name, text=text)
        try:
            value = parse_number(number)
        except InputError as error:
            raise InputError("quantities.at", where=name, why=error) from None
        farad = Quantity.CAPACITANCE if kinds[0] == "capacitance" else None
        try:
            unit = written_unit(own or unit_of_column or "µF", farad)
            held = unit.unit.kind in kinds and admit(
                ShownField(quantity=quantity_of(unit.unit)), text, value, unit
            )
        except InputError as error:
            raise InputError("quantities.at", where=name, why=error) from None
        if not held or held.unit is None:
            raise InputError(
                "computations.other_unit",
                column=self._file.header[column],
                text=text,
                kind=kinds[0],
            )
        if value < 0:
            raise InputError("computations.below_zero", column=name, text=text)
        scale = held.unit.scale
        step = last_digit(value)
        return EXACTLY.multiply(value, scale), EXACTLY.multiply(step, scale), held.unit


def read_lines(
    path: Path,
    needed: Sequence[str],
    optional: Sequence[str],
    example: str,
    read: Callable[[Cells], _T],
    kind: str = "capacitance",
) -> list[_T]:
    """What `read` makes of each line, in the order of the file.

    Args:
        needed, optional: columns; their names may carry a unit: reading (µF).
        example: a first line as it should be, for messages.
        kind: that the unit in the name of a column must be of; "": any.

    Raises:
        InputError: the file cannot be used, or some lines cannot, which are named by number.
    """
    file = open_table(path, lambda cell: _name(cell) in {*needed, *optional}, example)
    columns = _columns(file, {*needed, *optional}, kind)
    for name in needed:
        if name not in columns:
            raise no_column(file, name, example)
    used = {column for column, _ in columns.values()}
    if unknown := [i for i in range(len(file.header)) if i not in used]:
        raise unknown_columns(file, unknown, [*needed, *optional])
    found: list[_T] = []
    bad: list[tuple[int, InputError]] = []
    for row in file.rows([column for column, _ in columns.values()]):
        try:
            if isinstance(row, BadRow):
                raise InputError("computations.broken_line", why=row.why)
            found.append(read(Cells(file, row, columns)))
        except InputError as error:
            bad.append((row.line, error))
    if bad:
        raise _bad_lines(file, bad)
    if not found:
        raise InputError("computations.no_readings", file=file.name)
    return found


def _name(cell: str) -> str:
    """Of a column, whatever is wrong with its unit."""
    return cell.partition("(")[0].partition("[")[0].strip().lower()


def _columns(file: TableFile, known: set[str], kind: str) -> dict[str, tuple[int, str]]:
    columns: dict[str, tuple[int, str]] = {}
    for column, cell in enumerate(file.header):
        name = _name(cell)
        if name not in known:
            continue
        if name in columns:
            raise InputError("computations.two_columns", file=file.name, column=name)
        try:
            columns[name] = column, name_and_unit(cell, kind)[1]
        except InputError as error:
            raise InputError(
                "computations.bad_column", file=file.name, column=one_line(cell), why=error
            ) from None
    return columns


def _bad_lines(file: TableFile, bad: Sequence[tuple[int, InputError]]) -> InputError:
    if len(bad) == 1:
        ((line, error),) = bad
        return InputError("computations.bad_line", file=file.name, line=line, why=error)
    said = told_together(
        [
            Message("computations.line", {"line": n, "why": e.message})
            for n, e in bad[:_SHOWN_BAD_LINES]
        ]
    )
    more = len(bad) - _SHOWN_BAD_LINES
    if more > 0:
        return InputError("computations.many_bad_lines", file=file.name, lines=said, more=more)
    return InputError("computations.bad_lines", file=file.name, lines=said)


def told_together(messages: Sequence[Message]) -> Message:
    """One message that tells them one after the other."""
    first, *rest = messages
    if not rest:
        return first
    return Message("computations.then", {"first": first, "rest": told_together(rest)})
