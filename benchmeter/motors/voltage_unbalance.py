"""Unbalance of the three line voltages, and what a motor may still give."""

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

from benchmeter.errors import InputError

__all__ = [
    "VoltageUnbalance",
    "derating",
    "deviation_u",
    "farthest",
    "greatest_deviation",
    "voltage_unbalance",
]

# Read off the curve: 0.95 at 2 % and 0.90 at 3 % from texts that quote it, the rest and 0.88 at 3 %
# from memory; between the two at 3 %.
_DERATING = ((0.0, 1.0), (1.0, 1.0), (2.0, 0.95), (3.0, 0.89), (4.0, 0.82), (5.0, 0.75))


@dataclass(frozen=True, slots=True)
class VoltageUnbalance:
    """How unequal the line voltages are.

    Attributes:
        mean_v: volt.
        unbalance_percent: greatest deviation from the mean over the mean.
        derating: factor on the rated power; None above 5 %: do not run the motor.
        extra_rise_percent: about how much more the windings heat up, 2·(unbalance %)².
    """

    mean_v: float
    unbalance_percent: float
    derating: float | None
    extra_rise_percent: float


def voltage_unbalance(volts: Sequence[float]) -> VoltageUnbalance:
    """Unbalance of three line-to-line voltages, volt RMS.

    Source: NEMA MG 1 cl. 12.45 and 14.36 (unbalance), Fig. 14-1 (derating), from memory; the
    temperature rise, 2·(unbalance %)², from memory.

    Raises:
        InputError: not three voltages that a supply can have.
    """
    if len(volts) != 3:
        raise InputError("motors.three_voltages_needed")
    if not all(0 <= v <= 1000 for v in volts) or max(volts) < 1:
        raise InputError("motors.voltage_out_of_range")
    # The rounding of binary fractions must not lift 5 % over the limit.
    percent = round(greatest_deviation(volts) * 100, 9)
    return VoltageUnbalance(
        mean_v=math.fsum(volts) / 3,
        unbalance_percent=percent,
        derating=derating(percent),
        extra_rise_percent=2 * percent**2,
    )


def greatest_deviation(values: Sequence[float]) -> float:
    """Greatest deviation from the mean over the mean, which must not be 0."""
    mean = math.fsum(values) / len(values)
    return abs(values[farthest(values)] - mean) / mean


def farthest(values: Sequence[float]) -> int:
    """Place of the value that is farthest from the mean; of several the first."""
    mean = math.fsum(values) / len(values)
    return max(range(len(values)), key=lambda i: abs(values[i] - mean))


def deviation_u(values: Sequence[float], us: Sequence[float]) -> float:
    """Standard uncertainty of the greatest deviation from the mean, in the values' unit.

    x - mean = ((n - 1)·x - sum of the others) / n, of independent readings (JCGM 100 cl. 5.1.2).

    Args:
        us: standard uncertainty of each value.
    """
    n, far = len(values), farthest(values)
    return math.hypot(*((n - 1 if i == far else 1) * u for i, u in enumerate(us))) / n


def derating(percent: float) -> float | None:
    """Factor on a motor's rated power at an unbalance; None above 5 %: do not run it.

    Source: NEMA MG 1 Fig. 14-1, from memory; read off the curve, ±0.02.
    """
    for (x1, y1), (x2, y2) in itertools.pairwise(_DERATING):
        if percent <= x2:
            return y1 + (y2 - y1) * (percent - x1) / (x2 - x1)
    return None
