"""The stored form of an event."""

import msgspec

from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.events import Event, EventKind, reported
from benchmeter.record.structs.findings import SessionForm
from benchmeter.record.structs.messages import message_in, message_text

__all__ = ["StoredEvent"]

_OHM = "Ω"


class StoredEvent(msgspec.Struct, frozen=True):
    """Its fields are the columns of the table. `reason`: a message; see `message_text`."""

    kind: str
    time_ns: int
    subject: str
    text: str
    until_ns: int | None
    number: float | None
    reason: str | None
    quantity: str | None
    resolution: float | None

    @classmethod
    def of(cls, event: Event) -> "StoredEvent":
        return cls(
            kind=event.kind.value,
            time_ns=event.time_ns,
            subject=event.subject,
            text=event.text,
            until_ns=event.until_ns,
            number=event.number,
            reason=None if event.reason is None else message_text(event.reason),
            quantity=None if event.quantity is None else event.quantity.value,
            resolution=event.resolution,
        )

    def restored(self, form: int | None) -> Event:
        """The event.

        Args:
            form: of its session; None: it was stored before sessions told.

        Raises:
            ValueError: of no kind or form that is known, or its reason is broken.
        """
        if form is None or SessionForm(form) < SessionForm.CODES:
            return self._with_sentence()
        return Event(
            kind=EventKind(self.kind),
            time_ns=self.time_ns,
            subject=self.subject,
            text=self.text,
            until_ns=self.until_ns,
            number=self.number,
            reason=None if self.reason is None else message_in(self.reason),
            quantity=None if self.quantity is None else Quantity(self.quantity),
            resolution=self.resolution,
        )

    def _with_sentence(self) -> Event:
        """As it was stored before there were codes: its text is all of these in one."""
        kind, text = EventKind(self.kind), self.text
        reason = quantity = None
        match kind:
            case EventKind.FUNCTION:
                quantity, text = Quantity(text), ""
            case EventKind.LEADS_NULLED:
                in_ohm = text.endswith(_OHM)
                quantity = Quantity.RESISTANCE if in_ohm else Quantity.CAPACITANCE
            case EventKind.GARBLED | EventKind.LINK_LOST | EventKind.BIAS_ACCEPTED if text:
                reason, text = reported(text), ""
        return Event(
            kind=kind,
            time_ns=self.time_ns,
            subject=self.subject,
            text=text,
            until_ns=self.until_ns,
            number=self.number,
            reason=reason,
            quantity=quantity,
        )
