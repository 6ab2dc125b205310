"""When the rise of the discharge temperature began.

A rise is seen when the median of the last 15 s (the last three readings, if slower) lies above the
baseline by more than 1.5 K and more than 4 times the noise; and, where the outdoor temperature is
known, above outdoor air by more than 1.5 K: a probe that warms up to outdoor air is no start.

- Baseline: the lowest median of a 10-s stretch in the 5 min before. It follows a fall at once, so
  that a fall is no start; it forgets what was before the probes lay still. Holes do not count as
  time: what was before a hole still tells that a rise came in it.
- Noise: from the median step between successive 1-s means, so that neither a slow drift nor a
  single wild reading counts as noise. Medians throughout: one wild reading is no rise either.
- The start is where the line through the rising readings meets the baseline.

The numbers are our own choice: common practice, no source.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

from benchmeter.cooling.means import Mean

__all__ = ["BASELINE_S", "HOLE_S", "LEAST_RISE_K", "RECENT_S", "Rise", "find_rise", "recent_median"]

LEAST_RISE_K = 1.5
NOISE_FACTOR = 4.0
RECENT_S = 15
BASELINE_S = 300
HOLE_S = 10
_SLOWEST_S = 60.0  # the last three readings may be so old
_STRETCH_S = 10.0
_FOOT = 0.25  # of the rise: below it a reading still belongs to the baseline


@dataclass(frozen=True, slots=True)
class Rise:
    """A rise: when it began (seconds of the session), from which level, in which noise."""

    start_s: float
    baseline_k: float
    noise_k: float


def recent_median(means: Sequence[Mean], now_s: float, every_s: float = 1.0) -> float | None:
    """Median of the last 15 s, at least of the last three means; None if they are too old."""
    recent = _recent(means, now_s, every_s)
    return median(m.value for m in recent) if recent else None


def find_rise(
    means: Sequence[Mean],
    now_s: float,
    *,
    since_s: float,
    outdoor_k: float | None,
    every_s: float = 1.0,
) -> Rise | None:
    """The rise that is under way at `now_s`, if there is one.

    Args:
        means: 1-s means of the discharge temperature, oldest first.
        since_s: what was before is not looked at.
        outdoor_k: outdoor temperature, if known.
        every_s: from one reading to the next.
    """
    recent = _recent(means, now_s, every_s)
    if not recent:
        return None
    first = recent[0].time_s
    before = _before(means, first, since_s)
    level = _baseline(before)
    if level is None:
        return None
    baseline, lowest_s = level
    noise = _noise(before)
    now_k = median(m.value for m in recent)
    rise = now_k - baseline
    if rise <= max(LEAST_RISE_K, NOISE_FACTOR * noise):
        return None
    if outdoor_k is not None and now_k - outdoor_k <= LEAST_RISE_K:
        return None
    start = _meets_baseline([*before, *recent], baseline, rise, lowest_s)
    return Rise(start, baseline, noise)


def _recent(means: Sequence[Mean], now_s: float, every_s: float) -> list[Mean]:
    recent = [m for m in means if m.time_s > now_s - RECENT_S]
    if len(recent) < 3:
        oldest_s = max(_SLOWEST_S, 4 * every_s)
        recent = [m for m in means[-3:] if m.time_s > now_s - oldest_s]
    return recent if len(recent) >= 3 else []


def _before(means: Sequence[Mean], first_s: float, since_s: float) -> list[Mean]:
    before: list[Mean] = []
    watched, later = 0.0, first_s
    for m in reversed(means):
        if m.time_s >= first_s:
            continue
        watched += min(later - m.time_s, HOLE_S)
        if watched > BASELINE_S or m.time_s < since_s:
            break
        before.append(m)
        later = m.time_s
    return before[::-1]


def _baseline(before: Sequence[Mean]) -> tuple[float, float] | None:
    """Lowest median of a stretch of 10 s (three readings, if slower), and the stretch's end."""
    stretches: list[list[Mean]] = []
    for m in before:
        last = stretches[-1] if stretches else None
        full = last is not None and len(last) >= 3 and m.time_s - last[0].time_s >= _STRETCH_S
        if last is None or full:
            stretches.append([m])
        else:
            last.append(m)
    levels = [(median(m.value for m in s), s[-1].time_s) for s in stretches if len(s) >= 3]
    return min(levels) if levels else None


def _noise(before: Sequence[Mean]) -> float:
    steps = [abs(b.value - a.value) for a, b in pairwise(before)]
    return 1.4826 * median(steps) / 2**0.5 if len(steps) >= 5 else 0.0


def _meets_baseline(means: list[Mean], baseline: float, rise: float, lowest_s: float) -> float:
    foot = max((i for i, m in enumerate(means) if m.value <= baseline + _FOOT * rise), default=0)
    rising = means[foot:]
    n = len(rising)
    time = sum(m.time_s for m in rising) / n
    value = sum(m.value for m in rising) / n
    spread = sum((m.time_s - time) ** 2 for m in rising)
    slope = sum((m.time_s - time) * (m.value - value) for m in rising) / spread if spread else 0.0
    foot_s = means[foot].time_s
    if slope <= 0:
        return foot_s
    return min(max(time - (value - baseline) / slope, min(lowest_s, foot_s)), foot_s)
