"""Readings thinned to means over stretches of session time; memory stays bounded."""

from collections import deque
from collections.abc import Iterable
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


@dataclass(slots=True)
class _Sum:
    index: int  # the stretch is [index·width, (index + 1)·width)
    time: float
    value: float
    count: int

    def mean(self) -> Mean:
        return Mean(self.time / self.count, self.value / self.count, self.count)


def _add(sums: deque[_Sum] | list[_Sum], index: int, time_s: float, value: float) -> bool:
    """Whether a stretch was begun. Times never run backwards; one that does joins the last."""
    if sums and sums[-1].index >= index:
        last = sums[-1]
        last.time += time_s
        last.value += value
        last.count += 1
        return False
    sums.append(_Sum(index, time_s, value, 1))
    return True


def _closed(sums: Iterable[_Sum], index: int) -> list[Mean]:
    return [s.mean() for s in sums if s.index < index]


class TrailingMeans:
    """The last `most` means over stretches of `width_s`; a hole in the readings costs none."""

    def __init__(self, width_s: int, most: int) -> None:
        self._width_ns = width_s * _NS
        self._sums: deque[_Sum] = deque(maxlen=most)

    def add(self, time_ns: int, value: float) -> None:
        _add(self._sums, time_ns // self._width_ns, time_ns / _NS, value)

    def all(self) -> list[Mean]:
        """Oldest first, with the stretch that is still open."""
        return [s.mean() for s in self._sums]

    def last(self, number: int) -> list[Mean]:
        """The newest `number` means, oldest first, with the stretch that is still open."""
        newest = islice(reversed(self._sums), number)
        return [s.mean() for s in newest][::-1]

    def closed(self, now_ns: int) -> list[Mean]:
        """Oldest first; only stretches that have ended by `now_ns`."""
        return _closed(self._sums, now_ns // self._width_ns)


class ThinnedMeans:
    """Means over all of the time; when there are more than `most`, stretches join in pairs."""

    def __init__(self, most: int) -> None:
        self._width_ns = _NS
        self._most = most
        self._sums: list[_Sum] = []

    def add(self, time_ns: int, value: float) -> None:
        new = _add(self._sums, time_ns // self._width_ns, time_ns / _NS, value)
        if new and len(self._sums) > self._most:
            self._width_ns *= 2
            pairs: list[_Sum] = []
            for s in self._sums:
                if pairs and pairs[-1].index == s.index // 2:
                    pairs[-1].time += s.time
                    pairs[-1].value += s.value
                    pairs[-1].count += s.count
                else:
                    pairs.append(_Sum(s.index // 2, s.time, s.value, s.count))
            self._sums = pairs

    def closed(self, now_ns: int) -> list[Mean]:
        """Oldest first; only stretches that have ended by `now_ns`."""
        return _closed(self._sums, now_ns // self._width_ns)
