"""The page as one JSON document: its blocks in their order, each by the name of its kind."""

from typing import Any

import msgspec

from benchmeter.reports.page_blocks import Block, Picture
from benchmeter.reports.session_page import SessionPage

__all__ = ["page_json"]


def page_json(page: SessionPage) -> bytes:
    """UTF-8, indented; a picture is told by what it shows."""
    document = {
        "title": page.title,
        "footer": page.footer,
        "blocks": [_block(block) for block in page.blocks],
    }
    return msgspec.json.format(msgspec.json.encode(document), indent=2) + b"\n"


def _block(block: Block) -> dict[str, Any]:
    said = {"about": block.about} if isinstance(block, Picture) else msgspec.to_builtins(block)
    return {"block": type(block).__name__.lower(), **said}
