"""A source without any instrument: time passes, and the technician types readings in."""

import threading
import time
from collections.abc import Iterator

from benchmeter.links.ports.source import SILENCE_NS
from benchmeter.links.ports.wall_clock import WallClock
from benchmeter.readings.inputs import Input

__all__ = ["TypedSource"]


class TypedSource:
    """The wall clock every quarter of a second, so that time passes in the session."""

    def __init__(self) -> None:
        self._closed = threading.Event()

    def inputs(self) -> Iterator[Input]:
        """The stream, until `close`."""
        start = time.monotonic_ns()
        clock = WallClock(lambda: time.monotonic_ns() - start)
        while True:
            yield clock.anchor_at(time.monotonic_ns() - start)
            if self._closed.wait(SILENCE_NS / 1e9):
                return

    def close(self) -> None:
        self._closed.set()
