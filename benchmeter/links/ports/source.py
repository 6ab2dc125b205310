"""The seam to the outside world."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Protocol

from benchmeter.readings.inputs import Input

__all__ = ["SILENCE_NS", "Conversation", "HandChoice", "Hands", "Port", "Source"]

SILENCE_NS = 250_000_000
"""After so long without a byte a link yields an empty chunk, and again each time it passes."""


class Source(Protocol):
    """A stream of inputs, in the order of their times.

    `inputs` runs on the thread of the caller and may wait inside; `close` may be called from any
    thread and makes the iterator end within 0.5 s.
    """

    def inputs(self) -> Iterator[Input]: ...

    def close(self) -> None: ...


class Port(Protocol):
    """An open way to an instrument, for one thread only: the one that opened it.

    Whatever goes wrong is a LinkError.
    """

    def read(self) -> bytes:
        """What has come; b"" soon where nothing has (0.02 s).

        Raises:
            LinkLost: the port has gone.
        """
        ...

    def write(self, data: bytes) -> None:
        """Send.

        Raises:
            LinkLost: the port has gone, or takes nothing.
        """
        ...

    def close(self) -> None:
        """Send what is left, shortly, and close. Never raises."""
        ...


class Conversation(Protocol):
    """What to say on a link, and when: the talk with an instrument that must be asked.

    Does no input or output and reads no clock: a link (serial or simulated) asks it what is due,
    and tells it what came. Times are the link's own, in ns, growing.
    """

    def due(self, now_ns: int) -> bytes:
        """What is to be sent now; b"" if nothing. What is returned counts as sent."""
        ...

    def wake_ns(self) -> int | None:
        """When `due` wants to be asked again if nothing arrives before; None: never."""
        ...

    def received(self, data: bytes, now_ns: int) -> None:
        """Bytes have come; b"" is silence, as a decoder is told of it."""
        ...

    def restarted(self, now_ns: int) -> None:
        """The link was opened (again): greet the instrument from the beginning."""
        ...

    def farewell(self) -> bytes:
        """What to send before the link is closed (back to local control); may be b""."""
        ...


@dataclass(frozen=True, slots=True)
class HandChoice:
    """Something that hands can do at the simulated bench.

    Attributes:
        name: what `Hands.do` takes.
        group: choices of a group exclude each other: "leads", "part", "knob", "unit".
        title: for people: "C and HERM".
        active: whether it is done now.
        label: of a part: the text of its rating label, or what its data sheet gives; else "".
        kind: of a part: the name of its kind; "" for a capacitor by its label.
    """

    name: str
    group: str
    title: str
    active: bool
    label: str = ""
    kind: str = ""


class Hands(Protocol):
    """The hands at a simulated bench: move leads, change the part, switch the unit on."""

    def choices(self) -> tuple[HandChoice, ...]: ...

    def do(self, name: str) -> None:
        """May be called from any thread; ends the story if one is playing."""
        ...

    def story_plays(self) -> bool:
        """Whether the scenario still acts by itself."""
        ...
