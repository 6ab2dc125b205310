"""The stock list: which parts are there to replace one with. A table of the user's own."""

from dataclasses import dataclass
from pathlib import Path

from benchmeter.checking.replacement import StockItem, shape_on
from benchmeter.errors import InputError, StoreReadOnly
from benchmeter.files.output_file import writing_whole
from benchmeter.files.table_file import (
    BadRow,
    Row,
    TableFile,
    no_column,
    one_line,
    open_table,
    unknown_columns,
    with_point,
)
from benchmeter.parts.nameplate.label import ToleranceMissing, parse_label
from benchmeter.quantities.typed_numbers import parse_number

__all__ = ["EXAMPLE", "EXAMPLE_PART", "BadLine", "StockList", "read_stock", "write_example"]

EXAMPLE = "label,shape,count,place,own number"
"""A first line as it should be."""

EXAMPLE_PART = "45/5 µF ±6 % 440 V,round,0,example,"
"""A line below it. None are left of it: nobody is sent for a part that is not there."""

_COLUMNS = tuple(EXAMPLE.split(","))
_NEEDED = "label"
_MOST = 1_000_000


@dataclass(frozen=True, slots=True)
class BadLine:
    """A line that cannot be used, and why. `line`: in the file, from 1."""

    line: int
    error: InputError


@dataclass(frozen=True, slots=True)
class StockList:
    """What the list holds; lines that cannot be used are told and leave the others alone."""

    name: str
    items: tuple[StockItem, ...]
    bad: tuple[BadLine, ...]


def read_stock(path: Path) -> StockList:
    """The stock list in a CSV file as spreadsheets write it.

    Columns in whatever order: label (needed, with its tolerance), shape, count, place, own number.

    Raises:
        InputError: the file cannot be used: none there, no text, no column of labels, one twice,
            one that means nothing.
    """
    file = open_table(path, lambda cell: _name(cell) in _COLUMNS, EXAMPLE)
    columns = _columns(file)
    items: list[StockItem] = []
    bad: list[BadLine] = []
    numbers: dict[str, int] = {}
    for row in file.rows(tuple(columns.values())):
        try:
            item = _item(file, row, columns)
            _once(item, numbers)
        except InputError as error:
            bad.append(BadLine(row.line, error))
        else:
            items.append(item)
    return StockList(file.name, tuple(items), tuple(bad))


def write_example(path: Path) -> None:
    """Begin a stock list, with a mark by which spreadsheets know it as UTF-8.

    A list that is there stays as it is.

    Raises:
        StoreReadOnly: it cannot be written.
    """
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        with writing_whole(path, replace=False) as file:
            file.write(f"{EXAMPLE}\r\n{EXAMPLE_PART}\r\n".encode("utf-8-sig"))
    except FileExistsError:
        return
    except OSError as fault:
        raise StoreReadOnly(
            "checking.stock_not_written", detail=str(fault), file=path.name, folder=path.parent
        ) from fault


def _name(cell: str) -> str:
    return " ".join(cell.replace("_", " ").casefold().split())


def _columns(file: TableFile) -> dict[str, int]:
    found: dict[str, int] = {}
    for column, cell in enumerate(file.header):
        name = _name(cell)
        if name in found:
            raise InputError("checking.stock_column_twice", file=file.name, column=name)
        if name in _COLUMNS:
            found[name] = column
    if _NEEDED not in found:
        raise no_column(file, _NEEDED, EXAMPLE)
    if unknown := [i for i in range(len(file.header)) if i not in found.values()]:
        raise unknown_columns(file, unknown, _COLUMNS)
    return found


def _item(file: TableFile, row: Row | BadRow, columns: dict[str, int]) -> StockItem:
    if isinstance(row, BadRow):
        raise InputError("checking.stock_line", why=row.why)

    def cell(name: str) -> str:
        return one_line(row.cells[columns[name]]) if name in columns else ""

    label = cell(_NEEDED)
    if not label:
        raise InputError("checking.stock_no_label")
    try:
        rating = parse_label(label)
    except ToleranceMissing:
        raise InputError("nameplate.no_tolerance_in_list", text=label) from None
    told, shape = shape_on(label), cell("shape")
    if told and shape and told != shape.casefold():
        raise InputError("checking.stock_two_shapes", told=told, shape=shape)
    count = _count(cell("count"), decimal_comma=file.decimal_comma)
    return StockItem(row.line, rating, shape or told, count, cell("place"), cell("own number"))


def _count(text: str, *, decimal_comma: bool) -> int | None:
    """How many; None in an empty cell. A formula is no number: it may be computed anew."""
    if not text:
        return None
    try:
        number = parse_number(with_point(text) if decimal_comma else text)
    except InputError:
        number = None
    if number is None or number != number.to_integral_value() or not 0 <= number <= _MOST:
        raise InputError("checking.stock_no_count", text=text)
    return int(number)


def _once(item: StockItem, numbers: dict[str, int]) -> None:
    """A number of its own names one part."""
    own = item.own_number.casefold()
    if not own:
        return
    if own in numbers:
        raise InputError("checking.stock_number_twice", number=item.own_number, line=numbers[own])
    numbers[own] = item.line
