"""A recorded session as a source: the same inputs again, at a chosen pace."""

import threading
import time
from collections.abc import Iterable, Iterator, Sequence

from benchmeter.readings.inputs import Chunk, Input

__all__ = ["RecordedSource"]


class RecordedSource:
    """Yields recorded inputs in order, with the waits between them divided by the pace.

    All methods but `inputs` may be called from any thread.

    A session is a fold over its inputs, so there is no way back within one source. To go back,
    close this one, begin the fold anew with a new source of the same inputs, and `seek` forward.

    Args:
        inputs: in the order of their times.
        pace: times real time; None: as fast as the consumer takes them.
        length_ns: time of the last input; None: taken from `inputs` if it is a sequence, else 0.
    """

    def __init__(
        self,
        inputs: Iterable[Input],
        pace: float | None = 1.0,
        length_ns: int | None = None,
    ) -> None:
        if length_ns is None:
            length_ns = inputs[-1].time_ns if isinstance(inputs, Sequence) and inputs else 0
        self.length_ns = length_ns
        self._inputs = inputs
        self._pace = _checked(pace)
        self._changed = threading.Condition()
        self._started = False
        self._paused = False
        self._stepping = False
        self._closed = False
        # The head moves with the clock from here, and stands still while paused.
        self._head_ns = 0
        self._head_at_s = time.monotonic()
        self._due_ns = 0
        self._yielded_ns = 0

    def inputs(self) -> Iterator[Input]:
        """The stream, until its end or `close`. To be called once. Waits between the inputs."""
        with self._changed:
            self._started = True
            self._hold_head(self._head_ns)
        for item in self._inputs:
            if not self._wait_for(item):
                return
            yield item

    def close(self) -> None:
        """End the stream at once."""
        with self._changed:
            self._closed = True
            self._changed.notify_all()

    @property
    def position_ns(self) -> int:
        """Time within the session that is being shown now."""
        with self._changed:
            return min(self._head(), max(self.length_ns, self._yielded_ns))

    @property
    def pace(self) -> float | None:
        return self._pace

    @property
    def paused(self) -> bool:
        with self._changed:
            return self._paused

    def set_pace(self, pace: float | None) -> None:
        """1 is real time, 100 a hundred times as fast, None as fast as possible.

        Raises:
            ValueError: not above zero.
        """
        with self._changed:
            self._hold_head(self._head())
            self._pace = _checked(pace)
            self._changed.notify_all()

    def pause(self) -> None:
        with self._changed:
            self._hold_head(self._head())
            self._paused = True
            self._changed.notify_all()

    def resume(self) -> None:
        with self._changed:
            if self._paused:
                self._hold_head(self._head_ns)
            self._paused = self._stepping = False
            self._changed.notify_all()

    def step(self) -> None:
        """While paused: go on to the next chunk that carries received data, and stop after it."""
        with self._changed:
            self._stepping = self._paused
            self._changed.notify_all()

    def seek(self, time_ns: int) -> bool:
        """Go forward to that time: everything up to it comes without waiting, paused or not.

        Returns:
            False if something later has been yielded already: there is no way back, begin anew.
        """
        with self._changed:
            if time_ns < self._yielded_ns:
                return False
            self._due_ns = time_ns
            self._hold_head(time_ns)
            self._changed.notify_all()
            return True

    def _wait_for(self, item: Input) -> bool:
        """Wait until the input is due; False if the source was closed."""
        with self._changed:
            while not self._closed and not self._is_due(item):
                self._changed.wait(self._seconds_until(item))
            if self._closed:
                return False
            if self._stepping:
                self._hold_head(max(self._head_ns, item.time_ns))
                if isinstance(item, Chunk) and item.data and not item.sent:
                    self._stepping = False
            self._yielded_ns = item.time_ns
            return True

    def _is_due(self, item: Input) -> bool:
        if item.time_ns <= self._due_ns or self._stepping:
            return True
        if self._paused:
            return False
        return self._pace is None or item.time_ns <= self._head()

    def _seconds_until(self, item: Input) -> float | None:
        if self._paused or self._pace is None:
            return None
        return (item.time_ns - self._head()) / 1e9 / self._pace

    def _head(self) -> int:
        if self._paused or not self._started:
            return self._head_ns
        if self._pace is None:
            return max(self._head_ns, self._yielded_ns)
        return self._head_ns + round((time.monotonic() - self._head_at_s) * self._pace * 1e9)

    def _hold_head(self, time_ns: int) -> None:
        self._head_ns = time_ns
        self._head_at_s = time.monotonic()


def _checked(pace: float | None) -> float | None:
    if pace is not None and not 0 < pace < float("inf"):
        raise ValueError(f"pace {pace} is not above zero")
    return pace
