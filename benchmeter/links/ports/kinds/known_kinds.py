"""Every kind of port: the files of this folder that define `PORT_KIND`."""

import importlib
import pkgutil

from benchmeter.links.ports import kinds
from benchmeter.links.ports.kinds.port_kind import PortKind

__all__ = ["PORT_KINDS"]


def _found() -> dict[str, PortKind]:
    found: dict[str, PortKind] = {}
    for file in pkgutil.iter_modules(kinds.__path__, f"{kinds.__name__}."):
        if file.name != __name__:
            known = getattr(importlib.import_module(file.name), "PORT_KIND", None)
            if isinstance(known, PortKind):
                found[known.scheme] = known
    return found


PORT_KINDS = _found()
"""By the beginning of a link text."""
