"""Whether readings go one way, and how fast they may be going at most.

Plain Python: it is asked with every measurement, of a few dozen of them.
"""

import math
from collections.abc import Sequence

__all__ = ["IN_TEN", "IN_THOUSAND", "line_through", "student_975", "trends"]

IN_TEN = 1.645
"""Of `trends`: values at rest pass it by chance in one case of ten."""
IN_THOUSAND = 3.291
"""Likewise in one of a thousand."""


def trends(values: Sequence[float]) -> list[float]:
    """How clearly the last 1, 2, 3 … of the values go one way, in standard deviations.

    The test of Mann and Kendall: S counts the pairs that rise less those that fall; Var(S) =
    [n(n-1)(2n+5) - Σ t(t-1)(2t+5)] / 18 over groups of t equal values; Z = (|S| - 1)/√Var(S)
    (Gilbert, Statistical Methods for Environmental Pollution Monitoring, 1987, 16.4, from memory).
    """
    found: list[float] = []
    seen: list[float] = []
    alike: dict[float, int] = {}
    s = tied = 0
    for n, value in enumerate(reversed(values), start=1):
        s += sum((later > value) - (later < value) for later in seen)
        seen.append(value)
        t = alike[value] = alike.get(value, 0) + 1
        tied += t * (t - 1) * (2 * t + 5) - (t - 1) * (t - 2) * (2 * t + 3)
        variance = (n * (n - 1) * (2 * n + 5) - tied) / 18
        found.append((abs(s) - 1) / math.sqrt(variance) if abs(s) > 1 else 0.0)
    return found


def line_through(times: Sequence[float], values: Sequence[float]) -> tuple[float, float]:
    """Slope of a straight line by least squares, and its standard error.

    NIST/SEMATECH e-Handbook 4.4.3.1. At least three values, not all at one time.
    """
    n = len(times)
    mean_time, mean = math.fsum(times) / n, math.fsum(values) / n
    apart = [(t - mean_time, v - mean) for t, v in zip(times, values, strict=True)]
    spread = math.fsum(t * t for t, _ in apart)
    slope = math.fsum(t * v for t, v in apart) / spread
    residual = math.fsum((v - slope * t) ** 2 for t, v in apart)
    return slope, math.sqrt(residual / (n - 2) / spread)


def student_975(freedom: int) -> float:
    """The 97.5 % point of Student's t, to 1 % from three degrees of freedom on.

    Abramowitz and Stegun, 26.7.5, without SciPy: it is asked with every measurement.
    """
    z = 1.959964
    return (
        z
        + (z**3 + z) / (4 * freedom)
        + (5 * z**5 + 16 * z**3 + 3 * z) / (96 * freedom**2)
        + (3 * z**7 + 19 * z**5 + 17 * z**3 - 15 * z) / (384 * freedom**3)
    )
