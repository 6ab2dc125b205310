"""Stored findings back from their bytes, also those of an older benchmeter.

The bytes are sealed: what has got another name since is renamed when it is read, never in place.
"""

from typing import Any

import msgspec

from benchmeter.checking.check import PartCheck
from benchmeter.cooling.recovery import Recovery

__all__ = ["part_check_in", "recovery_in"]

# Before other quantities were judged, the names told that they hold farads.
_FARADS = "_f"

_part = msgspec.msgpack.Decoder(PartCheck)
_recovery = msgspec.msgpack.Decoder(Recovery)


def part_check_in(body: bytes) -> PartCheck:
    """The part check in a stored body.

    Raises:
        ValueError: the body is broken.
    """
    try:
        return _part.decode(body)
    except msgspec.ValidationError:
        return msgspec.convert(_renamed(msgspec.msgpack.decode(body)), PartCheck)


def recovery_in(body: bytes) -> Recovery:
    """The recovery in a stored body; errors as in `part_check_in`."""
    return _recovery.decode(body)


def _renamed(value: Any) -> Any:
    if isinstance(value, dict):
        return {_new_name(name): _renamed(held) for name, held in value.items()}
    if isinstance(value, list):
        return [_renamed(held) for held in value]
    return value


def _new_name(name: str) -> str:
    return name.removesuffix(_FARADS) + "_si" if name.endswith(_FARADS) else name
