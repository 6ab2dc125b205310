"""Files of readings: the columns that are needed, and every line that cannot be used."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import TypeVar

from benchmeter.errors import InputError
from benchmeter.files.table_file import BadRow, Row, TableFile, no_column, one_line, open_table
from benchmeter.quantities.typed_numbers import parse_number
from benchmeter.quantities.units import Unit, find_unit, split_value
from benchmeter.quantities.writing import EXACTLY, clip
from benchmeter.tasks.table_cells import name_and_unit
from benchmeter.words.presentation import PLAIN

__all__ = ["Cells", "read_lines"]

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

    def filled(self, name: str) -> str:
        """The same, of a cell that must not be empty.

        Raises:
            InputError: it is.
        """
        text = self.text(name)
        if not text:
            raise InputError(f"{name}: it is empty.", "Fill it, or take the line out.")
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
            raise InputError(f"{name}: “{clip(text)}” is no value.", "Take the line out.")
        try:
            value = parse_number(number)
        except InputError as error:
            raise InputError("quantities.at", where=name, why=error) from None
        try:
            unit = find_unit(own or unit_of_column or "µF", kinds[0] if own in ("F", "f") else "")
        except InputError as error:
            raise InputError("quantities.at", where=name, why=error) from None
        if unit.kind not in kinds:
            said = f"{self._file.header[column]}: “{clip(text)}” is no {kinds[0]}."
            raise InputError(said, "Write it in a unit of the value.")
        if value < 0:
            raise InputError(f"{name}: “{clip(text)}” is below zero.", "Measure it again.")
        step = Decimal(1).scaleb(int(value.as_tuple().exponent))
        return (
            EXACTLY.multiply(value, unit.scale),
            EXACTLY.multiply(step, unit.scale),
            unit,
        )


def read_lines(
    path: Path,
    needed: Sequence[str],
    optional: Sequence[str],
    example: str,
    read: Callable[[Cells], _T],
    kind: str = "capacitance",
) -> list[_T]:
    """What `read` makes of each line, in the order of the file. Other columns are left aside.

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
    found: list[_T] = []
    bad: list[tuple[int, InputError]] = []
    for row in file.rows([column for column, _ in columns.values()]):
        try:
            if isinstance(row, BadRow):
                raise InputError(row.why, "Mend that line.")
            found.append(read(Cells(file, row, columns)))
        except InputError as error:
            bad.append((row.line, error))
    if bad:
        raise _bad_lines(file, bad)
    if not found:
        raise InputError(
            f"{file.name} names its columns and holds no readings.", "Add a line a reading."
        )
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
            raise InputError(f"{file.name} has two columns “{name}”.", "Rename one of them.")
        try:
            columns[name] = column, name_and_unit(cell, kind)[1]
        except InputError as error:
            said = f"{file.name}, column “{clip(one_line(cell))}”: {PLAIN.tell(error).text}"
            raise InputError(said, "Write it like reading (µF).") from None
    return columns


def _bad_lines(file: TableFile, bad: Sequence[tuple[int, InputError]]) -> InputError:
    said = [f"line {line}: {one_line(PLAIN.tell(error).text)}" for line, error in bad]
    more = f" And {len(bad) - _SHOWN_BAD_LINES} more." if len(bad) > _SHOWN_BAD_LINES else ""
    return InputError(
        f"{file.name}, {' '.join(said[:_SHOWN_BAD_LINES])}{more}",
        PLAIN.tell(bad[0][1]).advice if len(bad) == 1 else "Mend these lines.",
    )
