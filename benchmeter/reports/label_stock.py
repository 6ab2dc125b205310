"""Labels to print tags on: single ones as a printer feeds them, or many on a sheet.

One TOML file each, in `resources/labels` and in the folder `labels` of the data folder; a user's
file takes the place of the program's of the same name.
"""

from collections.abc import Iterator
from pathlib import Path
from typing import Annotated

import msgspec

from benchmeter.errors import InputError, Message
from benchmeter.files.folders import Folders
from benchmeter.files.toml_folder import TomlFolder

__all__ = ["LEAST_MM", "LabelStock", "Sheet", "load_stock", "read_stock", "shipped_stock"]

LEAST_MM = (48.0, 24.0)
"""Width and height that a tag needs to be legible."""

_SLACK_MM = 0.05  # sizes in inches are rounded

_Length = Annotated[float, msgspec.Meta(ge=0, le=2000)]
_Count = Annotated[int, msgspec.Meta(ge=1, le=100)]


class Sheet(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A page of labels.

    Attributes:
        width_mm, height_mm: of the page.
        left_mm, top_mm: from the page's corner to that of the first label.
        across_mm, down_mm: from one label's corner to that of the next.
    """

    width_mm: _Length
    height_mm: _Length
    columns: _Count
    rows: _Count
    left_mm: _Length
    top_mm: _Length
    across_mm: _Length
    down_mm: _Length


class LabelStock(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Labels of one size. `name`: of its file; `sheet`: None where each label is a page."""

    title: str
    width_mm: _Length
    height_mm: _Length
    sheet: Sheet | None = None
    name: str = ""

    @property
    def page_mm(self) -> tuple[float, float]:
        """Width and height of a page."""
        if self.sheet is None:
            return self.width_mm, self.height_mm
        return self.sheet.width_mm, self.sheet.height_mm

    @property
    def places(self) -> int:
        """Labels on a page."""
        return 1 if self.sheet is None else self.sheet.columns * self.sheet.rows

    def corner_mm(self, place: int) -> tuple[float, float]:
        """Left and top of a label on its page; place 0 is the first, then along the row."""
        if self.sheet is None:
            return 0.0, 0.0
        row, column = divmod(place, self.sheet.columns)
        return (
            self.sheet.left_mm + column * self.sheet.across_mm,
            self.sheet.top_mm + row * self.sheet.down_mm,
        )


def shipped_stock() -> tuple[LabelStock, ...]:
    """What comes with the program, small labels first."""
    found = (read_stock(path) for path in _catalogue().files(None).values())
    return tuple(sorted(found, key=lambda s: (s.page_mm, s.places)))


def load_stock(name: str, folders: Folders, *, sheet: bool) -> LabelStock:
    """The labels of that name.

    Args:
        sheet: whether sheets are wanted, or single labels.

    Raises:
        InputError: there are none.
        DataFileError: the file is broken.
    """
    files = _catalogue().files(folders)
    if name in files:
        stock = read_stock(files[name])
        if (stock.sheet is not None) is sheet:
            return stock
        if stock.sheet is not None:
            raise InputError("label_stock.is_a_sheet", name=name)
        raise InputError("label_stock.is_a_label", name=name)
    known = [s.name for s in shipped_stock() if (s.sheet is not None) is sheet]
    if sheet:
        raise InputError("label_stock.no_sheet", name=name, known=known, folder=folders.labels)
    raise InputError("label_stock.no_label", name=name, known=known, folder=folders.labels)


def read_stock(path: Path) -> LabelStock:
    """The labels in a file, named after the file.

    Raises:
        DataFileError: it cannot be read, or what it says cannot be.
    """
    return _catalogue().read(path)


def _catalogue() -> TomlFolder[LabelStock]:
    return TomlFolder("labels", LabelStock, Message("files.label_stock"), _named, _faults)


def _named(stock: LabelStock, name: str) -> LabelStock:
    return msgspec.structs.replace(stock, name=name)


def _faults(stock: LabelStock) -> Iterator[Message]:
    """What about the sizes cannot be."""
    width, height = LEAST_MM
    if stock.width_mm < width or stock.height_mm < height:
        yield Message(
            "label_stock.too_small", {"field": "width_mm", "width": width, "height": height}
        )
    sheet = stock.sheet
    if sheet is None:
        return
    if sheet.columns > 1 and sheet.across_mm < stock.width_mm - _SLACK_MM:
        yield Message("label_stock.overlap_across", {"field": "sheet.across_mm"})
    if sheet.rows > 1 and sheet.down_mm < stock.height_mm - _SLACK_MM:
        yield Message("label_stock.overlap_down", {"field": "sheet.down_mm"})
    left, top = stock.corner_mm(stock.places - 1)
    if left + stock.width_mm > sheet.width_mm + _SLACK_MM:
        yield Message("label_stock.too_wide", {"field": "sheet.columns", "columns": sheet.columns})
    if top + stock.height_mm > sheet.height_mm + _SLACK_MM:
        yield Message("label_stock.too_high", {"field": "sheet.rows", "rows": sheet.rows})
