"""What many parts of one rating have in common: mean, spread, capability, share outside, trend.

The values; `lot` makes them.
"""

import math
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from benchmeter.conformity.verdict import Measurement
from benchmeter.quantities.label_text import EXACTLY
from benchmeter.statistics.capability import FEWEST_FOR_CAPABILITY, Capability, capability
from benchmeter.statistics.intervals import Estimate, mean_estimate, scale_factors

__all__ = [
    "FEWEST",
    "Histogram",
    "LotStatistics",
    "NoCapability",
    "Spread",
    "Trend",
    "bin_edges",
    "spread_of",
]

FEWEST = 8
"""Fewer readings are counted and nothing else: the interval of a standard deviation from seven is
wider than a factor of three (χ², 6 degrees of freedom: 0.64 s to 2.2 s)."""

_BINS = 10


class NoCapability(StrEnum):
    """Why there is no capability."""

    FEW = "too few readings"
    COARSE = "last digit coarser than the spread"
    ONE_LIMIT = "no limits on both sides"


@dataclass(frozen=True, slots=True)
class Histogram:
    """Counts over the tolerance band in bins of equal width.

    Attributes:
        edges_si: exact, the first and the last are the limits, or the outermost readings where
            there is no limit; a bin holds its lower edge, the last bin both.
        counts: one fewer than edges.
        below, above: readings outside the limits.
    """

    edges_si: tuple[Decimal, ...]
    counts: tuple[int, ...]
    below: int
    above: int


@dataclass(frozen=True, slots=True)
class Trend:
    """Whether the readings change in the order in which the parts were measured.

    Attributes:
        slope_si_per_part: SI, from one part to the next.
        runs_z: see `lot.runs_z`; beyond ±1.96 the order is not random at 95 %; None if too few.
    """

    slope_si_per_part: Estimate
    runs_z: float | None


@dataclass(frozen=True, slots=True)
class Spread:
    """What enough readings tell.

    Attributes:
        mean_si: SI.
        offset_si: mean less rated value, or less the middle of the limits where the label gives
            a range only; None without both.
        deviation_si: standard deviation of the lot, the meter's own scatter included.
        capability: None for the reason in `no_capability`.
    """

    mean_si: Estimate
    offset_si: Estimate | None
    deviation_si: Estimate
    trend: Trend
    capability: Capability | None
    no_capability: NoCapability | None


@dataclass(frozen=True, slots=True)
class LotStatistics:
    """The readings of one section of a lot.

    A section that is open or shorted is outside. It is no sample of how the good ones scatter, so
    mean, spread and histogram leave it out.

    Attributes:
        count: readings that mean, spread and histogram are made of.
        open_count, shorted_count, unread_count: sections without such a reading.
        outside_count: out of `judged_count`: outside the limits by the reading alone, open, or
            shorted.
        outside: 0..1; None if there are fewer than `FEWEST`.
        spread: None if there are fewer than `FEWEST` readings.
        beyond_count: sections that are good for reading beyond the meter's range: insulation.
    """

    section: Measurement
    count: int
    open_count: int
    shorted_count: int
    unread_count: int
    outside_count: int
    outside: Estimate | None
    histogram: Histogram
    spread: Spread | None
    beyond_count: int = 0

    @property
    def judged_count(self) -> int:
        """Sections of which it is known whether they are outside."""
        return self.count + self.open_count + self.shorted_count + self.beyond_count


def spread_of(
    section: Measurement,
    count: int,
    mean: float,
    deviation: float,
    trend: Trend,
    resolution_si: Decimal | None,
) -> Spread:
    """What follows from mean and standard deviation of `count` readings, at least `FEWEST`."""
    whole = mean_estimate(mean, deviation, count)
    target = _target_si(section)
    low, high = scale_factors(count - 1)
    missing = None
    if count < FEWEST_FOR_CAPABILITY:
        missing = NoCapability.FEW
    elif deviation == 0 or deviation < float(resolution_si or 0):
        missing = NoCapability.COARSE
    found = None
    if section.low_si is None or section.high_si is None:
        missing = NoCapability.ONE_LIMIT
    elif missing is None:
        limits = float(section.low_si), float(section.high_si)
        found = capability(mean, deviation, count, *limits)
    return Spread(
        mean_si=whole,
        offset_si=None if target is None else _less(whole, float(target)),
        deviation_si=Estimate(deviation, deviation * math.sqrt(low), deviation * math.sqrt(high)),
        trend=trend,
        capability=found,
        no_capability=missing,
    )


def _less(estimate: Estimate, by: float) -> Estimate:
    return Estimate(estimate.value - by, estimate.low - by, estimate.high - by)


def _target_si(section: Measurement) -> Decimal | None:
    if section.rated_si is not None:
        return section.rated_si
    if section.low_si is None or section.high_si is None:
        return None
    return EXACTLY.divide(EXACTLY.add(section.low_si, section.high_si), Decimal(2))


def bin_edges(first: Decimal, last: Decimal) -> tuple[Decimal, ...]:
    """The edges of bins of equal width between two values, both included."""
    width = EXACTLY.divide(EXACTLY.subtract(last, first), Decimal(_BINS))
    between = (EXACTLY.add(first, EXACTLY.multiply(width, Decimal(i))) for i in range(_BINS))
    return (*between, last)
