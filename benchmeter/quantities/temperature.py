"""A temperature and a difference of temperatures: two types, so that 10 K never becomes 50 °F."""

from dataclasses import dataclass
from typing import overload

__all__ = ["ZERO_CELSIUS_K", "Temperature", "TemperatureDifference"]

ZERO_CELSIUS_K = 273.15


@dataclass(frozen=True, slots=True, order=True)
class TemperatureDifference:
    """A difference of temperatures: split, rise, superheat.

    >>> TemperatureDifference(10.0).fahrenheit_degrees
    18.0
    """

    kelvin: float

    @property
    def fahrenheit_degrees(self) -> float:
        return self.kelvin * 9 / 5


@dataclass(frozen=True, slots=True, order=True)
class Temperature:
    """A point on the scale.

    >>> round(Temperature(303.15).fahrenheit, 9)
    86.0
    """

    kelvin: float

    @property
    def celsius(self) -> float:
        return self.kelvin - ZERO_CELSIUS_K

    @property
    def fahrenheit(self) -> float:
        return self.celsius * 9 / 5 + 32

    def __add__(self, other: TemperatureDifference) -> "Temperature":
        if not isinstance(other, TemperatureDifference):
            return NotImplemented
        return Temperature(self.kelvin + other.kelvin)

    @overload
    def __sub__(self, other: "Temperature") -> TemperatureDifference: ...
    @overload
    def __sub__(self, other: TemperatureDifference) -> "Temperature": ...
    def __sub__(
        self, other: "Temperature | TemperatureDifference"
    ) -> "Temperature | TemperatureDifference":
        if isinstance(other, Temperature):
            return TemperatureDifference(self.kelvin - other.kelvin)
        return Temperature(self.kelvin - other.kelvin)
