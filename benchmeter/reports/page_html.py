"""The page as HTML: whole, and in the pieces that the PDF is made of.

Only tags and styles that Qt's rich text understands, so that both look alike; headings and tables
with header cells, so that a screen reader finds its way in the HTML. What people typed is text and
nothing else: the templates escape it.
"""

from base64 import b64encode
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from typing import TYPE_CHECKING, Any

from benchmeter.files.resources import resource
from benchmeter.reports.page_blocks import Block, Listing, Picture
from benchmeter.reports.session_page import SessionPage
from benchmeter.reports.shapes import tone_colour, verdict_svg
from benchmeter.words.catalogue import language_tag
from benchmeter.words.plain_text import plain

if TYPE_CHECKING:
    from jinja2 import Environment

    from benchmeter.conformity.verdict import Verdict

__all__ = ["HtmlBlock", "page_blocks", "page_html", "style"]

_ROWS = 12  # of a long table to a block, so that it may go on over pages
_PAPER = "#ffffff"


@dataclass(frozen=True, slots=True)
class HtmlBlock:
    """A piece of HTML. `begins`: something new begins with it, such as a section."""

    html: str
    begins: bool


def page_html(page: SessionPage) -> str:
    """The page as one document."""
    return (
        _templates()
        .get_template("page.html")
        .render(
            page=page,
            language=language_tag(page.presentation.language),
            blocks=[_rendered(block) for block in page.blocks],
        )
    )


def page_blocks(page: SessionPage) -> tuple[HtmlBlock, ...]:
    """The same page in pieces that a page break should not cut."""
    return tuple(
        HtmlBlock(_rendered(piece), bool(getattr(piece, "heading", "")) or _has_plate(piece))
        for block in page.blocks
        for piece in _in_pieces(block)
    )


@cache
def style() -> str:
    """The style sheet of the pieces."""
    return resource("report/style.css").read_text(encoding="utf-8")


def _has_plate(block: Block) -> bool:
    return hasattr(block, "verdict") or hasattr(block, "title")


def _in_pieces(block: Block) -> Iterator[Block]:
    """A long table in pieces, the first with heading and header cells."""
    if not isinstance(block, Listing) or len(block.rows) <= _ROWS:
        yield block
        return
    yield replace(block, rows=block.rows[:_ROWS])
    for start in range(_ROWS, len(block.rows), _ROWS):
        yield replace(block, heading="", heads=(), rows=block.rows[start : start + _ROWS])


def _rendered(block: Block) -> str:
    template = _templates().get_template("blocks.html")
    macro = getattr(template.module, type(block).__name__)
    return str(macro(block))


@cache
def _templates() -> "Environment":
    """Made once: a template is compiled when it is used first."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    made = Environment(
        autoescape=True,
        finalize=_plain,
        loader=FileSystemLoader(resource("report")),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals |= {"style": style, "tone": tone_colour, "shape": _shape, "png": _png}
    return made


def _plain(value: Any) -> Any:
    """What a template writes; markup stays markup."""
    return type(value)(plain(value)) if isinstance(value, str) else value


def _shape(word: "Verdict", ink: str = "", ground: str = _PAPER) -> str:
    """Address of the verdict's icon; in its own colour on paper, unless told otherwise."""
    return _data("svg+xml", verdict_svg(word, ink or tone_colour(word), ground).encode())


def _png(picture: Picture) -> str:
    return _data("png", picture.png)


def _data(kind: str, content: bytes) -> str:
    return f"data:image/{kind};base64,{b64encode(content).decode('ascii')}"
