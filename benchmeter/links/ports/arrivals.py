"""The one queue into which every link's thread puts what arrived."""

import threading
import time
from collections import deque

import msgspec

from benchmeter.readings.inputs import Input

__all__ = ["Arrivals"]

_MOST = 1024


class Arrivals:
    """A bounded queue whose times never decrease. All methods from any thread.

    Args:
        most: a producer waits while so many inputs are queued.
    """

    def __init__(self, most: int = _MOST) -> None:
        self._most = most
        self._items: deque[Input] = deque()
        self._changed = threading.Condition()
        self._last_ns = 0
        self._ending = False
        self._until: float | None = None

    def put(self, item: Input, *, unbounded: bool = False) -> None:
        """Append, when there is room; an input that is late gets the time of the one before it.

        Args:
            unbounded: do not wait for room. For the rare inputs only.
        """
        with self._changed:
            self._changed.wait_for(
                lambda: unbounded or self._ending or len(self._items) < self._most
            )
            if item.time_ns < self._last_ns:
                item = msgspec.structs.replace(item, time_ns=self._last_ns)
            self._last_ns = item.time_ns
            self._items.append(item)
            self._changed.notify_all()

    def pass_time(self, time_ns: int) -> int:
        """Nothing has arrived by then: what comes later is not stamped earlier. That time."""
        with self._changed:
            self._last_ns = max(self._last_ns, time_ns)
            return self._last_ns

    def take(self, timeout_s: float) -> Input | None:
        """The oldest input; None if none came in time, or the stream has ended."""
        with self._changed:
            self._changed.wait_for(lambda: self._items or self.ended, timeout_s)
            if self._items and not self.ended:
                self._changed.notify_all()
                return self._items.popleft()
            return None

    def release(self) -> None:
        """Hold nobody back any more: the producers are about to end."""
        with self._changed:
            self._ending = True
            self._changed.notify_all()

    def end(self, until: float) -> None:
        """Nothing more is put in; what is left may be taken until then (`time.monotonic`)."""
        with self._changed:
            self._until = until if self._until is None else self._until
            self._changed.notify_all()

    @property
    def ended(self) -> bool:
        """Whether nothing more will come out."""
        if self._until is None:
            return False
        return not self._items or time.monotonic() > self._until
