"""Readings thinned to means over stretches of session time; memory stays bounded."""

from collections import deque
from dataclasses import dataclass
from itertools import islice

__all__ = ["Mean", "ThinnedMeans", "TrailingMeans"]

_NS = 1_000_000_000


@dataclass(frozen=True, slots=True)
class Mean:
    """Mean time (seconds of the session), mean value and number of the readings of a stretch."""

    time_s: float
    value: float
    count: int


class _Open:
    """The stretch that still takes readings: [index·width, (index + 1)·width)."""

    __slots__ = ("count", "index", "time", "value")

    def __init__(self, index: int, time_s: float, value: float) -> None:
        self.index, self.time, self.value, self.count = index, time_s, value, 1

    def mean(self) -> Mean:
        return Mean(self.time / self.count, self.value / self.count, self.count)


class _Means:
    """Times never run backwards; a reading that does joins the open stretch."""

    def __init__(self, width_s: int, ended: deque[Mean]) -> None:
        self._width_s = width_s
        self._ended = ended
        self._open: _Open | None = None

    def add(self, time_ns: int, value: float) -> bool:
        """Take a reading in; whether it began a stretch."""
        index = time_ns // (self._width_s * _NS)
        last = self._open
        if last is not None and index <= last.index:
            last.time += time_ns / _NS
            last.value += value
            last.count += 1
            return False
        if last is not None:
            self._ended.append(last.mean())
        self._open = _Open(index, time_ns / _NS, value)
        return True

    def all(self) -> list[Mean]:
        """Oldest first, with the stretch that is still open."""
        return [*self._ended, *([] if self._open is None else [self._open.mean()])]

    def closed(self, now_ns: int) -> list[Mean]:
        """Oldest first; only stretches that have ended by `now_ns`."""
        last = self._open
        if last is None or last.index >= now_ns // (self._width_s * _NS):
            return list(self._ended)
        return [*self._ended, last.mean()]


class TrailingMeans(_Means):
    """The last `most` means over stretches of `width_s`; a hole in the readings costs none."""

    def __init__(self, width_s: int, most: int) -> None:
        super().__init__(width_s, deque(maxlen=most))

    def last(self, number: int) -> list[Mean]:
        """The newest `number` means, oldest first, with the stretch that is still open."""
        newest = [] if self._open is None else [self._open.mean()]
        newest += islice(reversed(self._ended), number - len(newest))
        return newest[::-1]


class ThinnedMeans(_Means):
    """Means over all of the time; when there are more than `most`, stretches join in pairs."""

    def __init__(self, most: int) -> None:
        super().__init__(1, deque())
        self._most = most

    def add(self, time_ns: int, value: float) -> bool:
        began = super().add(time_ns, value)
        if len(self._ended) > self._most and self._open is not None:
            self._width_s *= 2
            self._open.index //= 2
            joined: deque[Mean] = deque()
            place = -1
            for m in self._ended:
                its = int(m.time_s // self._width_s)
                joined.append(m if its != place else _joined(joined.pop(), m))
                place = its
            if place == self._open.index:  # the open stretch reaches back over the last one
                back = joined.pop()
                self._open.time += back.time_s * back.count
                self._open.value += back.value * back.count
                self._open.count += back.count
            self._ended = joined
        return began


def _joined(a: Mean, b: Mean) -> Mean:
    count = a.count + b.count
    return Mean(
        (a.time_s * a.count + b.time_s * b.count) / count,
        (a.value * a.count + b.value * b.count) / count,
        count,
    )
