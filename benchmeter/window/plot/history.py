"""What a curve is drawn from: every sample of a channel, and a pyramid of minima and maxima.

A view is answered with about two points a pixel column, whatever the length of the record. The
columns are anchored in time, so that a curve does not shimmer while the view moves along.
"""

import numpy as np
from numpy.typing import NDArray

from benchmeter.window.plot.columns import PixelColumns

__all__ = ["ChannelHistory"]

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]

_BUCKET = 64  # samples or buckets that make one bucket of the next level


class _Growing:
    """An array that grows at its end by a sixteenth, so that little memory lies idle."""

    def __init__(self) -> None:
        self._held: Floats = np.empty(_BUCKET)
        self.count = 0

    @property
    def all(self) -> Floats:
        """A view; not to be kept, the next growth moves the array."""
        return self._held[: self.count]

    def extend(self, more: Floats) -> None:
        count = self.count + len(more)
        if count > len(self._held):
            self._held.resize(count + count // 16 + _BUCKET, refcheck=False)
        self._held[self.count : count] = more
        self.count = count

    def cut(self, count: int) -> None:
        self.count = min(self.count, count)

    @property
    def nbytes(self) -> int:
        return self._held.nbytes


class _Level:
    """Minima and maxima of the whole buckets of the level below; NaN where nothing is valid."""

    def __init__(self) -> None:
        self.low, self.high = _Growing(), _Growing()

    def renew(self, low: Floats, high: Floats) -> None:
        """Add the buckets that have become whole."""
        start, whole = self.low.count, len(low) // _BUCKET
        if whole > start:
            span = slice(start * _BUCKET, whole * _BUCKET)
            self.low.extend(np.fmin.reduce(low[span].reshape(-1, _BUCKET), axis=1))
            self.high.extend(np.fmax.reduce(high[span].reshape(-1, _BUCKET), axis=1))

    def cut(self, count: int) -> None:
        self.low.cut(count)
        self.high.cut(count)


class ChannelHistory:
    """All samples of one channel, in order of time; NaN is a gap."""

    def __init__(self) -> None:
        self._times, self._values = _Growing(), _Growing()
        self._levels: list[_Level] = []
        self._changed_from = 0  # index of the first sample that the kept columns do not know
        self._kept: PixelColumns | None = None

    def __len__(self) -> int:
        return self._times.count

    @property
    def nbytes(self) -> int:
        """Memory held."""
        levels = sum(level.low.nbytes + level.high.nbytes for level in self._levels)
        return self._times.nbytes + self._values.nbytes + levels

    @property
    def span(self) -> tuple[float, float] | None:
        """First and last time; None while there is no sample."""
        times = self._times.all
        return (float(times[0]), float(times[-1])) if len(times) else None

    def add(self, times: Floats, values: Floats) -> None:
        """Take samples in; late ones are put where they belong.

        Args:
            times: seconds, ascending, shape (n,).
            values: shape (n,); NaN is a gap.
        """
        if len(times) != len(values):
            raise ValueError(f"{len(times)} times with {len(values)} values")
        if not len(times):
            return
        held = self._times.all
        if len(held) and times[0] < held[-1]:
            at = int(np.searchsorted(held, times[0], side="right"))
            times = np.concatenate((held[at:], times))
            values = np.concatenate((self._values.all[at:], values))
            order = np.argsort(times, kind="stable")
            times, values = times[order], values[order]
            self._cut(at)
        self._times.extend(times)
        self._values.extend(values)
        self._renew_levels()

    def add_gap(self, from_s: float) -> None:
        """Break the line after the samples up to `from_s`."""
        self.add(np.array([from_s]), np.array([np.nan]))

    def _cut(self, count: int) -> None:
        self._times.cut(count)
        self._values.cut(count)
        size = _BUCKET
        for level in self._levels:
            level.cut(count // size)
            size *= _BUCKET
        self._changed_from = min(self._changed_from, count)

    def _renew_levels(self) -> None:
        low = high = self._values.all
        for level in self._levels:
            level.renew(low, high)
            low, high = level.low.all, level.high.all
        while len(low) >= _BUCKET:
            level = _Level()
            level.renew(low, high)
            self._levels.append(level)
            low, high = level.low.all, level.high.all

    # --- reading -------------------------------------------------------------------------------

    def last_valid(self) -> float | None:
        """The last value; None if the line is broken at its end."""
        values = self._values.all
        return float(values[-1]) if len(values) and not np.isnan(values[-1]) else None

    def nearest(self, times: Floats, within: float) -> tuple[Floats, Floats]:
        """Time and value of the sample next to each time; NaN if none lies `within` seconds."""
        held = self._times.all
        if not len(held):
            return np.full(len(times), np.nan), np.full(len(times), np.nan)
        right = np.clip(np.searchsorted(held, times), 0, len(held) - 1)
        left = np.maximum(right - 1, 0)
        at = np.where(np.abs(held[left] - times) <= np.abs(held[right] - times), left, right)
        there = np.abs(held[at] - times) <= within
        return np.where(there, held[at], np.nan), np.where(there, self._values.all[at], np.nan)

    def extremes(self, t0: float, t1: float) -> tuple[float, float] | None:
        """Least and greatest value from t0 to t1; None if there is none."""
        start, end = np.searchsorted(self._times.all, (t0, t1), side="left")
        low, high = self._extremes(np.array([start]), np.array([end]))
        return None if np.isnan(low[0]) else (float(low[0]), float(high[0]))

    def query(self, t0: float, t1: float, columns: int) -> tuple[Floats, Floats]:
        """Points that draw the stretch from t0 to t1 on `columns` pixel columns.

        Few samples come as they are, with one more at either side. Many come as minimum and
        maximum of each column; a column is `(t1 - t0) / columns` wide and begins at a multiple of
        that. NaN stands where the line breaks.
        """
        dense = self.spans(t0, t1, columns)
        if dense is not None:
            return dense.points()
        if not t1 > t0:
            return np.empty(0), np.empty(0)
        times = self._times.all
        start, end = (int(i) for i in np.searchsorted(times, (t0, t1), side="left"))
        some = slice(max(start - 1, 0), end + 1)
        return times[some].copy(), self._values.all[some].copy()

    def spans(self, t0: float, t1: float, columns: int) -> PixelColumns | None:
        """The pixel columns, where there are many samples; None where there are few."""
        columns = max(columns, 1)
        if not t1 > t0:
            return None
        start, end = (int(i) for i in np.searchsorted(self._times.all, (t0, t1), side="left"))
        if end - start <= 2 * columns:
            return None
        step = (t1 - t0) / columns
        first = int(np.floor(t0 / step + 1e-9))
        return self._columns(step, first, columns + 1)

    def _columns(self, step: float, first: int, count: int) -> PixelColumns:
        """The columns; those that nothing was added to are taken from the last time."""
        kept = self._kept
        asked = (step, first, count)
        if kept is None or (kept.step, kept.first, len(kept.low)) != asked:
            kept = self._kept = PixelColumns(step, first, count)
            begin = 0
        elif self._changed_from == len(self):
            return kept
        else:
            times = self._times.all
            changed = times[min(max(self._changed_from - 1, 0), len(times) - 1)]
            begin = int(np.clip(np.floor(changed / step) - first - 1, 0, count))
        self._changed_from = len(self)
        kept.edges(begin, self._times.all)
        fresh = slice(begin, None)
        starts, ends = kept.starts[fresh], kept.ends[fresh]
        kept.low[fresh], kept.high[fresh] = self._extremes(starts, ends)
        values = self._values.all
        filled = ends > starts
        at = len(values) - 1
        kept.opens_broken[fresh] = filled & np.isnan(values[np.minimum(starts, at)])
        kept.ends_broken[fresh] = filled & np.isnan(values[np.minimum(np.maximum(ends - 1, 0), at)])
        return kept

    def _extremes(self, starts: Indices, ends: Indices) -> tuple[Floats, Floats]:
        """Minimum and maximum of the samples [start, end) of each range, exact."""
        low, high = np.full(len(starts), np.nan), np.full(len(starts), np.nan)
        rows = np.arange(len(starts))
        below = self._values.all
        arrays = (below, below)
        for depth in range(len(self._levels) + 1):
            inner_starts, inner_ends = -(-starts // _BUCKET), ends // _BUCKET
            deep = inner_ends > inner_starts
            if depth == len(self._levels):
                deep[:] = False
            for these, first, last in (
                (~deep, starts, ends),
                (deep, starts, inner_starts * _BUCKET),
                (deep, inner_ends * _BUCKET, ends),
            ):
                some = these & (last > first)
                _fold(arrays, first[some], last[some], rows[some], low, high)
            if not deep.any():
                break
            starts, ends, rows = inner_starts[deep], inner_ends[deep], rows[deep]
            level = self._levels[depth]
            arrays = (level.low.all, level.high.all)
        return low, high


def _fold(
    arrays: tuple[Floats, Floats],
    starts: Indices,
    ends: Indices,
    rows: Indices,
    low: Floats,
    high: Floats,
) -> None:
    """Fold ranges, none empty, of an array of minima and one of maxima into low and high."""
    if not len(starts):
        return
    lengths = ends - starts
    offsets = np.concatenate(([0], np.cumsum(lengths)[:-1]))
    places = np.repeat(starts - offsets, lengths) + np.arange(int(lengths.sum()))
    lows = arrays[0].take(places)
    highs = lows if arrays[1] is arrays[0] else arrays[1].take(places)
    least = np.fmin.reduceat(lows, offsets)
    greatest = np.fmax.reduceat(highs, offsets)
    low[rows] = np.fmin(low[rows], least)
    high[rows] = np.fmax(high[rows], greatest)
