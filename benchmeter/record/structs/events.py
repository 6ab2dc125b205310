"""The stored form of an event."""

import msgspec

from benchmeter.readings.events import Event, EventKind

__all__ = ["StoredEvent"]


class StoredEvent(msgspec.Struct, frozen=True):
    """Its fields are the columns of the table."""

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
            text=event.text,
            until_ns=event.until_ns,
            number=event.number,
        )

    def restored(self) -> Event:
        """The event.

        Raises:
            ValueError: of no kind that is known.
        """
        return Event(
            kind=EventKind(self.kind),
            time_ns=self.time_ns,
            subject=self.subject,
            text=self.text,
            until_ns=self.until_ns,
            number=self.number,
        )
