"""Everything that can enter the measuring chain, in the one order in which it was taken in.

A session is this stream: live, simulated and replayed sessions differ in who makes it, and
everything that is shown, judged and stored follows from it alone.
"""

import msgspec

from benchmeter.errors import Message

__all__ = [
    "Chunk",
    "ClockAnchor",
    "Ended",
    "Input",
    "LinkChange",
]


class Input(msgspec.Struct, frozen=True, kw_only=True):
    """One element of a session's stream.

    Attributes:
        time_ns: monotonic, since the session's start.
    """

    time_ns: int


class Chunk(Input, frozen=True):
    """What arrived on a link, or was sent on it, stamped once.

    An empty received chunk is silence: nothing has come for a quarter of a second.
    """

    link: str
    data: bytes
    sent: bool = False


class LinkChange(Input, frozen=True):
    """A link was opened, lost or found again.

    Attributes:
        up: whether bytes can flow now.
        identity: stable identity of what is plugged in, as far as known.
        reason: why it was lost; None when `up`.
    """

    link: str
    up: bool
    identity: str = ""
    reason: Message | None = None


class ClockAnchor(Input, frozen=True):
    """The wall clock beside the monotonic one: once a minute, to notice sleep and clock steps."""

    utc_us: int


class Ended(Input, frozen=True):
    """The session was ended on purpose. A session without it was cut off."""
