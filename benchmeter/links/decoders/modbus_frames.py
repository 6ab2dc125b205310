"""Frames of Modbus RTU (serial line guide V1.02, application protocol V1.1b3)."""

from dataclasses import dataclass
from typing import Literal

from benchmeter.errors import Message

__all__ = [
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
    """Asks for `count` registers from `address` on; function 3 (holding) or 4 (input)."""

    device: int
    function: Literal[3, 4]
    address: int
    count: int

    @property
    def frame(self) -> bytes:
        words = self.address.to_bytes(2, "big") + self.count.to_bytes(2, "big")
        return with_crc(bytes([self.device, self.function]) + words)

    @classmethod
    def parse(cls, frame: bytes) -> "Request | None":
        """The request that `frame` is; None if it is none."""
        if len(frame) != 8 or with_crc(frame[:6]) != frame or frame[1] not in (3, 4):
            return None
        function: Literal[3, 4] = 3 if frame[1] == 3 else 4
        return cls(
            frame[0], function, int.from_bytes(frame[2:4], "big"), int.from_bytes(frame[4:6], "big")
        )


@dataclass(frozen=True, slots=True)
class RtuReply:
    """What came.

    Attributes:
        request: that it answers; None where the bytes answer nothing.
        data: the registers, two bytes each.
        exception: number of the exception; 0 for none.
        frame: the bytes.
        fault: why they answer nothing; None where they do.
    """

    request: Request | None
    data: bytes
    exception: int
    frame: bytes
    fault: Message | None = None


class ModbusReplies:
    """Finds the one reply to the one open request, by its length and check sum."""

    def __init__(self) -> None:
        self._open: Request | None = None
        self._bytes = bytearray()
        self._left_over: list[RtuReply] = []

    def restart(self) -> None:
        """Forget all."""
        self._open = None
        self._bytes.clear()
        self._left_over.clear()

    def sent(self, data: bytes) -> None:
        """This was sent; a request replaces the one that is still open."""
        request = Request.parse(data)
        if request is not None:
            self._drop(len(self._bytes))
            self._open = request

    def feed(self, data: bytes) -> list[RtuReply]:
        """The reply that ends in `data`, and what is no reply; b"" is the silence after a frame."""
        if not data:
            self._drop(len(self._bytes))
        for byte in data:
            self._bytes.append(byte)
            self._find()
            if len(self._bytes) >= 2 * LONGEST_FRAME:
                self._drop(LONGEST_FRAME)
        replies, self._left_over = self._left_over, []
        return replies

    def _find(self) -> None:
        request = self._open
        if request is None:
            return
        for head in (
            bytes([request.device, request.function, 2 * request.count & 0xFF]),
            bytes([request.device, request.function | _EXCEPTION]),
        ):
            length = 5 + 2 * request.count if len(head) == 3 else 5
            frame = bytes(self._bytes[-length:])
            if len(frame) == length and frame.startswith(head) and with_crc(frame[:-2]) == frame:
                del self._bytes[-length:]
                self._drop(len(self._bytes))
                refused = len(head) == 2
                self._left_over.append(
                    RtuReply(
                        request,
                        b"" if refused else frame[3:-2],
                        frame[2] if refused else 0,
                        frame,
                    )
                )
                self._open = None
                return

    def _drop(self, length: int) -> None:
        """The first `length` bytes are no reply: say why."""
        if not length:
            return
        dropped = bytes(self._bytes[:length])
        del self._bytes[:length]
        self._left_over.append(RtuReply(None, b"", 0, dropped, _why_not(dropped, self._open)))


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
