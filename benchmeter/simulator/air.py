"""The air at the unit: outdoor air that drifts, discharge air that follows a first-order law."""

import math
from dataclasses import dataclass

from benchmeter.quantities.temperature import ZERO_CELSIUS_K

__all__ = ["Air", "RiseSegment", "first_order", "rise_at"]


def first_order(initial: float, final: float, time_constant_s: float, elapsed_s: float) -> float:
    """The first-order step response: final + (initial - final)·exp(-t/tau).

    >>> round(first_order(0.0, 1.0, 150.0, 150.0), 6)
    0.632121
    """
    return final + (initial - final) * math.exp(-elapsed_s / time_constant_s)


@dataclass(frozen=True, slots=True)
class RiseSegment:
    """From `start_ns` on the rise of the discharge air strives for `target_k`."""

    start_ns: int
    target_k: float
    time_constant_s: float


def rise_at(segments: tuple[RiseSegment, ...], now_ns: int) -> float:
    """Rise over outdoor air at `now_ns`, kelvin; it was 0 before the first segment."""
    rise = 0.0
    for index, segment in enumerate(segments):
        if segment.start_ns >= now_ns:
            break
        following = segments[index + 1 : index + 2]
        until_ns = min(now_ns, following[0].start_ns) if following else now_ns
        elapsed_s = (until_ns - segment.start_ns) / 1e9
        rise = first_order(rise, segment.target_k, segment.time_constant_s, elapsed_s)
    return rise


@dataclass(frozen=True, slots=True)
class Air:
    """Outdoor air: a start, a drift, and a slow sway of `sway_k` over ten minutes."""

    outdoor_c: float
    drift_k_per_h: float
    sway_k: float = 0.15

    def outdoor_k(self, now_ns: int) -> float:
        """Temperature of the air that enters the unit, kelvin."""
        elapsed_s = now_ns / 1e9
        sway = self.sway_k * math.sin(2 * math.pi * elapsed_s / 600)
        return ZERO_CELSIUS_K + self.outdoor_c + self.drift_k_per_h * elapsed_s / 3600 + sway
