"""The page as plain text, for who cannot open another form."""

from collections.abc import Iterator, Sequence
from functools import singledispatch

from benchmeter.reports.page_blocks import (
    Block,
    Figures,
    Head,
    Listing,
    PartBlock,
    Picture,
    Sentences,
)
from benchmeter.reports.session_page import SessionPage
from benchmeter.words.plain_text import plain

__all__ = ["page_text"]


def page_text(page: SessionPage) -> str:
    """The page as one text; a blank line before each section."""
    lines = [line for block in page.blocks for line in _lines(block)]
    text = "\n".join((*lines, "", page.footer, "")).replace("\u00a0", " ")
    return plain(text).lstrip("\n")


@singledispatch
def _lines(_block: Block) -> Iterator[str]:
    raise NotImplementedError  # a new kind of block is to be written here


@_lines.register
def _(block: Head) -> Iterator[str]:
    yield from (block.what, block.title, block.line)
    yield from filter(None, (block.notice, *block.remark))


@_lines.register
def _(block: Figures) -> Iterator[str]:
    yield from _heading(block.heading)
    yield from filter(None, (block.sentence,))
    yield from (f"{name}: {value}" for name, value in block.rows)
    yield from block.notes


@_lines.register
def _(block: PartBlock) -> Iterator[str]:
    yield from _heading(block.heading)
    yield ""
    yield from filter(None, (f"{block.part}: {block.word}", block.kind, block.origin))
    yield block.sentence
    for table in block.tables:
        heads = [name for name, _ in table.heads]
        yield from _table(heads, [(*row.cells, row.word) for row in table.rows])
    yield from (" ".join((note.title, *note.sentences)) for note in block.notes)
    yield from block.cautions


@_lines.register
def _(block: Picture) -> Iterator[str]:
    yield f"[{block.about}]"


@_lines.register
def _(block: Sentences) -> Iterator[str]:
    yield from _heading(block.heading)
    yield from filter(None, (*block.sentences, block.small))


@_lines.register
def _(block: Listing) -> Iterator[str]:
    yield from _heading(block.heading)
    yield from _table(block.heads, block.rows) if block.rows else (block.none,)


def _heading(text: str) -> Iterator[str]:
    if text:
        yield from ("", text.upper())


def _table(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> Iterator[str]:
    """Columns as wide as their widest cell."""
    widths = [max(map(len, column)) for column in zip(heads, *rows, strict=True)]
    for row in (heads, *rows):
        cells = (cell.ljust(width) for cell, width in zip(row, widths, strict=True))
        yield "  ".join(cells).rstrip()
