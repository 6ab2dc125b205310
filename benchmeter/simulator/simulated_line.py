"""One line of the simulated bench: an instrument at one end, what is asked of it at the other.

Bytes take the time that they take on a real line and come in pieces, so that frames are cut.
"""

import random
from collections import deque
from dataclasses import dataclass
from typing import Protocol

from benchmeter.errors import Message
from benchmeter.links.ports.source import SILENCE_NS, Conversation
from benchmeter.readings.inputs import Chunk, Input, LinkChange

__all__ = ["SimulatedLine", "Unplugged", "VirtualInstrument", "Wire"]

_MS = 1_000_000


class VirtualInstrument(Protocol):
    """An instrument as its cable shows it: bytes in, bytes out. Reads no clock.

    Times are in ns and never fall. `speak` and `wake_ns` may be called at any time and as often
    as one likes.
    """

    def hear(self, data: bytes, now_ns: int) -> None:
        """These bytes have reached the instrument."""
        ...

    def speak(self, now_ns: int) -> bytes:
        """What it has put on the wire by now and not yet given; whole messages."""
        ...

    def wake_ns(self) -> int | None:
        """When it will have something to say or to do; None: only after it has heard."""
        ...


@dataclass(frozen=True, slots=True)
class Unplugged:
    """The cable is out from `from_ns` until `until_ns`."""

    from_ns: int
    until_ns: int


@dataclass(frozen=True, slots=True)
class SimulatedLine:
    """What a line is made of.

    Attributes:
        name: of the link.
        conversation: what to say to the instrument, and when.
        instrument: what answers.
        byte_ns: time of one byte on the wire.
        identity: what a real link would tell of its adapter.
        unplugged: spans without a cable, in order, not overlapping.
    """

    name: str
    conversation: Conversation
    instrument: VirtualInstrument
    byte_ns: int
    identity: str = ""
    unplugged: tuple[Unplugged, ...] = ()


class Wire:
    """A line in motion.

    Args:
        line: what it is made of.
        seed: decides where the bytes are cut.
    """

    def __init__(self, line: SimulatedLine, seed: str) -> None:
        self._line = line
        self._random = random.Random(seed)
        self._plugging = deque(
            (time_ns, up)
            for span in line.unplugged
            for time_ns, up in ((span.from_ns, False), (span.until_ns, True))
        )
        self._up = False
        self._to_instrument: deque[tuple[int, bytes]] = deque()
        self._pieces: deque[tuple[int, bytes]] = deque()
        self._busy_ns = 0
        self._silence_ns = SILENCE_NS
        self.next_ns = 0

    def begin(self) -> list[Input]:
        """The link is opened at time 0."""
        if self._plugging and self._plugging[0][0] <= 0:
            return self.step(0)
        return [*self._plug_in(0), *self.step(0)]

    def step(self, now_ns: int) -> list[Input]:
        """All that happens on the line at `now_ns`, in a fixed order."""
        found: list[Input] = []
        while self._plugging and self._plugging[0][0] <= now_ns:
            _, up = self._plugging.popleft()
            found += self._plug_in(now_ns) if up else self._pull_out(now_ns)
        while self._to_instrument and self._to_instrument[0][0] <= now_ns:
            self._line.instrument.hear(self._to_instrument.popleft()[1], now_ns)
        self._lay_on_wire(self._line.instrument.speak(now_ns), now_ns)
        found += self._arrive(now_ns)
        if self._up:
            found += self._ask(now_ns)
        self.plan(now_ns)
        return found

    def plan(self, now_ns: int) -> None:
        """Find out anew when something happens next, e.g. after hands have moved the leads."""
        times = [
            queue[0][0] for queue in (self._plugging, self._to_instrument, self._pieces) if queue
        ]
        wakes = [self._line.instrument.wake_ns()]
        if self._up:
            times.append(self._silence_ns)
            wakes.append(self._line.conversation.wake_ns())
        # Whoever was just asked and still wants to be is asked again a little later.
        times += [wake if wake > now_ns else now_ns + _MS for wake in wakes if wake is not None]
        self.next_ns = min(times, default=now_ns + SILENCE_NS)

    def farewell(self, now_ns: int) -> list[Input]:
        """The last words before the link is closed."""
        data = self._line.conversation.farewell() if self._up else b""
        return [Chunk(time_ns=now_ns, link=self._line.name, data=data, sent=True)] if data else []

    def _plug_in(self, now_ns: int) -> list[Input]:
        self._up = True
        self._silence_ns = now_ns + SILENCE_NS
        self._line.conversation.restarted(now_ns)
        return [
            LinkChange(time_ns=now_ns, link=self._line.name, up=True, identity=self._line.identity)
        ]

    def _pull_out(self, now_ns: int) -> list[Input]:
        self._up = False
        self._to_instrument.clear()
        return [
            LinkChange(
                time_ns=now_ns,
                link=self._line.name,
                up=False,
                reason=Message("simulator.cable_off"),
            )
        ]

    def _lay_on_wire(self, data: bytes, now_ns: int) -> None:
        time_ns = max(now_ns, self._busy_ns)
        while data:
            # Serial adapters hand over what has come every 10 to 16 ms.
            count = max(1, self._random.randint(10, 16) * _MS // self._line.byte_ns)
            piece, data = data[:count], data[count:]
            time_ns += len(piece) * self._line.byte_ns
            self._pieces.append((time_ns, piece))
            self._busy_ns = time_ns

    def _arrive(self, now_ns: int) -> list[Input]:
        found: list[Input] = []
        while self._pieces and self._pieces[0][0] <= now_ns:
            _, data = self._pieces.popleft()
            if self._up:  # else it runs out of the end of the cable
                self._line.conversation.received(data, now_ns)
                self._silence_ns = now_ns + SILENCE_NS
                found.append(Chunk(time_ns=now_ns, link=self._line.name, data=data))
        if self._up and now_ns >= self._silence_ns:
            self._silence_ns = now_ns + SILENCE_NS
            self._line.conversation.received(b"", now_ns)
            found.append(Chunk(time_ns=now_ns, link=self._line.name, data=b""))
        return found

    def _ask(self, now_ns: int) -> list[Input]:
        data = self._line.conversation.due(now_ns)
        if not data:
            return []
        self._to_instrument.append((now_ns + len(data) * self._line.byte_ns, data))
        return [Chunk(time_ns=now_ns, link=self._line.name, data=data, sent=True)]
