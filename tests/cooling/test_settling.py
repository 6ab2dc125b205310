"""Holding still: told from 10-s means, with what noise and digits explain set apart."""

import math
import random

import pytest
from scipy.stats import studentized_range, t

from benchmeter.cooling import settled_value as settling
from benchmeter.cooling.means import Mean
from benchmeter.cooling.settled_value import drift, mean_estimate, trailing_stretch


def means(law, count: int = 13, sigma: float = 0.0, seed: int = 1) -> list[Mean]:
    chance = random.Random(seed)
    return [Mean(10 * i + 5, law(10 * i + 5) + chance.gauss(0, sigma), 10) for i in range(count)]


@pytest.mark.parametrize("count", [13, 61])
def test_the_range_of_normal_values(count: int) -> None:
    """Upper 5 % point of the studentized range; reference: scipy.stats."""
    expected = studentized_range.ppf(0.95, count, 1e6)
    assert pytest.approx(expected, abs=1e-3) == settling._RANGE_95[count]


def test_students_t() -> None:
    """Reference: scipy.stats."""
    expected = [t.ppf(0.975, n) for n in range(1, 21)]
    assert pytest.approx(expected, abs=6e-4) == list(settling._T_975)


def test_mean_and_interval() -> None:
    """JCGM 100:2008 4.4.3 (data from memory): 20 temperatures, mean 100.145, s = 1.489."""
    values = [96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07, 100.33, 100.42,
              100.68, 100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72]  # fmt: skip
    found = mean_estimate(values, 0.0)
    assert found.value == pytest.approx(100.145, abs=5e-4)
    # 0.33292 (computed) times Student's t of 19 degrees of freedom, 2.093 (any table)
    assert found.high - found.value == pytest.approx(0.33292 * 2.093, abs=2e-4)


def test_a_display_that_does_not_move_is_still_uncertain_by_its_digit() -> None:
    """d/sqrt(12) (JCGM 100:2008 F.2.2.1), U = 2u."""
    found = mean_estimate([300.0] * 13, 0.5)
    assert found.high - 300 == pytest.approx(2 * 0.288675 * 0.5, rel=1e-5)


@pytest.mark.parametrize(
    "change, flat", [(0.19, True), (0.21, False), (-0.19, True), (-0.21, False)]
)
def test_a_drift_across_the_window(change: float, flat: bool) -> None:
    stretch = trailing_stretch(
        means(lambda s: 300 + change * s / 120), 130, 120, since_s=0, resolution_k=0
    )
    assert stretch is not None
    assert stretch.change_k == pytest.approx(change)
    assert stretch.flat(0.2) is flat


def test_noise_alone_is_flat_and_a_swing_is_not() -> None:
    """95 % limits for the span, one deviation beside 0.2 K for the change: 50 seeded runs."""
    quiet = 0
    for seed in range(50):
        stretch = trailing_stretch(
            means(lambda s: 300, 61, 0.1, seed), 610, 120, since_s=0, resolution_k=0
        )
        assert stretch is not None
        quiet += stretch.flat(0.2)
    assert quiet >= 48
    swing = trailing_stretch(
        means(lambda s: 300 + math.sin(s / 15), 61), 610, 120, since_s=0, resolution_k=0
    )
    assert swing is not None and not swing.flat(0.2)


def test_a_window_that_readings_do_not_cover_says_nothing() -> None:
    whole = means(lambda s: 300)
    assert trailing_stretch(whole, 130, 120, since_s=0, resolution_k=0) is not None
    assert trailing_stretch(whole[:6] + whole[7:], 130, 120, since_s=0, resolution_k=0) is not None
    assert trailing_stretch(whole[1:], 130, 120, since_s=0, resolution_k=0) is None
    assert trailing_stretch(whole[:-1], 130, 120, since_s=0, resolution_k=0) is None
    assert trailing_stretch(whole[:3] + whole[7:], 130, 120, since_s=0, resolution_k=0) is None
    assert trailing_stretch(whole, 130, 120, since_s=1, resolution_k=0) is None


def test_drift_beyond_a_law() -> None:
    """A ramp of 0.6 K in 300 s moves 0.4 K between the middles of the outer thirds."""
    rows = means(lambda s: 300 + 0.6 * s / 300, 30)
    found = drift(rows, 300, 300, lambda s: 300)
    assert found is not None and found[0] == pytest.approx(0.4)
    along = drift(rows, 300, 300, lambda s: 0.6 * s / 300)
    assert along is not None and along[0] == pytest.approx(0, abs=1e-9)
    assert drift(rows[5:], 300, 300, lambda s: 300) is None
