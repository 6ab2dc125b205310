"""The reduction of a record to a picture. Checked against brute force over all samples."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchmeter.window.plot.history import ChannelHistory

pytestmark = pytest.mark.gui


def brute_force(times, values, t0, t1, columns):
    """Minimum and maximum of each filled column, by a plain loop."""
    step = (t1 - t0) / columns
    first = int(np.floor(t0 / step + 1e-9))
    found = {}
    for column in range(columns + 1):
        left, right = (first + column) * step, (first + column + 1) * step
        inside = values[(times >= left) & (times < right)]
        inside = inside[~np.isnan(inside)]
        if len(inside):
            found[first + column] = (inside.min(), inside.max())
    return step, found


def drawn(x, y, step):
    found = {}
    for place, value in zip(x, y, strict=True):
        if np.isnan(value):
            continue
        column = int(np.floor(place / step))
        low, high = found.get(column, (value, value))
        found[column] = (min(low, value), max(high, value))
    return found


@settings(max_examples=60, deadline=None)
@given(
    seed=st.integers(0, 2**32 - 1),
    count=st.integers(300, 12_000),
    columns=st.integers(1, 140),
    gaps=st.floats(0, 0.4),
    view=st.tuples(st.floats(0, 0.9), st.floats(0.02, 1)),
)
def test_each_pixel_column_shows_exactly_its_minimum_and_maximum(seed, count, columns, gaps, view):
    random = np.random.default_rng(seed)
    times = np.cumsum(random.exponential(0.25, count))
    values = random.normal(300, 5, count)
    values[random.random(count) < gaps] = np.nan
    history = ChannelHistory()
    for part in np.array_split(np.arange(count), 7):
        history.add(times[part], values[part])
    t0 = times[-1] * view[0]
    t1 = t0 + max(times[-1] * view[1], 1.0)

    x, y = history.query(t0, t1, columns)

    if np.count_nonzero((times >= t0) & (times < t1)) > 2 * columns:
        step, expected = brute_force(times, values, t0, t1, columns)
        assert drawn(x, y, step) == expected
    else:
        inside = (times >= t0) & (times < t1)
        assert set(times[inside]) <= set(x)


def test_what_is_kept_from_the_frame_before_equals_a_fresh_answer():
    random = np.random.default_rng(7)
    times = np.arange(20_000) * 0.1
    values = random.normal(0, 1, len(times))
    values[random.random(len(times)) < 0.05] = np.nan
    grown = ChannelHistory()
    for end in range(500, len(times) + 1, 500):
        grown.add(times[end - 500 : end], values[end - 500 : end])
        fresh = ChannelHistory()
        fresh.add(times[:end], values[:end])
        for one, other in zip(grown.query(0, 2000, 100), fresh.query(0, 2000, 100), strict=True):
            np.testing.assert_array_equal(one, other)


def test_a_spike_of_one_sample_stays_visible_in_a_whole_day():
    times = np.arange(0, 86_400, 0.1)
    values = np.full(len(times), 300.0)
    values[500_001] = 350.0
    history = ChannelHistory()
    history.add(times, values)

    _, y = history.query(0, 86_400, 1200)

    assert y.max() == 350.0
    assert np.count_nonzero(y == 350.0) == 1
    assert len(y) <= 2 * 1201


def test_the_picture_stands_still_when_the_view_moves_by_whole_columns():
    random = np.random.default_rng(3)
    times = np.arange(50_000) * 0.1
    history = ChannelHistory()
    history.add(times, random.normal(0, 1, len(times)))
    step = 2000 / 500

    x1, y1 = history.query(1000, 3000, 500)
    x2, y2 = history.query(1000 + 50 * step, 3000 + 50 * step, 500)

    first = {(round(x, 6), y) for x, y in zip(x1, y1, strict=True) if 1200 < x < 2996}
    second = {(round(x, 6), y) for x, y in zip(x2, y2, strict=True) if 1200 < x < 2996}
    assert first == second


def test_a_gap_breaks_the_line_few_samples():
    history = ChannelHistory()
    history.add(np.array([0.0, 1.0]), np.array([1.0, 2.0]))
    history.add_gap(1.5)
    history.add(np.array([9.0, 10.0]), np.array([3.0, 4.0]))

    x, y = history.query(0, 10, 100)

    np.testing.assert_array_equal(x, [0, 1, 1.5, 9, 10])
    np.testing.assert_array_equal(y, [1, 2, np.nan, 3, 4])


def test_a_gap_breaks_the_line_many_samples():
    times = np.concatenate((np.arange(0, 100, 0.01), np.arange(200, 300, 0.01)))
    history = ChannelHistory()
    history.add(times, np.ones(len(times)))
    history.add_gap(100.0)

    x, y = history.query(0, 300, 300)

    broken = x[np.isnan(y)]
    assert len(broken) == 1
    assert 99 <= broken[0] <= 101
    assert not np.any((x > 102) & (x < 198))


def test_a_gap_that_is_told_late_is_put_where_it_belongs():
    """The end of a gap is known only when the next reading has come."""
    history = ChannelHistory()
    history.add(np.arange(1000.0), np.ones(1000))
    history.query(0, 1000, 100)
    history.add_gap(499.5)

    x, y = history.query(450, 550, 100)

    assert x[np.isnan(y)] == [499.5]
    assert len(history) == 1001
    _, dense = history.query(0, 1000, 100)
    assert not np.any(dense[~np.isnan(dense)] != 1)


def test_nothing_but_gaps_draws_nothing():
    history = ChannelHistory()
    assert history.query(0, 10, 10)[0].size == 0
    history.add(np.arange(5000.0), np.full(5000, np.nan))
    _, y = history.query(0, 5000, 100)
    assert np.isnan(y).all()
    assert history.extremes(0, 5000) is None


def test_memory_stays_below_1_15_of_two_doubles_a_sample():
    history = ChannelHistory()
    for start in range(0, 1_000_000, 4_000):
        history.add(np.arange(start, start + 4_000.0), np.ones(4_000))
        if start == 500_000:
            assert history.nbytes <= 1.15 * 16 * len(history)
    assert history.nbytes <= 1.15 * 16 * len(history)


@settings(max_examples=40, deadline=None)
@given(seed=st.integers(0, 2**32 - 1), gaps=st.floats(0, 0.2))
def test_strokes_cover_each_column_and_touch_where_the_line_goes_on(seed, gaps):
    random = np.random.default_rng(seed)
    times = np.cumsum(random.exponential(0.25, 4000))
    values = np.cumsum(random.normal(0, 1, 4000))
    for start in random.integers(0, 4000, int(gaps * 40)):
        values[start : start + random.integers(1, 200)] = np.nan
    history = ChannelHistory()
    history.add(times, values)
    t1 = float(times[-1])
    dense = history.spans(0, t1, 100)
    step, expected = brute_force(times, values, 0, t1, 100)

    x, y = dense.strokes()

    low = dict(zip(np.floor(x[::2] / step).astype(int), y[::2], strict=True))
    high = dict(zip(np.floor(x[::2] / step).astype(int), y[1::2], strict=True))
    assert low.keys() == expected.keys()
    places = sorted(low)
    for before, column in zip([None, *places], places, strict=False):
        least, greatest = expected[column]
        assert low[column] <= least and high[column] >= greatest
        if before is None:
            continue
        seen = (times >= before * step) & (times < (column + 1) * step)
        inside = values[seen]
        border = np.count_nonzero(times[seen] < column * step)
        # Broken on either side of the border, or in columns without a value between them.
        broken = np.isnan(inside[border]) or np.isnan(inside[border - 1])
        if broken:
            assert (low[column], high[column]) == (least, greatest)
        else:
            assert low[column] <= high[before] and high[column] >= low[before]
