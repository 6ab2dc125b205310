"""Every wire format: the files of this folder that define `FORMAT`."""

import importlib
import pkgutil
from typing import Any

from benchmeter.links.instruments import formats
from benchmeter.links.instruments.formats.wire_format import ProfileTable, WireFormat

__all__ = ["FORMATS", "format_of"]


def _found() -> dict[type[ProfileTable], WireFormat[Any]]:
    found: dict[type[ProfileTable], WireFormat[Any]] = {}
    for file in pkgutil.iter_modules(formats.__path__, f"{formats.__name__}."):
        if file.name != __name__:
            known = getattr(importlib.import_module(file.name), "FORMAT", None)
            if isinstance(known, WireFormat):
                found[known.table] = known
    return found


FORMATS = _found()
"""By the table of a profile."""


def format_of(table: ProfileTable) -> WireFormat[Any]:
    """The format that a profile's table describes."""
    return FORMATS[type(table)]
