"""The simulated bench as a source: bytes of virtual instruments, in simulated time."""

import contextlib
import threading
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Protocol

from benchmeter.checking.commands import Command
from benchmeter.errors import InputError
from benchmeter.links.ports.source import HandChoice
from benchmeter.readings.inputs import ClockAnchor, Input
from benchmeter.simulator.simulated_line import SimulatedLine, Wire

__all__ = ["HandStep", "HandledWorld", "SimulatedSource"]

_ANCHOR_NS = 60_000_000_000


class HandledWorld(Protocol):
    """What the virtual instruments look at, and what hands can do in it."""

    def choices(self) -> tuple[HandChoice, ...]: ...

    def do(self, name: str, now_ns: int) -> None:
        """Raises InputError where it cannot be done."""
        ...


@dataclass(frozen=True, slots=True)
class HandStep:
    """A step of the story that hands do; `name` as in HandChoice."""

    time_ns: int
    name: str


class SimulatedSource:
    """A Source (and its Hands) whose instruments are virtual.

    The same lines, world, story and seed give the same stream, byte for byte, at any pace. A
    story ends the stream at `length_ns`; from the first act of a hand on there is no story, and
    the stream goes on until it is closed.

    Args:
        lines: the links, in a fixed order.
        world: what the instruments look at.
        story: hand steps and commands of the technician, in the order of their times; None: all
            is for the user's hands to do.
        length_ns: end of the story.
        start_utc_us: wall clock at time 0.
        seed: decides where bytes are cut.
        pace: simulated seconds per second; None: as fast as they are taken.
    """

    def __init__(
        self,
        lines: Sequence[SimulatedLine],
        world: HandledWorld,
        story: Sequence[HandStep | Command] | None,
        *,
        length_ns: int,
        start_utc_us: int,
        seed: int = 0,
        pace: float | None = 1.0,
    ) -> None:
        if pace is not None and not pace > 0:
            raise ValueError(f"pace must be positive: {pace}")
        self._wires = [Wire(line, f"{seed} {line.name}") for line in lines]
        self._world = world
        self._story = list(story or ())
        self._length_ns = length_ns
        self._start_utc_us = start_utc_us
        self._pace = pace
        self._anchor_ns = 0
        self._now_ns = 0
        self._started_s: float | None = None
        self._moved = threading.Condition()  # guards the four below
        self._asked: list[str] = []
        self._by_hand = story is None
        self._ended = False
        self._closed = False

    def inputs(self) -> Iterator[Input]:
        """The stream; to be taken once. Runs on the thread of the caller, and waits inside."""
        self._started_s = time.monotonic()
        yield from self._anchor()
        for wire in self._wires:
            yield from wire.begin()
        while True:
            due_ns = self._due_ns()
            moment = self._wait(due_ns)
            if moment is None:
                break
            self._now_ns, acts = moment
            for name in acts:
                yield from self._act(name)
            if not acts:
                if self._over():
                    break
                yield from self._happen()
        with self._moved:
            self._ended = True
        for wire in self._wires:
            yield from wire.farewell(self._now_ns)

    def close(self) -> None:
        """End the stream. May be called from any thread."""
        with self._moved:
            self._closed = True
            self._moved.notify_all()

    def choices(self) -> tuple[HandChoice, ...]:
        """What hands can do now."""
        return self._world.choices()

    def do(self, name: str) -> None:
        """Let hands do it at the current simulated time. May be called from any thread.

        Raises:
            InputError: it cannot be done now.
        """
        if name not in {choice.name for choice in self._world.choices()}:
            raise InputError("simulator.not_now", action=name)
        with self._moved:
            self._by_hand = True
            self._asked.append(name)
            self._moved.notify_all()

    def story_plays(self) -> bool:
        """Whether the scenario still acts by itself."""
        with self._moved:
            return not (self._by_hand or self._ended or self._closed)

    def _due_ns(self) -> int:
        times = [self._anchor_ns, *(wire.next_ns for wire in self._wires)]
        if self.story_plays():
            times += [self._length_ns, *(step.time_ns for step in self._story[:1])]
        return max(self._now_ns, min(times))

    def _wait(self, due_ns: int) -> tuple[int, list[str]] | None:
        """Wait for `due_ns`, hands, or the end (None); gives the moment and what hands do."""
        with self._moved:
            while not self._closed:
                elapsed_ns = self._elapsed_ns()
                if self._asked:
                    acts, self._asked = self._asked, []
                    passed_ns = self._now_ns if elapsed_ns is None else elapsed_ns
                    return min(max(self._now_ns, passed_ns), due_ns), acts
                if elapsed_ns is None or self._pace is None or elapsed_ns >= due_ns:
                    return due_ns, []
                self._moved.wait((due_ns - elapsed_ns) / 1e9 / self._pace)
        return None

    def _elapsed_ns(self) -> int | None:
        if self._pace is None or self._started_s is None:
            return None
        return int((time.monotonic() - self._started_s) * self._pace * 1e9)

    def _over(self) -> bool:
        return self._now_ns >= self._length_ns and self.story_plays()

    def _happen(self) -> Iterator[Input]:
        if self._now_ns >= self._anchor_ns:
            yield from self._anchor()
        while self._story and self._story[0].time_ns <= self._now_ns and self.story_plays():
            step = self._story.pop(0)
            if isinstance(step, HandStep):
                yield from self._act(step.name)
            else:
                yield step
        for wire in self._wires:
            if wire.next_ns <= self._now_ns:
                yield from wire.step(self._now_ns)

    def _act(self, name: str) -> Iterator[Input]:
        with contextlib.suppress(InputError):  # another act has made it impossible meanwhile
            self._world.do(name, self._now_ns)
        for wire in self._wires:
            yield from wire.step(self._now_ns)

    def _anchor(self) -> Iterator[Input]:
        self._anchor_ns = self._now_ns + _ANCHOR_NS
        yield ClockAnchor(time_ns=self._now_ns, utc_us=self._start_utc_us + self._now_ns // 1000)
