"""The stored form of a message: its code, and each parameter with its type."""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from pathlib import PurePath
from typing import Any

import msgspec

from benchmeter.errors import Amount, Message, Parameter

__all__ = ["message_in", "message_text"]


class _StoredMessage(msgspec.Struct, frozen=True):
    code: str
    parameters: dict[str, Any] = {}


def message_text(message: Message) -> str:
    """The message as JSON."""
    return msgspec.json.encode(_stored(message)).decode()


def message_in(text: str) -> Message:
    """The message in its JSON.

    Raises:
        ValueError: it is none.
    """
    return _restored(msgspec.json.decode(text, type=_StoredMessage))


def _stored(message: Message) -> _StoredMessage:
    return _StoredMessage(message.code, {k: _plain(v) for k, v in message.parameters.items()})


def _plain(value: Parameter) -> Any:
    match value:
        case Message():
            return {"message": _stored(value)}
        case Amount():
            return {"si": str(value.value_si), "unit": value.unit}
        case Decimal():
            return {"decimal": str(value)}
        case str() | int() | float():
            return value
        case date() | PurePath():
            return str(value)
        case _:
            return list(value)


def _restored(stored: _StoredMessage) -> Message:
    return Message(stored.code, {k: _typed(v) for k, v in stored.parameters.items()})


def _typed(value: Any) -> Parameter:
    match value:
        case Mapping() if "message" in value:
            return _restored(msgspec.convert(value["message"], _StoredMessage))
        case Mapping() if "unit" in value:
            return Amount(Decimal(value["si"]), value["unit"])
        case Mapping():
            return Decimal(value["decimal"])
        case list():
            return tuple(value)
    found: str | int | float = value
    return found
