"""Resistance thermometers: platinum (IEC 60751) and thermistors (Steinhart-Hart)."""

import math
from typing import ClassVar

import msgspec

from benchmeter.quantities.temperature import ZERO_CELSIUS_K
from benchmeter.sensors.rising_curve import where_rising
from benchmeter.sensors.sensor_class import NonEmpty, ToleranceClass
from benchmeter.sensors.sensor_range import inside_readings, inside_temperatures

__all__ = ["Platinum", "Thermistor"]

_TABLE_ROUNDING_OHM = 0.005
_LOGS = (0.0, 20.0)  # ln of 1 Ω and of 485 MΩ: wider than any thermistor


class Platinum(
    msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True, tag="platinum",
    tag_field="kind",
):  # fmt: skip
    """R(t) = R0·(1 + A·t + B·t² + C·(t - 100)·t³), the last term below 0 °C only.

    Source: IEC 60751:2008 cl. 4.2.
    """

    title: NonEmpty
    source: NonEmpty
    r0_ohm: float
    a: float
    b: float
    c: float
    lowest_c: float
    highest_c: float
    classes: dict[str, ToleranceClass] = {}
    unit: ClassVar[str] = "Ω"

    def tolerance_c(self, name: str, t_c: float, build: str = "") -> float:
        """Half-width ±(constant + fraction·|t|) of class `name` at t_c, °C (IEC 60751 cl. 5.1).

        Raises:
            InputError: no such class, or not defined for this build at this temperature.
        """
        found = ToleranceClass.named(self.classes, name, self.title)
        found.refuse_outside(self.title, name, t_c, build)
        return found.constant_c + found.fraction * abs(t_c)

    def resistance_ohm(self, t_c: float) -> float:
        """Resistance at t_c, °C.

        Raises:
            InputError: a temperature that the standard does not cover.
        """
        inside_temperatures(self.title, t_c, self.lowest_c, self.highest_c)
        return self._curve(t_c)[0]

    def temperature_c(self, ohm: float) -> float:
        """Temperature, °C.

        Raises:
            InputError: a resistance that the sensor cannot have.
        """
        ends = self._curve(self.lowest_c)[0], self._curve(self.highest_c)[0]
        ohm = inside_readings(self.title, ohm, *ends, _TABLE_ROUNDING_OHM, self.unit)
        if ohm < self.r0_ohm:
            return where_rising(self._curve, ohm, self.lowest_c, 0.0)
        rise = ohm / self.r0_ohm - 1
        return 2 * rise / (self.a + math.sqrt(self.a**2 + 4 * self.b * rise))

    def per_kelvin(self, t_c: float) -> float:
        """By how much the resistance changes with a kelvin at t_c, ohm."""
        return self._curve(t_c)[1]

    def _curve(self, t: float) -> tuple[float, float]:
        ratio = 1 + t * (self.a + t * self.b)
        slope = self.a + 2 * self.b * t
        if t < 0:
            ratio += self.c * (t - 100) * t**3
            slope += self.c * (4 * t - 300) * t**2
        return self.r0_ohm * ratio, self.r0_ohm * slope


class Thermistor(
    msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True, tag="thermistor",
    tag_field="kind",
):  # fmt: skip
    """1/T = A + B·ln R + C·(ln R)³, T in kelvin, R in ohm.

    Source: J. S. Steinhart, S. R. Hart, Deep-Sea Research 15 (1968) 497 (from memory).
    """

    title: NonEmpty
    source: NonEmpty
    a: float
    b: float
    c: float
    lowest_c: float
    highest_c: float
    unit: ClassVar[str] = "Ω"

    def resistance_ohm(self, t_c: float) -> float:
        """Resistance at t_c, °C.

        Raises:
            InputError: a temperature that the curve does not cover.
        """
        inside_temperatures(self.title, t_c, self.lowest_c, self.highest_c)
        return self._resistance(t_c)

    def temperature_c(self, ohm: float) -> float:
        """Temperature, °C.

        Raises:
            InputError: a resistance that the sensor does not have within its range.
        """
        ends = self._resistance(self.highest_c), self._resistance(self.lowest_c)
        # The number of digits in a table goes with the value: five of them.
        ohm = inside_readings(self.title, ohm, *ends, max(ohm, 0.0) * 5e-5, self.unit)
        return 1 / self._curve(math.log(ohm))[0] - ZERO_CELSIUS_K

    def per_kelvin(self, t_c: float) -> float:
        """By how much the resistance changes with a kelvin at t_c, ohm, without its sign."""
        ohm = self._resistance(t_c)
        return ohm / ((t_c + ZERO_CELSIUS_K) ** 2 * self._curve(math.log(ohm))[1])

    def _resistance(self, t_c: float) -> float:
        return math.exp(where_rising(self._curve, 1 / (t_c + ZERO_CELSIUS_K), *_LOGS))

    def _curve(self, log: float) -> tuple[float, float]:
        return self.a + log * (self.b + self.c * log**2), self.b + 3 * self.c * log**2
