"""Strokes made longer instead of wider cover what a wide pen covers; all follows from its shape."""

import numpy as np
import pytest

from benchmeter.window.plot.strokes import lengthened, widened


def cells(x, y, wide=0):
    """Pixels of strokes on whole pixels, each `wide` pixels wider at both sides."""
    return {
        (int(column) + beside, row)
        for column, low, high in zip(x[::2], y[::2], y[1::2], strict=True)
        for row in range(int(low), int(high) + 1)
        for beside in range(-wide, wide + 1)
    }


@pytest.mark.parametrize("seed", range(20))
def test_widened_strokes_cover_what_strokes_of_three_columns_cover(seed):
    random = np.random.default_rng(seed)
    at = np.flatnonzero(random.random(60) < random.uniform(0.2, 1.0)).astype(float)
    low = random.integers(0, 12, len(at))
    high = low + random.integers(0, 9, len(at))
    x, y = np.repeat(at, 2), np.column_stack((low, high)).ravel().astype(float)
    assert cells(*widened(x, y, 1.0)) == cells(x, y, wide=1)


def test_a_stroke_alone_and_none_at_all():
    x, y = widened(np.array([4.0, 4.0]), np.array([1.0, 3.0]), 1.0)
    assert cells(x, y) == {(c, r) for c in (3, 4, 5) for r in (1, 2, 3)}
    assert len(widened(np.empty(0), np.empty(0), 1.0)[0]) == 0


def test_longer_strokes_leave_the_others_as_they_were():
    y = np.array([1.0, 3.0, 7.0, 7.0])
    assert lengthened(y, 0.5).tolist() == [0.5, 3.5, 6.5, 7.5]
    assert y.tolist() == [1.0, 3.0, 7.0, 7.0]
