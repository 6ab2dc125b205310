"""Measurement uncertainty of a reading (JCGM 100:2008), conformance probability (JCGM 106:2012)."""

import math
from collections.abc import Sequence
from decimal import Decimal

from benchmeter.conformity.verdict import Accuracy

__all__ = [
    "COVERAGE_FACTOR",
    "beyond_the_line",
    "conformance_probability",
    "counts_si",
    "expanded_uncertainty",
    "half_width",
    "mean_deviation",
    "offset_uncertainty",
    "resolution_uncertainty",
    "standard_uncertainty",
    "students_factor",
]

COVERAGE_FACTOR = 2
"""k in U = k·u."""

_LITTLE = 0.3  # of the rest: 2u covers then, however few the readings
_ONE_SIDE = 0.977249868  # Φ(2)


def half_width(reading: Decimal, accuracy: Accuracy, resolution: Decimal | None) -> float | None:
    """Half-width a = |reading| · percent + counts · worth of a count, in SI.

    None if the line has counts and nothing says what one is worth.
    """
    steps = counts_si(accuracy, resolution)
    if steps is None:
        return None
    return float(abs(reading)) * float(accuracy.percent) / 100 + steps


def counts_si(accuracy: Accuracy, resolution: Decimal | None) -> float | None:
    """Counts · worth of a count, the part of `half_width` that is the same for any reading."""
    count = accuracy.count_si if accuracy.count_si is not None else resolution
    if accuracy.counts and not count:
        return None
    return float(accuracy.counts) * float(count or 0)


def mean_deviation(readings_si: Sequence[Decimal]) -> float:
    """Type A: experimental standard deviation of the mean, s/√n; 0 for a single reading.

    JCGM 100 cl. 4.2.3.
    """
    number = len(readings_si)
    if number < 2:
        return 0.0
    values = [float(r) for r in readings_si]
    mean = math.fsum(values) / number
    squares = math.fsum((v - mean) ** 2 for v in values)
    return math.sqrt(squares / (number - 1) / number)


def resolution_uncertainty(resolution_si: Decimal | None) -> float:
    """u of a display with a last digit of d: d/√12 (JCGM 100 F.2.2.1); 0 where it is unknown."""
    return float(resolution_si or 0) / math.sqrt(12)


def offset_uncertainty(readings_si: Sequence[Decimal], resolution_si: Decimal | None) -> float:
    """Standard uncertainty of what the leads alone read: its resolution and scatter."""
    return math.hypot(resolution_uncertainty(resolution_si), mean_deviation(readings_si))


def beyond_the_line(
    line: Accuracy | None, resolution_si: Decimal | None, offset_u_si: float
) -> float:
    """Standard uncertainty of what the accuracy line does not hold."""
    counted = line is None or bool(line.counts)  # digits that are counted hold the resolution
    return math.hypot(0.0 if counted else resolution_uncertainty(resolution_si), offset_u_si)


def students_factor(count: int) -> float:
    """k of the mean of `count` readings by their scatter alone, at the 95.45 % of k = 2.

    Student's t for count - 1 degrees of freedom (JCGM 100 G.3, Table G.2); 2 for one reading.
    """
    if count < 2:
        return COVERAGE_FACTOR
    from scipy.special import stdtrit  # most readings do not need it

    return float(stdtrit(count - 1, _ONE_SIDE))


def expanded_uncertainty(u: float, scatter_u: float, count: int) -> float:
    """U = 2u; with Student's factor on the scatter where few readings tell it and it weighs.

    Covers at least 95 % of errors that are even within the accuracy line and normal in their
    scatter. The effective degrees of freedom of JCGM 100 G.4 do not: 88 % of two readings.

    Args:
        scatter_u: standard uncertainty of the scatter alone, a part of `u`.
    """
    rest = math.sqrt(max(u**2 - scatter_u**2, 0.0))
    if count < 2 or scatter_u <= _LITTLE * rest:
        return COVERAGE_FACTOR * u
    return math.hypot(COVERAGE_FACTOR * rest, students_factor(count) * scatter_u)


def standard_uncertainty(half_width_si: float, deviation_si: float) -> float:
    """u: type B of a rectangular ±a (a/√3, JCGM 100 cl. 4.3.7) combined with type A."""
    return math.hypot(half_width_si / math.sqrt(3), deviation_si)


def conformance_probability(y: float, u: float, low: float, high: float) -> float:
    """Φ((high - y)/u) - Φ((low - y)/u), 0..1 (JCGM 106 cl. 7); all in one unit."""
    if u == 0:
        return 1.0 if low <= y <= high else 0.0
    below, above = (low - y) / u, (high - y) / u
    if below > 0:
        return _tail(below) - _tail(above)
    if above < 0:
        return _tail(-above) - _tail(-below)
    return 1 - _tail(-below) - _tail(above)


def _tail(z: float) -> float:
    return math.erfc(z / math.sqrt(2)) / 2
