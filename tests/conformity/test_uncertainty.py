"""Uncertainty of a reading and conformance probability against published values."""

import math
from decimal import Decimal

import numpy as np
import pytest
from scipy import stats

from benchmeter.conformity.accuracy import parse_accuracy
from benchmeter.conformity.uncertainty import (
    COVERAGE_FACTOR,
    beyond_the_line,
    conformance_probability,
    expanded_uncertainty,
    half_width,
    mean_deviation,
    offset_uncertainty,
    standard_uncertainty,
    students_factor,
)


@pytest.mark.parametrize(
    ("y", "line", "resolution", "a", "u"),
    [
        ("44.1", "1.2 % + 2 counts", "0.1", 0.7292, 0.42100),
        ("44.10", "1.9 % + 2 counts", "0.01", 0.8579, 0.49531),
        ("42.6", "1.0 % + 3 counts", "0.1", 0.726, 0.41916),
        ("4.85", "1.9 % + 4 counts", "0.01", 0.13215, 0.07630),
    ],
)
def test_percent_of_reading_plus_counts(y, line, resolution, a, u):
    """a = |y|·p/100 + n·d, u = a/√3 (CALC; JCGM 100 cl. 4.3.7)."""
    found = half_width(Decimal(y), parse_accuracy(line), Decimal(resolution))
    assert found == pytest.approx(a, rel=1e-9)
    assert standard_uncertainty(found, 0.0) == pytest.approx(u, abs=1e-5)
    negative = half_width(-Decimal(y), parse_accuracy(line), Decimal(resolution))
    assert negative == found


def test_the_voltmeter_of_the_guide():
    """JCGM 100 cl. 4.3.7 and 5.1.5 (from memory): 14e-6 of reading + 2 µV; type A 12 µV."""
    accuracy = parse_accuracy("0.0014 % + 2 counts")
    a = half_width(Decimal("0.928571"), accuracy, Decimal("1e-6"))
    assert a == pytest.approx(15e-6, rel=1e-3)
    assert standard_uncertainty(a, 0.0) == pytest.approx(8.660e-6, rel=1e-3)
    assert standard_uncertainty(a, 12e-6) == pytest.approx(14.799e-6, rel=1e-3)


def test_a_rectangular_error_of_the_guide():
    """JCGM 100 cl. 4.3.7 (from memory): expansion 16.52e-6 ± 0.40e-6 gives u = 0.23e-6."""
    assert standard_uncertainty(0.40e-6, 0.0) == pytest.approx(0.2309e-6, rel=1e-3)


def test_repeated_readings_of_the_guide():
    """JCGM 100 cl. 4.4.3 (data from memory): s = 1.489, s/√20 = 0.333."""
    readings = [
        96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07,
        100.33, 100.42, 100.68, 100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72,
    ]  # fmt: skip
    assert mean_deviation([Decimal(str(r)) for r in readings]) == pytest.approx(0.33292, abs=1e-5)


def test_one_reading_has_no_spread():
    assert mean_deviation([]) == 0.0
    assert mean_deviation([Decimal("44.1")]) == 0.0
    assert mean_deviation([Decimal("44.1")] * 5) == pytest.approx(0.0, abs=1e-15)


def test_counts_without_worth_are_never_worth_nothing():
    accuracy = parse_accuracy("1.2 % + 2 counts")
    assert half_width(Decimal("44.1"), accuracy, None) is None
    assert half_width(Decimal("44.1"), accuracy, Decimal(0)) is None
    assert half_width(Decimal("50"), parse_accuracy("2 %"), None) == pytest.approx(1.0)


def test_a_written_worth_goes_before_the_display():
    accuracy = parse_accuracy("1 % + 2 x 0.1 µF")
    assert half_width(Decimal("10e-6"), accuracy, Decimal("1e-8")) == pytest.approx(0.3e-6)


@pytest.mark.parametrize(
    ("y", "probability"),
    [
        (42.0, 0.226627),
        (42.3, 0.5),
        (42.5, 0.691462),
        (43.0, 0.959941),
        (43.1, 0.977250),
        (48.1, 0.158655),
    ],
)
def test_conformance_probability_of_45_uf(y, probability):
    """JCGM 106 cl. 7 (CALC): 42.3 to 47.7, u = 0.40."""
    assert conformance_probability(y, 0.40, 42.3, 47.7) == pytest.approx(probability, abs=1e-6)


def test_conformance_probability_in_the_middle():
    """CALC: 1 - 1.48e-11."""
    assert conformance_probability(45.0, 0.40, 42.3, 47.7) == pytest.approx(1 - 1.48e-11, abs=1e-12)


def test_the_zener_diode_of_the_guide():
    """JCGM 106 cl. 7 example (from memory): one-sided, z = 1.4, printed 0.92."""
    assert conformance_probability(-5.47, 0.05, -math.inf, -5.40) == pytest.approx(
        0.919243, abs=1e-6
    )


@pytest.mark.parametrize("y", [0.0, 30.0, 41.0, 42.3, 45.0, 47.7, 60.0, 100.0])
@pytest.mark.parametrize("u", [0.01, 0.4, 5.0, 100.0])
def test_conformance_probability_against_the_reference_library(y, u):
    """Source: scipy.stats.norm."""
    normal = stats.norm(y, u)
    tails = normal.cdf(42.3) + normal.sf(47.7)
    expected = 1 - tails if 42.3 <= y <= 47.7 else abs(normal.sf(42.3) - normal.sf(47.7))
    assert conformance_probability(y, u, 42.3, 47.7) == pytest.approx(expected, rel=1e-9, abs=1e-15)


def test_without_uncertainty_it_is_yes_or_no():
    assert conformance_probability(45.0, 0.0, 42.3, 47.7) == 1.0
    assert conformance_probability(42.0, 0.0, 42.3, 47.7) == 0.0


@pytest.mark.parametrize(("count", "t"), [(2, 13.97), (3, 4.53), (4, 3.31), (5, 2.87), (11, 2.28)])
def test_students_factor_of_few_readings(count: int, t: float) -> None:
    """JCGM 100 Table G.2, 95.45 %."""
    assert students_factor(count) == pytest.approx(t, abs=0.005)
    assert students_factor(1) == COVERAGE_FACTOR


@pytest.mark.parametrize("count", [1, 2, 3, 5])
@pytest.mark.parametrize("scatter", [0.1, 0.5, 1.0, 2.0, 10.0])
def test_at_least_95_percent_are_covered(count: int, scatter: float) -> None:
    """Errors even within ±a (JCGM 100, 4.3.7), readings that scatter normally; 4,000 draws, of
    which 3,800 less five standard deviations of a binomial count may not be missed."""
    draws = np.random.default_rng(20_261_201)
    number, a = 4_000, math.sqrt(3)
    error = draws.uniform(-a, a, number)
    readings = draws.normal(0.0, scatter * math.sqrt(count), (number, count)) if count > 1 else 0
    mean = readings.mean(axis=1) if count > 1 else np.zeros(number)
    held = 0
    for one in range(number):
        shown = [Decimal(repr(float(r))) for r in readings[one]] if count > 1 else [Decimal(0)]
        u_scatter = mean_deviation(shown)
        u = standard_uncertainty(a, u_scatter)
        held += abs(error[one] + mean[one]) <= expanded_uncertainty(u, u_scatter, count)
    assert held >= 0.95 * number - 5 * math.sqrt(0.95 * 0.05 * number)


def test_the_resolution_counts_where_the_line_counts_no_digits() -> None:
    """d/√12 (JCGM 100 F.2.2.1); offset of the leads in quadrature (5.1.2)."""
    share, counted = parse_accuracy("2 %"), parse_accuracy("2 % + 1 count")
    digit = Decimal("1E-7")
    assert beyond_the_line(share, digit, 0.0) == pytest.approx(1e-7 / math.sqrt(12))
    assert beyond_the_line(counted, digit, 0.0) == 0.0
    assert beyond_the_line(counted, digit, 3e-8) == 3e-8
    assert beyond_the_line(share, None, 0.0) == 0.0


def test_the_offset_of_the_leads_is_as_uncertain_as_its_display_and_scatter() -> None:
    """By hand: d/√12 = 0.0289, s/√n = 0.1/√2/√2 = 0.05 of 0.2 and 0.3 at 0.1."""
    shown = [Decimal("0.2"), Decimal("0.3")]
    assert offset_uncertainty(shown, Decimal("0.1")) == pytest.approx(
        math.hypot(0.028868, 0.05), 1e-4
    )
