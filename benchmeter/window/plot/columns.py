"""The pixel columns of a view: what is drawn where there are many samples."""

import numpy as np
from numpy.typing import NDArray

__all__ = ["PixelColumns"]

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]


class PixelColumns:
    """The pixel columns of one view, kept from frame to frame."""

    def __init__(self, step: float, first: int, count: int) -> None:
        self.step, self.first = step, first
        self.starts = np.zeros(count, dtype=np.int64)
        self.ends = np.zeros(count, dtype=np.int64)
        self.low, self.high = np.full(count, np.nan), np.full(count, np.nan)
        self.opens_broken = np.zeros(count, dtype=bool)
        self.ends_broken = np.zeros(count, dtype=bool)

    def edges(self, begin: int, times: Floats) -> None:
        """Find which samples lie in each column from `begin` on."""
        borders = (self.first + np.arange(begin, len(self.low) + 1)) * self.step
        found = np.searchsorted(times, borders, side="left")
        self.starts[begin:], self.ends[begin:] = found[:-1], found[1:]

    def points(self) -> tuple[Floats, Floats]:
        """x and y: break, minimum, maximum, break of each column, as far as there are any."""
        count = len(self.low)
        filled = self.ends > self.starts
        valid = filled & ~np.isnan(self.low)
        middles = (self.first + np.arange(count) + 0.5) * self.step
        y = np.empty((count, 4))
        y[:, 0] = y[:, 3] = np.nan
        y[:, 1], y[:, 2] = self.low, self.high
        wanted = np.empty((count, 4), dtype=bool)
        wanted[:, 0] = self.opens_broken
        wanted[:, 1] = wanted[:, 2] = valid
        wanted[:, 3] = self.ends_broken & valid
        return np.repeat(middles, 4).reshape(count, 4)[wanted], y[wanted]

    def strokes(self) -> tuple[Floats, Floats]:
        """x and y of upright strokes, two points each, one a column.

        A stroke reaches to the one before it where the line is not broken between them: upright
        strokes are drawn several times as fast as the slanting lines of `points`.
        """
        valid = np.flatnonzero((self.ends > self.starts) & ~np.isnan(self.low))
        low, high = self.low[valid], self.high[valid]
        breaks = np.cumsum(self.ends_broken)  # breaks up to the end of each column
        broken = self.opens_broken[valid][1:] | (breaks[valid[1:] - 1] > _before(breaks, valid))
        joined = ~broken
        reach_low, reach_high = low.copy(), high.copy()
        reach_low[1:][joined] = np.fmin(low[1:], high[:-1])[joined]
        reach_high[1:][joined] = np.fmax(high[1:], low[:-1])[joined]
        x = (self.first + valid + 0.5) * self.step
        return np.repeat(x, 2), np.column_stack((reach_low, reach_high)).ravel()


def _before(counts: Indices, valid: Indices) -> Indices:
    """The running count just before each valid column but the last."""
    return np.where(valid[:-1] > 0, counts[np.maximum(valid[:-1] - 1, 0)], 0)
