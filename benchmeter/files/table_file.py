"""Tables: CSV as spreadsheets write it, in; RFC 4180, out."""

import csv
import heapq
import io
import re
from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from contextlib import closing
from dataclasses import dataclass
from operator import attrgetter, itemgetter
from pathlib import Path

from benchmeter.errors import InputError, Message
from benchmeter.files.input_file import LARGEST
from benchmeter.files.output_file import OutputFile
from benchmeter.files.table_records import Records, read_blocks, read_records

__all__ = [
    "BadRow",
    "Row",
    "RowBatch",
    "TableFile",
    "no_column",
    "one_line",
    "open_table",
    "unknown_columns",
    "with_point",
    "write_table",
]

_SEPARATORS = ";\t,"
_PLAIN_NEGATIVE = re.compile(r"-\d[\d.,]*(?:[eE][+-]?\d+)?", re.ASCII)
_GROUPED = re.compile(r"[+-]?[1-9]\d{0,2}\.\d{3}(?![\d.,])", re.ASCII)
_FORMULA_SIGNS = "=+-@＝＋－＠"
_SHOWN = 8  # columns, in a message


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
class RowBatch:
    """Rows that were read together, in order; blank ones are left out.

    Attributes:
        lines: of the file, where each of `rows` begins, from 1.
        rows: the cells of each, as many as the header has.
        bad: the rows between them that cannot be used.
        share: of the file that has been read, 0..1.
    """

    lines: Sequence[int]
    rows: Sequence[Sequence[str]]
    bad: Sequence[BadRow]
    share: float


@dataclass(frozen=True, slots=True)
class TableFile:
    """A table whose first line names the columns; its rows are read as they are asked for.

    Attributes:
        path: of the file.
        header: without spaces around.
        decimal_comma: semicolons part the cells, so a comma in a number is its decimal sign.
    """

    path: Path
    header: tuple[str, ...]
    decimal_comma: bool
    _separator: str
    _first: int
    _most: int
    _written: tuple[int, int]

    @property
    def name(self) -> str:
        """Of the file."""
        return self.path.name

    def batches(self, own_line: Collection[int]) -> Iterator[RowBatch]:
        """Every row; trouble in one leaves the others alone.

        Args:
            own_line: columns whose cells never hold a line break. There one shows that a
                quotation mark was left open and has swallowed the rows below it.

        Raises:
            InputError: it is no text further down, or was written anew since it was opened.
        """
        blocks = read_blocks(self.path, self._most)
        for found in read_records(blocks, self._first, self._separator, own_line):
            if _written(self.path) != self._written:
                raise InputError("tables.changed", file=self.name)
            yield _batch(found, len(self.header))

    def rows(self, own_line: Collection[int]) -> Iterator[Row | BadRow]:
        """The same, row by row."""
        for batch in self.batches(own_line):
            good: Iterator[Row | BadRow] = (
                Row(line, tuple(cells)) for line, cells in zip(batch.lines, batch.rows, strict=True)
            )
            yield from heapq.merge(good, batch.bad, key=attrgetter("line"))


def open_table(
    path: Path, is_known: Callable[[str], bool], example: str, *, most: int = LARGEST
) -> TableFile:
    """Read the header of a file.

    Args:
        is_known: whether a column name means something; by it the separator is found.
        example: a first line as it should be, for messages.
        most: bytes that it may hold.

    Raises:
        InputError: no such file, too large, no text, or nothing in it.
    """
    with closing(read_blocks(path, most)) as blocks:
        lines = enumerate(line for block in blocks for line in block.lines)
        filled = ((i, line) for i, line in lines if line.strip(" \t\r\n;,"))
        first, line = next(filled, (0, ""))
        given = line.strip().lower()
        chosen = _SEPARATORS
        if given.startswith("sep=") and len(given) == 5:  # as some spreadsheets write first
            chosen = given[4]
            first, line = next(filled, (0, ""))
    if not line:
        raise InputError("tables.empty", file=path.name)

    def known(separator: str) -> int:
        return sum(is_known(cell) for cell in _header(line, first, separator, example))

    separator = max(chosen, key=known)
    return TableFile(
        path=path,
        header=_header(line, first, separator, example),
        decimal_comma=separator == ";" and ";" in line,
        _separator=separator,
        _first=first + 1,
        _most=most,
        _written=_written(path),
    )


def _written(path: Path) -> tuple[int, int]:
    """What tells that a file is as it was: its size, and when it was written."""
    try:
        found = path.stat()
    except OSError:
        return 0, 0
    return found.st_size, found.st_mtime_ns


def _batch(found: Records, width: int) -> RowBatch:
    lines, rows = found.lines, found.cells
    bad = [BadRow(line, Message("tables.quotation_marks")) for line in found.broken]
    # The first cell of a blank row is blank.
    if set(map(len, rows)) != {width} or not all(map(str.strip, map(itemgetter(0), rows))):
        kept = []
        for line, cells in zip(found.lines, found.cells, strict=True):
            while len(cells) > width and not cells[-1].strip():
                cells.pop()
            if not any(map(str.strip, cells)):
                continue
            if len(cells) != width:
                counts = {"cells": len(cells), "columns": width}
                bad.append(BadRow(line, Message("tables.cell_count", counts)))
                continue
            kept.append((line, cells))
        lines, rows = [line for line, _ in kept], [cells for _, cells in kept]
        bad.sort(key=attrgetter("line"))
    return RowBatch(lines, rows, bad, found.share)


def write_table(to: OutputFile, rows: Iterable[Sequence[str]]) -> None:
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


def unknown_columns(file: TableFile, unknown: Sequence[int], known: Sequence[str]) -> InputError:
    """The error that columns mean nothing: they may say what its values are."""
    told = [one_line(file.header[i]) or f"#{i + 1}" for i in unknown]
    return InputError(
        "tables.unknown_columns", file=file.name, columns=told, known=[one_line(k) for k in known]
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


def _header(line: str, first: int, separator: str, example: str) -> tuple[str, ...]:
    try:
        cells = next(csv.reader([line], delimiter=separator, strict=True))
    except csv.Error:
        there = one_line(line)
        raise InputError(
            "tables.bad_header", line=first + 1, there=there, example=example
        ) from None
    while cells and not cells[-1].strip():
        cells.pop()
    return tuple(cell.strip() for cell in cells)
