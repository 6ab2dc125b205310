"""When a rise began: the limits that the module's text gives, each from both sides.

They are our own choice: common practice, no source.
"""

import pytest

from benchmeter.cooling.means import Mean
from benchmeter.cooling.start import Rise, find_rise, recent_median


def readings(*levels: float, period_s: float = 1.0) -> list[Mean]:
    return [Mean(i * period_s, level, 1) for i, level in enumerate(levels)]


def rise_of(means: list[Mean], outdoor_k: float | None = None, since_s: float = 0) -> Rise | None:
    return find_rise(means, means[-1].time_s, since_s=since_s, outdoor_k=outdoor_k)


def test_a_rise_is_more_than_1_5_kelvin_over_the_baseline_and_over_outdoor_air() -> None:
    assert rise_of(readings(*[300.0] * 30, *[301.5] * 15)) is None
    found = rise_of(readings(*[300.0] * 30, *[301.75] * 15))
    assert found is not None and (found.baseline_k, found.noise_k) == (300.0, 0.0)
    assert rise_of(readings(*[300.0] * 30, *[304.0] * 15), outdoor_k=302.5) is None
    assert rise_of(readings(*[300.0] * 30, *[304.0] * 15), outdoor_k=302.25) is not None


def test_a_rise_is_more_than_four_times_the_noise() -> None:
    """Steps of ±1 K: the noise is 1.4826/√2 of their median, four times that 4.19 K."""
    restless = [300.0, 301.0] * 15
    assert rise_of(readings(*restless, *[304.0] * 15)) is None
    assert rise_of(readings(*restless, *[305.0] * 15)) is not None


def test_the_baseline_of_slow_readings_is_the_lowest_median_of_three() -> None:
    levels = [300.0] * 3 + [295.0] * 3 + [300.0] * 3 + [305.0] * 3
    found = rise_of(readings(*levels, period_s=8))
    assert found is not None and found.baseline_k == 295.0


@pytest.mark.parametrize(("wait_s", "seen"), [(290, True), (310, False)])
def test_the_baseline_is_forgotten_after_five_minutes(wait_s: int, seen: bool) -> None:
    found = rise_of(readings(*[295.0] * 12, *[300.0] * (wait_s - 12), *[305.0] * 15))
    assert found is not None and (found.baseline_k == 295.0) is seen


def test_what_was_before_the_time_told_does_not_count() -> None:
    found = rise_of(readings(*[295.0] * 12, *[300.0] * 30, *[305.0] * 15), since_s=12)
    assert found is not None and found.baseline_k == 300.0


def test_the_last_three_readings_may_be_less_than_a_minute_old() -> None:
    three = readings(300.0, 301.0, 302.0, period_s=20)
    assert recent_median(three, 59.9) == 301.0
    assert recent_median(three, 60.0) is None
    assert recent_median(three[1:], 41.0) is None


def test_the_median_is_that_of_the_last_15_seconds() -> None:
    assert recent_median(readings(*[300.0] * 20, *range(15)), 34.0) == 7
