"""The records of tests/data/records, and what the command line of today says of them."""

import json
import lzma
import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

__all__ = ["NAMES", "cells_with_numbers", "differing", "expected", "unpack"]

_DATA = Path(__file__).parent.parent / "data" / "records"

NAMES = sorted(path.name.removesuffix(".sqlite.xz") for path in _DATA.glob("*.sqlite.xz"))


def unpack(name: str, folder: Path) -> Path:
    """A data folder with a copy of the record."""
    folder.mkdir(parents=True)
    packed = (_DATA / f"{name}.sqlite.xz").read_bytes()
    (folder / "benchmeter.sqlite").write_bytes(lzma.decompress(packed))
    return folder


def expected(name: str) -> dict[str, Any]:
    """What the benchmeter that wrote the record said of it: sessions, show, recheck, report."""
    return dict(json.loads(lzma.decompress((_DATA / f"{name}.json.xz").read_bytes())))


def differing(before: Any, now: Any) -> list[str]:
    """Every place where two documents differ.

    Left out are the sentences for people, and the facts of a visit, which no record kept then.
    """
    old, new = dict(_leaves("", before)), dict(_leaves("", now))
    return [
        f"{place}: {old.get(place, 'nothing')!r} before, {new.get(place, 'nothing')!r} now"
        for place in sorted(old.keys() | new.keys())
        if old.get(place, "nothing") != new.get(place, "nothing")
    ]


def cells_with_numbers(page: str) -> list[str]:
    """The numbers in the tables of a page, in their order."""
    cells = _Cells()
    cells.feed(page)
    return cells.numbers


def _leaves(place: str, value: Any) -> Iterator[tuple[str, Any]]:
    """A list or table without content is a leaf, too."""
    if isinstance(value, dict) and value:
        for name, held in value.items():
            if name not in ("words", "visit"):
                yield from _leaves(f"{place}.{name}", held)
    elif isinstance(value, list) and value:
        for number, held in enumerate(value):
            yield from _leaves(f"{place}[{number}]", held)
    else:
        yield place, value


class _Cells(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.inside = False
        self.numbers: list[str] = []

    def handle_starttag(self, tag: str, attrs: object) -> None:
        self.inside = self.inside or tag == "td"

    def handle_endtag(self, tag: str) -> None:
        self.inside = self.inside and tag != "td"

    def handle_data(self, data: str) -> None:
        if self.inside:
            self.numbers += re.findall(r"[+−-]?\d+(?:[.,:]\d+)*", data)
