"""Means over stretches of time: nothing lost, nothing bridged, memory bounded."""

from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from benchmeter.cooling.means import ThinnedMeans, TrailingMeans

S = 1_000_000_000


def test_a_mean_is_over_what_is_there() -> None:
    means = TrailingMeans(10, 9)
    for t, v in ((1, 1.0), (2, 3.0), (35, 7.0)):
        means.add(t * S, v)
    assert [(m.time_s, m.value, m.count) for m in means.all()] == [(1.5, 2.0, 2), (35.0, 7.0, 1)]


def test_a_stretch_is_closed_when_its_time_is_over() -> None:
    means = TrailingMeans(10, 9)
    means.add(3 * S, 1.0)
    assert means.closed(9 * S) == []
    assert [m.value for m in means.closed(10 * S)] == [1.0]


def test_only_the_last_are_kept() -> None:
    means = TrailingMeans(1, 5)
    for t in range(100):
        means.add(t * S, float(t))
    assert [m.value for m in means.all()] == [94, 95, 96, 97, 98, 99]
    assert [m.value for m in means.last(2)] == [98, 99]
    assert TrailingMeans(1, 5).last(2) == []


@given(st.lists(st.tuples(st.floats(0, 5), st.floats(-50, 50)), max_size=300), st.integers(4, 40))
def test_thinning_loses_no_reading(steps: list[tuple[float, float]], most: int) -> None:
    means, t, total, times = ThinnedMeans(most), 0.0, 0.0, 0.0
    for wait, value in steps:
        t += wait
        means.add(round(t * S), value)
        total += value
        times += t
    kept = means.all()
    assert len(kept) <= most + 2
    assert sum(m.count for m in kept) == len(steps)
    assert sum(m.value * m.count for m in kept) == approx(total, abs=1e-6)
    assert sum(m.time_s * m.count for m in kept) == approx(times, rel=1e-9, abs=1e-6)
    assert [m.time_s for m in kept] == sorted(m.time_s for m in kept)


def test_thinned_stretches_are_equally_wide() -> None:
    means = ThinnedMeans(10)
    for t in range(100):
        means.add(t * S, 0.0)
    assert {m.count for m in means.all()[:-1]} == {16}
