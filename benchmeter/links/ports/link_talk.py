"""The talk on one link, without any input or output: what to send, and which chunks arise."""

from benchmeter.links.ports.source import SILENCE_NS, Conversation
from benchmeter.readings.inputs import Chunk

__all__ = ["LinkTalk"]


class LinkTalk:
    """Stamps what came and what was sent, and notices silence.

    Knows no port and no clock: whoever holds the line calls it with the link's time in ns.

    Args:
        link: the link's name, for the chunks.
        conversation: what to say; None for an instrument that talks by itself.
    """

    def __init__(self, link: str, conversation: Conversation | None) -> None:
        self._link = link
        self._conversation = conversation
        self._silent_since_ns = 0

    def opened(self, now_ns: int) -> None:
        """The line has been opened (again)."""
        self._silent_since_ns = now_ns
        if self._conversation is not None:
            self._conversation.restarted(now_ns)

    def due(self, now_ns: int) -> bytes:
        """What is to be sent now; b"" if nothing."""
        return b"" if self._conversation is None else self._conversation.due(now_ns)

    def sent(self, data: bytes, now_ns: int) -> Chunk:
        """The bytes are on their way."""
        return Chunk(time_ns=now_ns, link=self._link, data=data, sent=True)

    def came(self, data: bytes, now_ns: int) -> Chunk | None:
        """Bytes have come, or none: an empty chunk when that has lasted for SILENCE_NS."""
        if not data and now_ns - self._silent_since_ns < SILENCE_NS:
            return None
        self._silent_since_ns = now_ns
        return Chunk(time_ns=now_ns, link=self._link, data=data)

    def heard(self, chunk: Chunk) -> None:
        """The chunk is on its way into the record: now the conversation may look at it."""
        if self._conversation is not None:
            self._conversation.received(chunk.data, chunk.time_ns)

    def farewell(self) -> bytes:
        """What to send before the line is closed; may be b""."""
        return b"" if self._conversation is None else self._conversation.farewell()
