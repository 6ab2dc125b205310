"""Forecasts against closed forms."""

import math
import random

import pytest

from benchmeter.cooling.forecast import final_value, remaining, time_when_settled, value_at
from benchmeter.cooling.step_fit import FittedStep, solve_step


def fitted(sigma: float, seed: int = 1, until: int = 400) -> FittedStep:
    """T0 = 24, Tinf = 13, tau = 180 s."""
    chance = random.Random(seed)
    times = [float(t) for t in range(until)]
    step = solve_step(times, [13 + 11 * math.exp(-t / 180) + chance.gauss(0, sigma) for t in times])
    assert isinstance(step, FittedStep)
    return step


# Cool-down example, computed to 4 digits.
@pytest.mark.parametrize("time, value", [(0, 24.0), (60, 20.8818), (180, 17.0467), (600, 13.3924)])
def test_values_of_the_closed_form(time: float, value: float) -> None:
    step = fitted(0)
    assert value_at(step, time) == pytest.approx(value, abs=5e-5)
    left = remaining(step, time)
    assert left.value == pytest.approx(13 - value, abs=5e-5)
    assert left.low <= left.value <= left.high


# First time true on that curve (computed): span over trailing 60 s below 0.2 K at 554.4 s,
# 120 s below 0.2 K at 711.7 s, 300 s below 0.5 K at 818.7 s.
@pytest.mark.parametrize(
    "window, span, time", [(60, 0.2, 554.4), (120, 0.2, 711.7), (300, 0.5, 818.7)]
)
def test_settle_times_of_the_closed_form(window: float, span: float, time: float) -> None:
    found = time_when_settled(fitted(0), span=span, window_s=window, remains=5.0)
    assert found is not None
    assert found.value == pytest.approx(time, abs=0.05)


def test_the_later_of_both_conditions_counts() -> None:
    """11 K fall below 0.1 K after 180·ln 110 = 846.1 s (computed)."""
    found = time_when_settled(fitted(0), span=0.2, window_s=120, remains=0.1)
    assert found is not None and found.value == pytest.approx(846.1, abs=0.05)


def test_the_doubt_of_the_law_is_a_fifth_of_the_way_to_go() -> None:
    final = final_value(fitted(0), 180)
    assert (final.high - final.low) / 2 == pytest.approx(0.2 * 11 * math.exp(-1), rel=1e-6)


def test_noise_widens_each_interval() -> None:
    quiet, loud = fitted(0.01, until=300), fitted(0.3, until=300)
    for law in (lambda s: remaining(s, 900), lambda s: final_value(s, 900)):
        assert law(loud).high - law(loud).low > law(quiet).high - law(quiet).low
