"""The wall clock beside the monotonic one, told when it matters."""

import time
from collections.abc import Callable

from benchmeter.readings.inputs import ClockAnchor

__all__ = ["WallClock", "utc_us"]

_EVERY_NS = 60_000_000_000
_PARTED_US = 1_000_000


def utc_us() -> int:
    """UTC in whole microseconds."""
    return time.time_ns() // 1000


class WallClock:
    """Says when a session's stream needs an anchor: at its start, once a minute, and at once
    when the two clocks have parted by a second: the computer slept, or its clock was set.

    Args:
        now_ns: monotonic, since the session's start.
        utc_us: the wall clock.
    """

    def __init__(self, now_ns: Callable[[], int], utc_us: Callable[[], int] = utc_us) -> None:
        self._now_ns = now_ns
        self._utc_us = utc_us
        self._last: ClockAnchor | None = None

    def anchor_at(self, time_ns: int) -> ClockAnchor:
        """An anchor for a moment that may lie a little back: both clocks are wound back alike."""
        back_us = (self._now_ns() - time_ns) // 1000
        self._last = ClockAnchor(time_ns=time_ns, utc_us=self._utc_us() - back_us)
        return self._last

    def due(self, time_ns: int) -> ClockAnchor | None:
        """The anchor that must stand before what happened at `time_ns`, if any."""
        last = self._last
        if last is not None and time_ns - last.time_ns < _EVERY_NS:
            expected_us = last.utc_us + (self._now_ns() - last.time_ns) // 1000
            if abs(self._utc_us() - expected_us) < _PARTED_US:
                return None
        return self.anchor_at(time_ns)
