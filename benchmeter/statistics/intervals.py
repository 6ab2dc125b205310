"""Confidence intervals that have a closed form. Two-sided, 95 %."""

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from benchmeter.quantities.estimate import Estimate

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

__all__ = [
    "CONFIDENCE",
    "Estimate",
    "mean_and_deviation",
    "mean_estimate",
    "mean_of",
    "scale_factors",
    "share_estimate",
    "slope_estimate",
]

CONFIDENCE = 0.95
_EACH_TAIL = (1 - CONFIDENCE) / 2
_FEW = 4096  # numbers, whose exact sum takes no time


def mean_of(values: "Sequence[float] | Floats") -> float:
    """The mean; that of equal values is that value, to the last bit."""
    numbers = _array(values)
    mean = _sum(numbers) / len(numbers)
    return min(max(mean, float(numbers.min())), float(numbers.max()))


def mean_and_deviation(values: "Sequence[float] | Floats") -> tuple[float, float]:
    """Mean and standard deviation (n - 1) of two values or more (JCGM 100 cl. 4.2)."""
    mean = mean_of(values)
    squares = _sum((_array(values) - mean) ** 2)
    return mean, math.sqrt(squares / (len(values) - 1))


def mean_estimate(mean: float, deviation: float, count: int) -> Estimate:
    """A mean ± t·s/√n (NIST/SEMATECH e-Handbook 1.3.5.2)."""
    half = _student_t(count - 1) * deviation / math.sqrt(count)
    return Estimate(mean, mean - half, mean + half)


def scale_factors(freedom: int) -> tuple[float, float]:
    """What to multiply a variance with for its limits: ν/χ² (e-Handbook 1.3.5.8).

    Args:
        freedom: ν, degrees of freedom of the variance.
    """
    from scipy.special import chdtri

    low = freedom / float(chdtri(freedom, _EACH_TAIL))
    high = freedom / float(chdtri(freedom, 1 - _EACH_TAIL))
    return low, high


def share_estimate(found: int, count: int) -> Estimate:
    """A share of a lot with its exact binomial limits, 0..1.

    Clopper and Pearson, Biometrika 26 (1934), as quantiles of the beta distribution
    (e-Handbook 7.2.4.1).
    """
    from scipy.special import betaincinv

    low = float(betaincinv(found, count - found + 1, _EACH_TAIL)) if found else 0.0
    high = float(betaincinv(found + 1, count - found, 1 - _EACH_TAIL)) if found < count else 1.0
    return Estimate(found / count, low, high)


def slope_estimate(
    places: "Sequence[float] | NDArray[np.int64]", values: "Sequence[float] | Floats"
) -> Estimate:
    """Slope of the least-squares line, value per place, ± t·s (e-Handbook 4.1.4.1).

    Needs three points, not all in one place.
    """
    count = len(values)
    x, y = _array(places), _array(values)
    x = x - _sum(x) / count
    y = y - _sum(y) / count
    across = _sum(x**2)
    slope = _sum(x * y) / across
    rest = _sum((y - slope * x) ** 2)
    half = _student_t(count - 2) * math.sqrt(rest / (count - 2) / across)
    return Estimate(slope, slope - half, slope + half)


def _array(values: "Sequence[float] | NDArray[np.int64] | Floats") -> "Floats":
    import numpy as np

    return np.asarray(values, np.float64)


def _sum(numbers: "Floats") -> float:
    """Without the rounding of each addition.

    Many are added in pairs, and what each addition loses is kept (the TwoSum of Knuth, The Art of
    Computer Programming, vol. 2, 4.2.2, theorem B; from memory).
    """
    lost: list[float] = []
    while len(numbers) > _FEW:
        half = len(numbers) // 2
        a, b, left = numbers[:half], numbers[half : 2 * half], numbers[2 * half :]
        whole = a + b
        of_b = whole - a
        lost.append(float(((a - (whole - of_b)) + (b - of_b)).sum()))
        lost += left.tolist()
        numbers = whole
    return math.fsum([*numbers.tolist(), *lost])


def _student_t(freedom: int) -> float:
    from scipy.special import stdtrit

    return float(stdtrit(freedom, 1 - _EACH_TAIL))
