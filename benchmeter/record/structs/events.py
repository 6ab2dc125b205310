"""The stored form of an event."""

from typing import Any

import msgspec

from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.events import Event, EventKind, reported
from benchmeter.record.structs.messages import message_in, message_text

__all__ = ["StoredEvent"]

_WITH_REASON = (EventKind.GARBLED, EventKind.LINK_LOST, EventKind.BIAS_ACCEPTED)
_OHM = "Ω"


class _Leads(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What a nulling of the leads stores as its text."""

    shown: str
    quantity: str
    resolution: float | None


class _Reason(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What an event with a reason stores as its text. `message`: see `message_text`."""

    message: str
    text: str = ""


class StoredEvent(msgspec.Struct, frozen=True):
    """Its fields are the columns of the table.

    `text` of a nulling of the leads, and of an event with a reason, is a JSON object; until then
    it was a sentence, which is read as it stands.
    """

    kind: str
    time_ns: int
    subject: str
    text: str
    until_ns: int | None
    number: float | None

    @classmethod
    def of(cls, event: Event) -> "StoredEvent":
        return cls(
            kind=event.kind.value,
            time_ns=event.time_ns,
            subject=event.subject,
            text=_text(event),
            until_ns=event.until_ns,
            number=event.number,
        )

    def restored(self) -> Event:
        """The event.

        Raises:
            ValueError: of no kind that is known.
        """
        kind = EventKind(self.kind)
        facts = _facts(kind, self.text)
        return Event(
            kind=kind,
            time_ns=self.time_ns,
            subject=self.subject,
            until_ns=self.until_ns,
            number=self.number,
            **facts,
        )


def _text(event: Event) -> str:
    if event.kind is EventKind.FUNCTION and event.quantity is not None:
        return event.quantity.value
    if event.kind is EventKind.LEADS_NULLED and event.quantity is not None:
        return _json(_Leads(event.text, event.quantity.value, event.resolution))
    if event.reason is not None:
        return _json(_Reason(message_text(event.reason), event.text))
    return event.text


def _json(facts: msgspec.Struct) -> str:
    return msgspec.json.encode(facts).decode()


def _facts(kind: EventKind, text: str) -> dict[str, Any]:
    if kind is EventKind.FUNCTION:
        return {"quantity": Quantity(text)}
    if kind is EventKind.LEADS_NULLED:
        return _leads(text)
    if kind in _WITH_REASON and text:
        try:
            found = msgspec.json.decode(text, type=_Reason)
        except msgspec.DecodeError:
            return {"reason": reported(text)}
        return {"reason": message_in(found.message), "text": found.text}
    return {"text": text}


def _leads(text: str) -> dict[str, Any]:
    try:
        found = msgspec.json.decode(text, type=_Leads)
    except msgspec.DecodeError:
        quantity = Quantity.RESISTANCE if text.endswith(_OHM) else Quantity.CAPACITANCE
        return {"text": text, "quantity": quantity}
    return {
        "text": found.shown,
        "quantity": Quantity(found.quantity),
        "resolution": found.resolution,
    }
