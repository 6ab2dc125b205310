"""Whether a temperature holds still, told from 10-s means so that noise does not decide.

A stretch is *flat* within a limit when both hold:

- the straight line through its 10-s means changes by less than the limit, plus the standard
  deviation that noise gives this change;
- the span of the means is less than the limit, plus what noise gives: the 95 % point of the range
  of as many normal values (studentized range, infinite degrees of freedom), at most 0.8 K. What is
  noisier, or swings, is not flat.

To both belongs one digit of the display where that is more than noise gives (at most 1 K).
Noise: from the median second difference of the means of the last 5 min, so that a drift, even a
curved one, does not count as noise.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import median

from benchmeter.cooling.means import Mean
from benchmeter.cooling.recovery import Estimate

__all__ = ["STRETCH_S", "Stretch", "drift", "mean_estimate", "trailing_stretch"]

STRETCH_S = 10

_MOST_NOISE_K = 0.8
_MOST_RESOLUTION_K = 1.0
_LEAST_COVERED = 0.75
_NOISE_MEANS = 31  # 5 min
_RANGE_95 = {13: 4.685, 61: 5.775}  # means in 120 s and in 600 s

# Student's t, 97.5 %, by degrees of freedom (any table; GUM Table G.2 for the principle).
_T_975 = (
    12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228, 2.201, 2.179, 2.160,
    2.145, 2.131, 2.120, 2.110, 2.101, 2.093, 2.086,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Stretch:
    """The last 10-s means of a temperature.

    Attributes:
        middle_s: mean time, seconds of the session.
        mean: with its 95 % interval.
        change_k: of the straight line through the means, from the first to the last.
        change_noise_k: standard deviation that noise gives to it.
        span_k: largest less smallest mean.
        span_noise_k: what noise explains of it.
        digit_k: one digit of the display.
    """

    middle_s: float
    mean: Estimate
    change_k: float
    change_noise_k: float
    span_k: float
    span_noise_k: float
    digit_k: float

    def flat(self, limit_k: float) -> bool:
        """Whether it holds still within `limit_k`, as the module says."""
        return abs(self.change_k) < limit_k + max(
            self.change_noise_k, self.digit_k
        ) and self.span_k < limit_k + max(self.span_noise_k, self.digit_k)


def trailing_stretch(
    means: Sequence[Mean], now_s: float, length_s: int, *, since_s: float, resolution_k: float
) -> Stretch | None:
    """The 10-s means whose middles cover the last `length_s`; None unless readings cover it.

    Covered: three quarters of the means are there, the first and the last two among them; all lie
    after `since_s`. Nothing is put in for the others.
    """
    wanted = length_s // STRETCH_S + 1
    begin = math.floor(now_s / STRETCH_S) * STRETCH_S - wanted * STRETCH_S
    inside = [m for m in means if begin <= m.time_s]
    if begin < since_s or len(inside) < _LEAST_COVERED * wanted or len(inside) < 3:
        return None
    places = [math.floor(m.time_s / STRETCH_S) - begin // STRETCH_S for m in inside]
    if places[0] != 0 or places[-2:] != [wanted - 2, wanted - 1]:
        return None
    values = [m.value for m in inside]
    noise = _noise(means[-_NOISE_MEANS:])
    middle = sum(m.time_s for m in inside) / len(inside)
    mean = mean_estimate(values, resolution_k)
    spread = sum((m.time_s - middle) ** 2 for m in inside)
    slope = sum((m.time_s - middle) * (m.value - mean.value) for m in inside) / spread
    return Stretch(
        middle_s=middle,
        mean=mean,
        change_k=slope * length_s,
        change_noise_k=noise * length_s / math.sqrt(spread),
        span_k=max(values) - min(values),
        span_noise_k=min(_RANGE_95.get(wanted, 5.775) * noise, _MOST_NOISE_K),
        digit_k=min(resolution_k, _MOST_RESOLUTION_K),
    )


def drift(
    means: Sequence[Mean], now_s: float, length_s: int, law: Callable[[float], float]
) -> tuple[float, float] | None:
    """How much more the readings of the last `length_s` have changed than `law` says.

    From the first third to the last third of the 10-s means; None unless three quarters of both
    are there.

    Returns:
        the surplus, kelvin, and what noise explains of it (twice its standard deviation).
    """
    third = length_s // STRETCH_S // 3
    end = math.floor(now_s / STRETCH_S) * STRETCH_S
    begin = end - 3 * third * STRETCH_S
    early = [m for m in means if begin <= m.time_s < begin + third * STRETCH_S]
    late = [m for m in means if end - third * STRETCH_S <= m.time_s < end]
    if min(len(early), len(late)) < _LEAST_COVERED * third:
        return None
    before, after = (
        sum(m.value - law(m.time_s) for m in part) / len(part) for part in (early, late)
    )
    return after - before, 2 * _noise(means[-_NOISE_MEANS:]) * math.sqrt(2 / third)


def mean_estimate(values: Sequence[float], resolution_k: float) -> Estimate:
    """Mean and 95 % interval: Student's t, and the display's digit as a rectangular distribution.

    JCGM 100:2008 4.2.3 and F.2.2.1; U = 2u for the digit. Fewer than two values tell no spread.
    """
    n = len(values)
    mean = sum(values) / n
    half = 0.0
    if n > 1:
        deviation = math.sqrt(sum((v - mean) ** 2 for v in values) / (n - 1))
        half = _T_975[min(n - 1, len(_T_975)) - 1] * deviation / math.sqrt(n)
    half = math.hypot(half, 2 * resolution_k / math.sqrt(12))
    return Estimate(mean, mean - half, mean + half)


def _noise(means: Sequence[Mean]) -> float:
    """Standard deviation of one mean: second differences of normal noise have the variance 6 s²."""
    bends = [
        abs(a.value - 2 * b.value + c.value)
        for a, b, c in zip(means, means[1:], means[2:], strict=False)
        if c.time_s - a.time_s < 3 * STRETCH_S
    ]
    return 1.4826 * median(bends) / math.sqrt(6) if bends else 0.0
