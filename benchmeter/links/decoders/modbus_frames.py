"""Frames of Modbus RTU (serial line guide V1.02, application protocol V1.1b3)."""

from collections import defaultdict
from dataclasses import dataclass
from typing import Literal

from benchmeter.errors import Message
from benchmeter.links.decoders.open_questions import QUIET_SILENCES, OpenQuestions

__all__ = [
    "DIAGNOSIS",
    "LONGEST_FRAME",
    "MOST_REGISTERS",
    "ModbusReplies",
    "Request",
    "RtuReply",
    "crc16",
    "with_crc",
]

LONGEST_FRAME = 256  # serial line guide, figure 12
MOST_REGISTERS = 125  # application protocol, 6.3 and 6.4
DIAGNOSIS: Literal[8] = 8
_EXCEPTION = 0x80


def crc16(data: bytes) -> int:
    """The check sum of RTU frames (serial line guide, 6.2.2); sent low byte first."""
    crc = 0xFFFF
    for byte in data:
        crc ^= byte
        for _ in range(8):
            crc = crc >> 1 ^ 0xA001 if crc & 1 else crc >> 1
    return crc


def with_crc(body: bytes) -> bytes:
    """`body` as it goes on the wire."""
    return body + crc16(body).to_bytes(2, "little")


@dataclass(frozen=True, slots=True)
class Request:
    """Asks for `count` registers from `address` on; function 3 (holding) or 4 (input).

    Function 8 is a diagnosis: `address` is its sub-function, `count` its data (application
    protocol, 6.8).
    """

    device: int
    function: Literal[3, 4, 8]
    address: int
    count: int

    @property
    def frame(self) -> bytes:
        words = self.address.to_bytes(2, "big") + self.count.to_bytes(2, "big")
        return with_crc(bytes([self.device, self.function]) + words)

    @property
    def heads(self) -> tuple[tuple[bytes, int], ...]:
        """How a reply begins and how long it is, check sum included; that of an exception, too."""
        device, function = self.device, self.function
        if function == DIAGNOSIS:
            reply = (bytes([device, function]) + self.address.to_bytes(2, "big"), 8)
        else:
            reply = (bytes([device, function, 2 * self.count & 0xFF]), 5 + 2 * self.count)
        return reply, (bytes([device, function | _EXCEPTION]), 5)

    def fits(self, frame: bytes) -> bool:
        """Whether `frame`, whose check sum is right, can be the reply."""
        return any(len(frame) == length and frame.startswith(head) for head, length in self.heads)

    def is_like(self, other: "Request") -> bool:
        """Whether their replies look alike, exceptions aside."""
        return self.heads[0] == other.heads[0]

    @classmethod
    def parse(cls, frame: bytes) -> "Request | None":
        """The request that `frame` is; None if it is none."""
        if len(frame) != 8 or with_crc(frame[:6]) != frame or frame[1] not in (3, 4, DIAGNOSIS):
            return None
        functions: dict[int, Literal[3, 4, 8]] = {3: 3, 4: 4, DIAGNOSIS: 8}
        function = functions[frame[1]]
        return cls(
            frame[0], function, int.from_bytes(frame[2:4], "big"), int.from_bytes(frame[4:6], "big")
        )


@dataclass(frozen=True, slots=True)
class RtuReply:
    """What came.

    Attributes:
        request: that it answers, or may answer; None where the bytes answer nothing.
        data: the registers, two bytes each.
        exception: number of the exception; 0 for none.
        frame: the bytes.
        fault: why it is of no use; None where it is.
    """

    request: Request | None
    data: bytes
    exception: int
    frame: bytes
    fault: Message | None = None


class ModbusReplies:
    """Finds the replies to what was asked, by device, function, length and check sum.

    A reply does not tell its registers. Each device answers in the order in which it was asked; a
    reply that fits two open requests is of no use.

    Args:
        quiet, asks: see OpenQuestions.
    """

    def __init__(self, quiet: int | None = QUIET_SILENCES, *, asks: bool = False) -> None:
        self._open: defaultdict[int, OpenQuestions[Request]]
        self._open = defaultdict(lambda: OpenQuestions(quiet, asks=asks))
        self._last: Request | None = None
        self._bytes = bytearray()
        self._left_over: list[RtuReply] = []

    def restart(self) -> None:
        """Forget all."""
        self._open.clear()
        self._last = None
        self._bytes.clear()
        self._left_over.clear()

    def sent(self, data: bytes) -> None:
        """This was sent."""
        request = Request.parse(data)
        if request is not None:
            self._drop(len(self._bytes))
            self._last = request
            self._open[request.device].asked(request)

    def told_apart(self, request: Request) -> bool:
        """Whether no reply may still come that would be taken for one to `request`."""
        return self._open[request.device].told_apart(request, request.is_like)

    def open_to(self, device: int) -> list[Request]:
        """What this device was asked and has not answered, oldest first."""
        return self._open[device].questions

    def forget(self, device: int) -> None:
        """This device does not answer any more what it was asked before."""
        self._open[device].clear()

    def feed(self, data: bytes) -> list[RtuReply]:
        """The replies that end in `data`, and what is none; b"" is the silence after a frame."""
        if not data:
            self._drop(len(self._bytes))
            for device in self._open.values():
                device.silence()
        for byte in data:
            self._bytes.append(byte)
            self._find()
            if len(self._bytes) >= 2 * LONGEST_FRAME:
                self._drop(LONGEST_FRAME)
        replies, self._left_over = self._left_over, []
        return replies

    def _find(self) -> None:
        for device in self._open.values():
            for request in device.questions:
                for head, length in request.heads:
                    frame = bytes(self._bytes[-length:])
                    whole = len(frame) == length and frame.startswith(head)
                    if whole and frame != request.frame and with_crc(frame[:-2]) == frame:
                        self._take(device, frame)
                        return

    def _take(self, device: OpenQuestions[Request], frame: bytes) -> None:
        del self._bytes[-len(frame) :]
        self._drop(len(self._bytes))
        request, sure = device.answer(lambda asked: asked.fits(frame))
        refused = bool(frame[1] & _EXCEPTION)
        self._left_over.append(
            RtuReply(
                request,
                b"" if refused else frame[3:-2],
                frame[2] if refused else 0,
                frame,
                None if sure else Message("decoders.maybe_old"),
            )
        )
        if request == self._last:
            self._last = None

    def _drop(self, length: int) -> None:
        """The first `length` bytes are no reply: say why."""
        if not length:
            return
        dropped = bytes(self._bytes[:length])
        del self._bytes[:length]
        self._left_over.append(RtuReply(None, b"", 0, dropped, _why_not(dropped, self._last)))


def _why_not(dropped: bytes, request: Request | None) -> Message:
    if request is None:
        return Message("decoders.not_asked")
    whole = len(dropped) >= 5 and with_crc(dropped[:-2]) == dropped
    if not whole:
        return Message("decoders.check_sum")
    if dropped == request.frame:
        return Message("decoders.echo")
    if dropped[0] != request.device:
        return Message("decoders.other_device", {"device": dropped[0], "asked": request.device})
    return Message("decoders.other_reply")
