"""Capability of a lot: how many times its spread fits between the limits."""

import math
from dataclasses import dataclass

from benchmeter.statistics.intervals import CONFIDENCE, Estimate, scale_factors

__all__ = ["FEWEST_FOR_CAPABILITY", "Capability", "capability"]

FEWEST_FOR_CAPABILITY = 25
"""Below that the interval of Cpk is no good approximation (NIST/SEMATECH e-Handbook 6.1.6)."""


@dataclass(frozen=True, slots=True)
class Capability:
    """Cp and Cpk, numbers without unit; 1 means that the limits are 3 s away.

    Attributes:
        cp: width of the band over 6 s, as if the lot lay in its middle.
        cpk: distance of the nearer limit over 3 s; negative if the mean lies outside.
    """

    cp: Estimate
    cpk: Estimate


def capability(mean: float, deviation: float, count: int, low: float, high: float) -> Capability:
    """Cp and Cpk of readings that scatter normally; all arguments in one unit.

    e-Handbook 6.1.6: the interval of Cp follows from χ², that of Cpk is the approximation of
    Bissell, Applied Statistics 39 (1990), Cpk ± z·√(1/(9n) + Cpk²/(2(n - 1))). The deviation is
    that of the whole lot, so both hold for this lot and not for the process that made it.

    Args:
        deviation: above zero.
        count: n, at least `FEWEST_FOR_CAPABILITY` for the interval of Cpk to hold.
    """
    from scipy.special import ndtri

    cp = (high - low) / (6 * deviation)
    # The factors are those of a variance; Cp goes with one over the deviation.
    smaller, larger = scale_factors(count - 1)
    cpk = min(high - mean, mean - low) / (3 * deviation)
    half = float(ndtri((1 + CONFIDENCE) / 2)) * math.sqrt(
        1 / (9 * count) + cpk**2 / (2 * (count - 1))
    )
    return Capability(
        Estimate(cp, cp / math.sqrt(larger), cp / math.sqrt(smaller)),
        Estimate(cpk, cpk - half, cpk + half),
    )
