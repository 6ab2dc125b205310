"""What of the stock may replace a part: by a label that is typed, or for the part in hand."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from benchmeter.checking.part_check import PartCheck
from benchmeter.checking.replacement import (
    Ranked,
    capacitor_of,
    ranked,
    shape_on,
    to_be_replaced,
)
from benchmeter.checking.stock import StockList, read_stock, write_example
from benchmeter.conformity.verdict import (
    Rule,
)
from benchmeter.errors import InputError
from benchmeter.files.folders import Folders
from benchmeter.parts.nameplate.label import parse_label
from benchmeter.parts.rated_part import (
    Rating,
)

if TYPE_CHECKING:  # without a session the record is not read
    from benchmeter.record.store import Store

__all__ = [
    "ForLabel",
    "ForPart",
    "StockFound",
    "begin_stock",
    "find_stock",
    "replace_label",
    "replace_part",
]


@dataclass(frozen=True, slots=True)
class StockFound:
    """The stock list at `path`: what is in it, or why it cannot be used; neither: none is there."""

    path: Path
    stock: StockList | None = None
    fault: InputError | None = None


@dataclass(frozen=True, slots=True)
class ForLabel:
    """The stock list against the label of an old part, best first. `shape`: "" is not compared."""

    old: Rating
    shape: str
    stock: StockList
    lines: tuple[Ranked, ...]


@dataclass(frozen=True, slots=True)
class ForPart:
    """The stock list against the part to be replaced, best first.

    Attributes:
        old: None: nothing was checked yet.
        fitting: whether it is a capacitor; of other parts there are no lines.
    """

    found: StockFound
    old: PartCheck | None
    fitting: bool
    lines: tuple[Ranked, ...]


def find_stock(folders: Folders) -> StockFound:
    """The stock list of the data folder."""
    path = folders.stock
    if not path.exists():
        return StockFound(path)
    try:
        return StockFound(path, read_stock(path))
    except InputError as fault:
        return StockFound(path, fault=fault)


def begin_stock(folders: Folders) -> StockFound:
    """Write a first stock list, unless there is one, and read it.

    Raises:
        StoreReadOnly: it cannot be written.
    """
    write_example(folders.stock)
    return find_stock(folders)


def replace_label(
    store: "Store",
    label: str,
    stock: Path,
    *,
    tolerance: str = "",
    shape: str = "",
    session: str | None = None,
    rule: Rule = Rule.GUARDED,
) -> ForLabel:
    """What may replace a part with this label.

    Args:
        shape: of the old part; "": the one on its label.
        session: whose checks of replacements count. Parts with a number of their own are looked
            for in all sessions.

    Raises:
        InputError: the label or the list cannot be used.
        NoSuchRecord: no such session.
    """
    old = parse_label(label, tolerance)
    shape = shape.strip() or shape_on(label)
    found = read_stock(stock)
    checks = list(store.checks_of_parts([i.own_number for i in found.items if i.own_number]))
    if session is not None:
        verdicts = store.verdicts(store.session(session).id)
        checks += [v.finding for v in verdicts if isinstance(v.finding, PartCheck)]
    return ForLabel(old, shape, found, ranked(old, rule, found.items, checks, shape))


def replace_part(
    found: StockFound, checks: Sequence[PartCheck], in_hand: PartCheck | None
) -> ForPart:
    """Which part is to be replaced, and what may replace it. A long list takes its time.

    Args:
        checks: of this visit, oldest first.
    """
    items = found.stock.items if found.stock is not None else ()
    old = to_be_replaced(checks, items) or in_hand
    if old is None or capacitor_of(old.rating) is None:
        return ForPart(found, old, False, ())
    shape = shape_on(old.rating.text)
    return ForPart(found, old, True, ranked(old.rating, old.rule, items, checks, shape))
