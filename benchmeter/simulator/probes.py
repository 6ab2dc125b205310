"""Temperature probes: what a sensor in moving air feels, a little late and a little noisy."""

import math
import random
from collections.abc import Callable
from typing import Protocol

from benchmeter.quantities.temperature import ZERO_CELSIUS_K

__all__ = ["AirProbe", "Probe"]


class Probe(Protocol):
    """A probe at an instrument. Times are in ns and never fall."""

    def celsius(self, now_ns: int) -> float | None:
        """What the instrument takes for its temperature; None: nothing is plugged in."""
        ...


class AirProbe:
    """A probe in air.

    Args:
        air_k: temperature of the air at a time in ns, kelvin.
        seed: of its noise.
        lag_s: time constant of the sensor; on a ramp of r K/s it is r·lag behind.
        noise_k: standard deviation of a conversion, turbulence included.
        offset_k: what it reads too much.
    """

    def __init__(
        self,
        air_k: Callable[[int], float],
        seed: str,
        lag_s: float,
        noise_k: float,
        offset_k: float = 0.0,
    ) -> None:
        self._air_k = air_k
        self._random = random.Random(seed)
        self._lag_s = lag_s
        self._noise_k = noise_k
        self._offset_k = offset_k
        self._sensor_k = self._before_k = air_k(0)
        self._seen_ns = 0

    def celsius(self, now_ns: int) -> float:
        air_k = self._air_k(now_ns)
        elapsed_s = (now_ns - self._seen_ns) / 1e9
        if elapsed_s > 0:
            # Exact for air that went straight from one temperature to the other.
            slope = (air_k - self._before_k) / elapsed_s
            behind_k = self._sensor_k - self._before_k + slope * self._lag_s
            self._sensor_k = (
                air_k - slope * self._lag_s + behind_k * math.exp(-elapsed_s / self._lag_s)
            )
            self._before_k, self._seen_ns = air_k, now_ns
        noise_k = self._random.gauss(0, self._noise_k)
        return self._sensor_k + noise_k + self._offset_k - ZERO_CELSIUS_K
