"""The records of tests/data/records, and what the command line of today says of them."""

import json
import lzma
import os
import re
import subprocess
import sys
from collections.abc import Iterator, Sequence
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

__all__ = ["NAMES", "cells_with_numbers", "differing", "expected", "told", "unpack"]

_DATA = Path(__file__).parent.parent / "data" / "records"

NAMES = sorted(path.name.removesuffix(".sqlite.xz") for path in _DATA.glob("*.sqlite.xz"))

# One process for all commands: what takes long is the start. Qt is begun once, as it cannot be
# begun and ended again and again.
_CHILD = """
import contextlib, io, json, runpy, sys
given = json.load(sys.stdin)
if any(arguments[0] == "report" for arguments in given):
    from PySide6.QtWidgets import QApplication
    app = QApplication([])
said = []
for arguments in given:
    out = io.StringIO()
    sys.argv = ["benchmeter", *arguments]
    with contextlib.redirect_stdout(out):
        try:
            runpy.run_module("benchmeter", run_name="__main__", alter_sys=True)
        except SystemExit as end:
            status = end.code
    said.append((status, out.getvalue()))
json.dump(said, sys.stdout)
"""


def unpack(name: str, folder: Path) -> Path:
    """A data folder with a copy of the record."""
    folder.mkdir(parents=True)
    packed = (_DATA / f"{name}.sqlite.xz").read_bytes()
    (folder / "benchmeter.sqlite").write_bytes(lzma.decompress(packed))
    return folder


def expected(name: str) -> dict[str, Any]:
    """What the benchmeter that wrote the record said of it: sessions, show, recheck, report."""
    return dict(json.loads(lzma.decompress((_DATA / f"{name}.json.xz").read_bytes())))


def told(commands: Sequence[Sequence[str]]) -> list[str]:
    """What each command writes; all must end well."""
    done = subprocess.run(
        [sys.executable, "-c", _CHILD],
        input=json.dumps(commands),
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
        capture_output=True,
        text=True,
        timeout=250,
    )
    assert done.returncode == 0, done.stderr
    said = json.loads(done.stdout)
    assert [status for status, _ in said] == [0] * len(commands), done.stderr
    return [text for _, text in said]


def differing(before: Any, now: Any) -> list[str]:
    """Every place where two documents differ; the sentences for people are left out."""
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
            if name != "words":
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
