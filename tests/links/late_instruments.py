"""Instruments that answer in order, but late, twice, cut or not at all, on a line without a clock.

Every number that they send is sent once, so that each reading names the question that it answers.
"""

import heapq
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, field

from benchmeter.links.decoders.modbus_frames import Request, with_crc
from benchmeter.links.instruments.building import conversation_for
from benchmeter.links.instruments.profile import Profile
from benchmeter.links.instruments.setup import BenchSetup, ChannelSetup, LinkSetup, Role
from benchmeter.readings.reading import Reading
from benchmeter.session.acquisition.acquisition import Acquisition
from benchmeter.simulator.simulated_line import SimulatedLine, Wire

__all__ = ["MS", "Fault", "LateInstrument", "ModbusModule", "ScpiMeter", "TextMeter", "readings_of"]

MS = 1_000_000
_BYTE_NS = 1_041_667  # 9600 baud, 10 bits
_USUAL_NS = 20 * MS
_LONGEST_NS = 1_200_000 * MS


@dataclass(frozen=True)
class Fault:
    """What happens to one answer.

    Attributes:
        delay_ms: it comes so much later, and so does all that follows.
        copies: how often it is sent: 0 is a lost answer.
        copy_ms: from one copy to the next.
        cut: so many of its bytes are missing at the end; negative: at the beginning.
        before: bytes that come unasked in front of it.
    """

    delay_ms: int = 0
    copies: int = 1
    copy_ms: int = 0
    cut: int = 0
    before: bytes = b""


@dataclass
class LateInstrument:
    """Answers one message after the other; each message takes the next fault.

    Args:
        answer: to a whole message, at the time at which the instrument gets to it; b"" for none.
        whole: how much of what was heard is a whole message; 0 for none.
    """

    answer: Callable[[bytes, int], bytes]
    whole: Callable[[bytes], int]
    faults: deque[Fault]
    spoilt_until_ns: int = 0
    _heard: bytes = b""
    _busy_ns: int = 0
    _coming: list[tuple[int, int, bytes]] = field(default_factory=list)
    _count: int = 0

    def hear(self, data: bytes, now_ns: int) -> None:
        self._heard += data
        while length := self.whole(self._heard):
            message, self._heard = self._heard[:length], self._heard[length:]
            fault = self.faults.popleft() if self.faults else Fault()
            self._busy_ns = max(now_ns, self._busy_ns) + _USUAL_NS + fault.delay_ms * MS
            if fault.before:
                self._send(fault.before)
            said = self.answer(message, self._busy_ns)
            said = said[-fault.cut :] if fault.cut < 0 else said[: len(said) - fault.cut]
            if fault != Fault():
                self.spoilt_until_ns = self._busy_ns
            for copy in range(fault.copies if said else 0):
                self._busy_ns += fault.copy_ms * MS if copy else 0
                self._send(said)

    def speak(self, now_ns: int) -> bytes:
        said = b""
        while self._coming and self._coming[0][0] <= now_ns:
            said += heapq.heappop(self._coming)[2]
        return said

    def wake_ns(self) -> int | None:
        return self._coming[0][0] if self._coming else None

    def _send(self, data: bytes) -> None:
        self._count += 1
        heapq.heappush(self._coming, (self._busy_ns, self._count, data))


class ModbusModule:
    """The low byte of each register is its address; the high byte counts the answers.

    Args:
        knows_divider: whether function 8 is refused, as the protocol asks for, or met in silence.
    """

    def __init__(self, faults: list[Fault], *, knows_divider: bool = True) -> None:
        self._knows_divider = knows_divider
        self._answers = 0
        self.instrument = LateInstrument(
            self._answer, lambda heard: 8 * (len(heard) >= 8), deque(faults)
        )

    def _answer(self, message: bytes, now_ns: int) -> bytes:
        request = Request.parse(message)
        if request is None or request.function == 8:
            return with_crc(message[:1] + b"\x88\x01") if request and self._knows_divider else b""
        self._answers += 1
        words = b"".join(
            bytes([1 + self._answers % 120, request.address + i]) for i in range(request.count)
        )
        return with_crc(message[:2] + bytes([2 * request.count]) + words)


class ScpiMeter:
    """Its knob is turned between two functions; the exponent of a value tells which one it was.

    Args:
        turns_ms: when the knob is turned.
        identity: its answer to *IDN?; b"" if it does not know it.
    """

    def __init__(self, faults: list[Fault], turns_ms: list[int], identity: bytes) -> None:
        self._turns = turns_ms
        self._identity = identity
        self._answers = 0
        whole = lambda heard: heard.find(b"\n") + 1  # noqa: E731
        self.instrument = LateInstrument(self._answer, whole, deque(faults))

    def _answer(self, message: bytes, now_ns: int) -> bytes:
        ohms = sum(turn * MS <= now_ns for turn in self._turns) % 2
        if message == b"*IDN?\n":
            return self._identity
        if message == b"FUNC?\n":
            return b'"RES"\r\n' if ohms else b'"CAP"\r\n'
        if message != b"READ?\n":
            return b""
        self._answers += 1
        return b"%dE%+d\r\n" % (self._answers, 2 if ohms else -8)


class TextMeter:
    """Sends a line for each that it gets."""

    def __init__(self, faults: list[Fault]) -> None:
        self._answers = 0
        whole = lambda heard: heard.find(b"\r") + 1  # noqa: E731
        self.instrument = LateInstrument(self._answer, whole, deque(faults))

    def _answer(self, message: bytes, now_ns: int) -> bytes:
        self._answers += 1
        return b"%d.0 C\r\n" % self._answers


def readings_of(
    profile: Profile, instrument: LateInstrument, clean_ms: int
) -> tuple[list[Reading], list[Reading]]:
    """What a session stores through the conversation and the decoder of that profile.

    Two parts: as long as there are faults and for `clean_ms` behind them, and as long once more.
    """
    setup = BenchSetup(
        origin="simulated",
        links=(LinkSetup(name="link", address="simulated:late", profile=profile),),
        channels=tuple(
            ChannelSetup(
                name=c.field or "value",
                link="link",
                field=c.field,
                role=Role.OTHER if c.quantity else Role.METER,
            )
            for c in profile.channels
        ),
    )
    line = SimulatedLine("link", conversation_for(profile), instrument, _BYTE_NS)
    wire, acquisition = Wire(line, "late"), Acquisition(setup)
    items, now_ns, clean_ns = wire.begin(), 0, 0
    before: list[Reading] = []
    behind: list[Reading] = []
    while now_ns < clean_ns + 2 * clean_ms * MS:
        if instrument.spoilt_until_ns > now_ns or instrument.faults:
            clean_ns = now_ns
        part = before if now_ns < clean_ns + clean_ms * MS else behind
        for item in items:
            part += acquisition.take(item).readings
        assert now_ns < wire.next_ns < _LONGEST_NS, "the conversation hangs"
        now_ns = wire.next_ns
        items = wire.step(now_ns)
    return before, behind
