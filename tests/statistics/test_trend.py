"""The trend test against every order of the values, and against SciPy."""

import math
from itertools import permutations

import pytest
from scipy import stats

from benchmeter.statistics.trend import IN_TEN, IN_THOUSAND, line_through, student_975, trends

CREEPING = [1010.0, 1011.0, 1011.0, 1012.0, 1012.0]


@pytest.mark.parametrize(
    "values", [CREEPING, [3.0, 1.0, 4.0, 1.5, 9.0], [1.0, 1.0, 2.0, 2.0, 3.0, 2.0]]
)
def test_values_in_any_order_pass_for_a_trend_in_one_case_of_ten_at_most(
    values: list[float],
) -> None:
    """Without a trend every order is as likely as any other: so the share of them is the rate."""
    orders = list(permutations(values))
    told = sum(trends(order)[-1] > IN_TEN for order in orders)
    assert 0 < told / len(orders) <= 0.1


def test_the_limits_are_those_of_the_normal_distribution() -> None:
    assert pytest.approx(stats.norm.isf(0.05), abs=1e-3) == IN_TEN
    assert pytest.approx(stats.norm.isf(0.0005), abs=1e-3) == IN_THOUSAND


@pytest.mark.parametrize("values", [CREEPING, [5.0, 4.0, 4.5, 3.0, 2.0, 2.0, 1.0, 1.5]])
def test_it_is_the_test_of_mann_and_kendall(values: list[float]) -> None:
    """SciPy has no correction for continuity: S is an integer, so a step of one is taken off."""
    for n in range(3, len(values) + 1):
        last = values[-n:]
        told = stats.kendalltau(range(n), last, method="asymptotic")
        pairs = [(b > a) - (b < a) for i, a in enumerate(last) for b in last[i + 1 :]]
        plain = stats.norm.isf(told.pvalue / 2)
        expected = plain * (abs(sum(pairs)) - 1) / abs(sum(pairs))
        assert trends(values)[n - 1] == pytest.approx(expected, rel=1e-6)


def test_values_that_are_all_alike_have_no_trend() -> None:
    assert trends([4.2] * 7) == [0.0] * 7


def test_a_line_is_that_of_scipy() -> None:
    times, values = [0.0, 0.25, 0.5, 0.8, 1.0], [44.9, 44.91, 44.9, 44.93, 44.92]
    slope, error = line_through(times, values)
    told = stats.linregress(times, values)
    assert (slope, error) == pytest.approx((told.slope, told.stderr), rel=1e-9)
    assert line_through([0.0, 1.0, 2.0], [3.0, 3.0, 3.0]) == (0.0, 0.0)
    assert math.isclose(line_through([0.0, 1.0, 2.0], [1.0, 3.0, 5.0])[0], 2.0)


@pytest.mark.parametrize("freedom", [3, 4, 6, 10, 30, 1000])
def test_the_quantile_is_student_s(freedom: int) -> None:
    assert student_975(freedom) == pytest.approx(stats.t.ppf(0.975, freedom), rel=0.01)


def test_equal_values_make_the_spread_of_a_trend_smaller() -> None:
    """By hand (Gilbert 1987, 16.4): of 1 1 1 2 3, S = 7, Var(S) = (5·4·15 - 3·2·11)/18 = 13,
    Z = (7 - 1)/√13."""
    assert trends([1.0, 1.0, 1.0, 2.0, 3.0])[-1] == pytest.approx(6 / math.sqrt(13), abs=1e-12)
    # and of 1 1 1 1 2: S = 4, Var(S) = (300 - 4·3·13)/18 = 8
    assert trends([1.0, 1.0, 1.0, 1.0, 2.0])[-1] == pytest.approx(3 / math.sqrt(8), abs=1e-12)
