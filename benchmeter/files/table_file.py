"""Tables: CSV as spreadsheets write it, in; RFC 4180, out."""

import csv
import io
import re
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from benchmeter.errors import InputError, Message
from benchmeter.files.input_file import read_input
from benchmeter.files.output_file import OutputFile

__all__ = [
    "BadRow",
    "Row",
    "TableFile",
    "no_column",
    "one_line",
    "open_table",
    "with_point",
    "write_table",
]

_SEPARATORS = ";\t,"
_PLAIN_NEGATIVE = re.compile(r"-\d[\d.,]*(?:[eE][+-]?\d+)?", re.ASCII)
_GROUPED = re.compile(r"[+-]?[1-9]\d{0,2}\.\d{3}(?![\d.,])", re.ASCII)
_FORMULA_SIGNS = "=+-@＝＋－＠"
_SHOWN = 8  # columns, in a message
_MOST_LINES = 200  # of one record: open quotation marks cost each row below them no more than that


@dataclass(frozen=True, slots=True)
class Row:
    """One record. `line`: where it begins in the file, from 1. As many cells as the header."""

    line: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BadRow:
    """A row that cannot be used, and why. `cells`: as many as the header, or none."""

    line: int
    why: Message
    cells: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class TableFile:
    """A table whose first line names the columns.

    Attributes:
        name: of the file.
        header: without spaces around.
        decimal_comma: semicolons part the cells, so a comma in a number is its decimal sign.
    """

    name: str
    header: tuple[str, ...]
    decimal_comma: bool
    _lines: Sequence[str]
    _separator: str
    _first: int

    def rows(self, own_line: Collection[int]) -> Iterator[Row | BadRow]:
        """Every row that is not blank, in order; trouble in one leaves the others alone.

        Args:
            own_line: columns whose cells never hold a line break. There one shows that a
                quotation mark was left open and has swallowed the rows below it.
        """
        for line, cells in _records(self._lines, self._first, self._separator, own_line):
            if cells is None:
                yield BadRow(line, Message("tables.quotation_marks"))
                continue
            while len(cells) > len(self.header) and not cells[-1].strip():
                cells.pop()
            if not any(cell.strip() for cell in cells):
                continue
            if len(cells) != len(self.header):
                counts = {"cells": len(cells), "columns": len(self.header)}
                yield BadRow(line, Message("tables.cell_count", counts))
                continue
            yield Row(line, tuple(cells))


def open_table(path: Path, is_known: Callable[[str], bool], example: str) -> TableFile:
    """Read the file and its header.

    Args:
        is_known: whether a column name means something; by it the separator is found.
        example: a first line as it should be, for messages.

    Raises:
        InputError: no such file, no text, or nothing in it.
    """
    lines = list(io.StringIO(_text(path), newline=""))
    filled = (i for i, line in enumerate(lines) if line.strip(" \t\r\n;,"))
    first = next(filled, None)
    given = "" if first is None else lines[first].strip().lower()
    chosen = _SEPARATORS
    if given.startswith("sep=") and len(given) == 5:  # as some spreadsheets write first
        chosen, first = given[4], next(filled, None)
    if first is None:
        raise InputError("tables.empty", file=path.name)

    def known(separator: str) -> int:
        return sum(is_known(cell) for cell in _header(lines, first, separator, example))

    separator = max(chosen, key=known)
    return TableFile(
        name=path.name,
        header=_header(lines, first, separator, example),
        decimal_comma=separator == ";" and ";" in lines[first],
        _lines=lines,
        _separator=separator,
        _first=first + 1,
    )


def write_table(to: OutputFile, rows: Sequence[Sequence[str]]) -> None:
    """Write rows as RFC 4180 in UTF-8; a cell that a spreadsheet would compute is made text.

    Raises:
        InputError, WorldError: the file is there, or cannot be written.
    """
    with to.writing() as file:
        text = io.TextIOWrapper(file, "utf-8", newline="")
        csv.writer(text).writerows([_as_text(cell) for cell in row] for row in rows)
        text.detach()


def no_column(file: TableFile, name: str, example: str) -> InputError:
    """The error that a column is missing. `example`: a first line as it should be."""
    more = " …" if len(file.header) > _SHOWN else ""
    there = one_line(", ".join(file.header[:_SHOWN]))
    return InputError(
        "tables.no_column", file=file.name, column=name, there=there, more=more, example=example
    )


def with_point(cell: str) -> str:
    """A cell of a table with decimal commas, the number in it with a point.

    Raises:
        InputError: its point may part thousands ("1.234").
    """
    found = _GROUPED.match(cell)
    if found:
        shown = found[0]
        comma, none = shown.replace(".", ","), shown.replace(".", "")
        raise InputError("tables.grouped", shown=shown, comma=comma, none=none)
    return cell.replace(",", ".")


def one_line(text: str) -> str:
    """`text` for a terminal: no line breaks, no control characters."""
    spaced = " ".join(text.split())
    return "".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in spaced)


def _as_text(cell: str) -> str:
    start = cell.lstrip()
    if start[:1] and start[0] in _FORMULA_SIGNS and not _PLAIN_NEGATIVE.fullmatch(cell):
        return f"'{cell}"
    return cell


def _text(path: Path) -> str:
    try:
        return read_input(path, InputError).decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputError("tables.not_utf8", file=path.name) from None


def _header(lines: Sequence[str], first: int, separator: str, example: str) -> tuple[str, ...]:
    try:
        cells = next(csv.reader(lines[first : first + 1], delimiter=separator, strict=True))
    except csv.Error:
        there = one_line(lines[first])
        raise InputError(
            "tables.bad_header", line=first + 1, there=there, example=example
        ) from None
    while cells and not cells[-1].strip():
        cells.pop()
    return tuple(cell.strip() for cell in cells)


def _records(
    lines: Sequence[str], first: int, separator: str, own_line: Collection[int]
) -> Iterator[tuple[int, list[str] | None]]:
    """Line and cells of each record; None where quotation marks go wrong.

    After trouble it goes on with the very next line, so that a stray mark costs its own row only.
    """
    at = first

    def below() -> Iterator[str]:
        for i in range(at, len(lines)):
            if i >= at + _MOST_LINES:  # of the record that is being read
                raise csv.Error
            yield lines[i]

    while at < len(lines):
        begun = at
        reader = csv.reader(below(), delimiter=separator, strict=True)
        try:
            for cells in reader:
                after = begun + reader.line_num
                if after > at + 1 and any(
                    "\n" in cells[i] or "\r" in cells[i] for i in own_line if i < len(cells)
                ):
                    raise csv.Error
                yield at + 1, cells
                at = after
        except csv.Error:
            yield at + 1, None
            at += 1
