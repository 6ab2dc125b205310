"""Lines out of a stream of bytes, however it is cut."""

from dataclasses import dataclass

from benchmeter.errors import Message

__all__ = ["Line", "LineSplitter"]


@dataclass(frozen=True, slots=True)
class Line:
    """A line without its end.

    Attributes:
        fault: why it must not be read as a value; None for a whole line.
    """

    data: bytes
    fault: Message | None = None

    @property
    def blank(self) -> bool:
        return not self.data.strip() and self.fault is None


class LineSplitter:
    """Cuts bytes into lines; what cannot be a whole line is marked with its fault.

    A timed-out read hands out "12.3" and later "4": a line with a pause in it is never joined.

    Args:
        ends: the bytes that end a line, each alone: CRLF gives an empty line more.
        longest: longer lines are dropped up to their end.
    """

    def __init__(self, ends: bytes, longest: int) -> None:
        self._ends = ends
        self._longest = longest
        self._tail = bytearray()
        self._fault: Message | None = None

    @property
    def tail(self) -> bytes:
        """What has come since the last line end."""
        return bytes(self._tail)

    def spoil(self, fault: Message) -> None:
        """The line that is under way must not be read as a value."""
        self._fault = self._fault or fault

    def clear(self) -> bytes:
        """Forget the line that is under way, and hand it out."""
        tail, self._fault = bytes(self._tail), None
        self._tail.clear()
        return tail

    def feed(self, data: bytes) -> list[Line]:
        """The lines that end in `data`."""
        lines = []
        for byte in data:
            if byte in self._ends:
                lines.append(Line(bytes(self._tail), self._fault))
                self._tail.clear()
                self._fault = None
            elif len(self._tail) < self._longest:
                self._tail.append(byte)
            else:
                self.spoil(Message("decoders.line_too_long"))
        return lines
