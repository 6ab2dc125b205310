"""Measurement uncertainty of a reading (JCGM 100:2008), conformance probability (JCGM 106:2012)."""

import math
from collections.abc import Sequence
from decimal import Decimal

from benchmeter.conformity.verdict import Accuracy

__all__ = [
    "COVERAGE_FACTOR",
    "conformance_probability",
    "counts_si",
    "half_width",
    "mean_deviation",
    "standard_uncertainty",
]

COVERAGE_FACTOR = 2
"""k in U = k·u."""


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
