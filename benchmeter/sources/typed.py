"""A source without any instrument: time passes, and the technician types readings in."""

import threading
import time
from collections.abc import Iterator

from benchmeter.readings.inputs import Chunk, ClockAnchor, Input
from benchmeter.sources.source import SILENCE_NS

__all__ = ["TYPED_LINK", "TypedSource"]

TYPED_LINK = "typed in"


class TypedSource:
    """Silence every quarter of a second, and the wall clock once a minute."""

    def __init__(self) -> None:
        self._closed = threading.Event()

    def inputs(self) -> Iterator[Input]:
        start = time.monotonic_ns()
        anchored_ns = -60_000_000_000
        while True:
            now = time.monotonic_ns() - start
            if now - anchored_ns >= 60_000_000_000:
                anchored_ns = now
                yield ClockAnchor(time_ns=now, utc_us=time.time_ns() // 1000)
            yield Chunk(time_ns=now, link=TYPED_LINK, data=b"")
            if self._closed.wait(SILENCE_NS / 1e9):
                return

    def close(self) -> None:
        self._closed.set()
