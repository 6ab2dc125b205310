"""The records of a CSV file, a block of lines at a time: its length costs no memory."""

import csv
import io
import os
from collections.abc import Collection, Generator, Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from benchmeter.errors import InputError
from benchmeter.files.input_file import open_input

__all__ = ["LineBlock", "Records", "read_blocks", "read_records"]

_BLOCK = 1 << 19  # characters that are read at once
_LONGEST_LINE = 1 << 20
_MOST_LINES = 200  # of one record: open quotation marks cost each row below them no more than that


@dataclass(frozen=True, slots=True)
class LineBlock:
    """Lines as they stand, with their ends. `share`: of the file that has been read, 0..1."""

    lines: list[str]
    share: float


@dataclass(frozen=True, slots=True)
class Records:
    """Records that were read together.

    Attributes:
        lines: of the file, where each of `cells` begins, from 1.
        cells: of each record.
        broken: lines whose quotation marks go wrong.
        share: of the file that has been read, 0..1.
    """

    lines: Sequence[int]
    cells: list[list[str]]
    broken: Sequence[int]
    share: float


def read_blocks(path: Path, most: int) -> Generator[LineBlock]:
    """All lines of a text in UTF-8, in order.

    Args:
        most: bytes that the file may hold.

    Raises:
        InputError: it cannot be read, or is no text.
    """
    rest = ""
    with (
        open_input(path, most, InputError) as file,
        io.TextIOWrapper(file, "utf-8-sig", newline="") as text,
    ):
        size = max(os.fstat(file.fileno()).st_size, 1)
        while block := _read(text, path):
            lines = io.StringIO(rest + block, newline="").readlines()
            rest = "" if lines[-1].endswith("\n") else lines.pop()  # it may go on
            if len(rest) > _LONGEST_LINE:
                raise InputError("tables.line_too_long", file=path.name)
            yield LineBlock(lines, min(file.tell() / size, 1))
    if rest:
        yield LineBlock([rest], 1)


def read_records(
    blocks: Iterable[LineBlock], first: int, separator: str, own_line: Collection[int]
) -> Iterator[Records]:
    """The records from line `first` on, counted from 0.

    After trouble it goes on with the very next line, so that a stray mark costs its own row only.

    Args:
        own_line: columns whose cells never hold a line break. There one shows that a quotation
            mark was left open and has swallowed the rows below it.
    """
    at, lines = 0, []  # the line that `lines` begins with, and what has not been read of them
    coming = iter(blocks)
    block = next(coming, None)
    while block is not None:
        lines += block.lines
        share, block = block.share, next(coming, None)
        skipped = min(max(first - at, 0), len(lines))
        at += skipped
        del lines[:skipped]
        cells = _one_a_line(lines, separator)
        if cells is not None:
            yield Records(range(at + 1, at + 1 + len(lines)), cells, (), share)
            at += len(lines)
            lines.clear()
            continue
        window = _Window(lines, separator, own_line, whole=block is None)
        window.read()
        yield Records(
            [at + 1 + i for i in window.begins],
            window.cells,
            [at + 1 + i for i in window.broken],
            share,
        )
        at += window.at
        del lines[: window.at]


def _read(text: io.TextIOWrapper, path: Path) -> str:
    try:
        return text.read(_BLOCK)
    except UnicodeDecodeError:
        raise InputError("tables.not_utf8", file=path.name) from None
    except OSError as fault:
        raise InputError("files.unreadable", path=path, why=fault.strerror or "") from fault


def _one_a_line(lines: Sequence[str], separator: str) -> list[list[str]] | None:
    """The cells of each line; None if a record holds several, or quotation marks go wrong."""
    try:
        cells = list(csv.reader(lines, delimiter=separator, strict=True))
    except csv.Error:
        return None
    return cells if len(cells) == len(lines) else None


class _Unfinished(Exception):
    """A record goes on in lines that are not here yet."""


class _Window:
    """Reads lines in which quotation marks span several, or go wrong.

    `at`: the first line that is left over; `begins`: the first line of each of `cells`.
    """

    def __init__(
        self, lines: Sequence[str], separator: str, own_line: Collection[int], *, whole: bool
    ) -> None:
        self.at = 0
        self.begins: list[int] = []
        self.cells: list[list[str]] = []
        self.broken: list[int] = []
        self._lines, self._separator = lines, separator
        self._own_line, self._whole = own_line, whole

    def read(self) -> None:
        while self.at < len(self._lines):
            begun = self.at
            reader = csv.reader(self._below(), delimiter=self._separator, strict=True)
            try:
                for cells in reader:
                    after = begun + reader.line_num
                    if after > self.at + 1 and self._swallowed(cells):
                        raise csv.Error
                    self.begins.append(self.at)
                    self.cells.append(cells)
                    self.at = after
            except _Unfinished:
                return
            except csv.Error:
                self.broken.append(self.at)
                self.at += 1

    def _below(self) -> Iterator[str]:
        for i in range(self.at, len(self._lines)):
            if i >= self.at + _MOST_LINES:  # of the record that is being read
                raise csv.Error
            yield self._lines[i]
        if self.at < len(self._lines) and not self._whole:
            raise _Unfinished

    def _swallowed(self, cells: Sequence[str]) -> bool:
        own = (cells[i] for i in self._own_line if i < len(cells))
        return any("\n" in cell or "\r" in cell for cell in own)
