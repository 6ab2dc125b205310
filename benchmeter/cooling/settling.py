"""Whether a temperature holds still, told from 10-s means so that noise does not decide.

A stretch is *flat* when the span of its 10-s means stays within a limit plus what noise and
resolution explain:

- noise: the 95 % point of the range of as many normal values (studentized range with infinite
  degrees of freedom), at the noise that the median second difference of the means of the last 5 min
  shows; so a drift, even a curved one, does not count as noise. At most 0.8 K: what is noisier
  never settles.
- resolution: one digit of the display, at most 1 K; the larger of the two counts.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from benchmeter.cooling.means import Mean
from benchmeter.cooling.recovery import Estimate

__all__ = ["STRETCH_S", "Stretch", "mean_estimate", "trailing_stretch"]

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
        span_k: largest less smallest mean.
        explained_k: how much of the span noise and resolution explain.
    """

    middle_s: float
    mean: Estimate
    span_k: float
    explained_k: float


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
    explained = max(
        min(_RANGE_95.get(wanted, 5.775) * noise, _MOST_NOISE_K),
        min(resolution_k, _MOST_RESOLUTION_K),
    )
    return Stretch(
        middle_s=sum(m.time_s for m in inside) / len(inside),
        mean=mean_estimate(values, resolution_k),
        span_k=max(values) - min(values),
        explained_k=explained,
    )


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
