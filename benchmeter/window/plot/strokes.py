"""Upright strokes side by side, made longer instead of wider: less to paint, the same picture."""

import numpy as np
from numpy.typing import NDArray

__all__ = ["lengthened", "widened"]

Floats = NDArray[np.float64]


def lengthened(y: Floats, by: float) -> Floats:
    """The ends of strokes, shape (2n,) as of `widened`, moved apart."""
    longer = y.copy()
    longer[::2] -= by
    longer[1::2] += by
    return longer


def widened(x: Floats, y: Floats, step: float) -> tuple[Floats, Floats]:
    """What strokes cover when each is one column wider at both sides.

    Args:
        x, y: shapes (2n,): lower and upper end of each stroke, from left to right.
        step: from one column to the next.
    """
    at, low, high = x[::2], y[::2], y[1::2]
    # A neighbour that it touches makes it longer; elsewhere it comes once more beside itself.
    touching = (np.diff(at) < 1.5 * step) & (low[1:] <= high[:-1]) & (low[:-1] <= high[1:])
    least, most = low.copy(), high.copy()
    for here, beside in ((slice(1, None), slice(-1)), (slice(-1), slice(1, None))):
        np.minimum(least[here], low[beside], out=least[here], where=touching)
        np.maximum(most[here], high[beside], out=most[here], where=touching)
    left, right = np.ones(len(at), bool), np.ones(len(at), bool)
    left[1:] = right[:-1] = ~touching
    all_at = np.concatenate((at, at[left] - step, at[right] + step))
    all_low = np.concatenate((least, low[left], low[right]))
    all_high = np.concatenate((most, high[left], high[right]))
    return np.repeat(all_at, 2), np.column_stack((all_low, all_high)).ravel()
