"""Findings from their bytes, in every form that there has been: the one place that knows them all.

The bytes are sealed: what has got another name since is renamed when it is read, never in place.
"""

from enum import IntEnum
from typing import Any

import msgspec

from benchmeter.record.structs.stored_part_check import StoredPartCheck
from benchmeter.record.structs.stored_recovery import StoredRecovery

__all__ = ["FORM", "SessionForm", "form_of", "part_check_in", "recovery_in"]


class SessionForm(IntEnum):
    """The form that all of a session is stored in."""

    FARADS = 1  # names tell that they hold farads: before other quantities were judged
    SI = 2
    CODES = 3  # events tell their reasons by codes with parameters: until then by a sentence


FORM = SessionForm.CODES
"""The form of sessions that are written now."""


_FARADS = "_f"

_part = msgspec.msgpack.Decoder(StoredPartCheck)
_recovery = msgspec.msgpack.Decoder(StoredRecovery)


def part_check_in(body: bytes, form: int | None) -> StoredPartCheck:
    """The part check in a stored body.

    Args:
        form: a SessionForm; None: it was stored before sessions told.

    Raises:
        ValueError: the body is broken, or of a form that is not known.
    """
    match form_of(body) if form is None else SessionForm(form):
        case SessionForm.FARADS:
            return msgspec.convert(_renamed(msgspec.msgpack.decode(body)), StoredPartCheck)
        case SessionForm.SI | SessionForm.CODES:
            return _part.decode(body)


def recovery_in(body: bytes, form: int | None) -> StoredRecovery:
    """The recovery in a stored body, the same in every form; as `part_check_in`."""
    if form is not None:
        SessionForm(form)
    return _recovery.decode(body)


def form_of(body: bytes) -> SessionForm:
    """The form of a part check that was stored before sessions told.

    Raises:
        ValueError: the body is broken.
    """
    names = msgspec.msgpack.decode(body, type=dict[str, Any])
    return SessionForm.FARADS if "lead_offset_f" in names else SessionForm.SI


def _renamed(value: Any) -> Any:
    if isinstance(value, dict):
        return {_new_name(name): _renamed(held) for name, held in value.items()}
    if isinstance(value, list):
        return [_renamed(held) for held in value]
    return value


def _new_name(name: str) -> str:
    return name.removesuffix(_FARADS) + "_si" if name.endswith(_FARADS) else name
