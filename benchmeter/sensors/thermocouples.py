"""Thermocouples: the reference functions of ITS-90, inverted exactly."""

import math
from typing import Annotated, ClassVar, NamedTuple

import msgspec

from benchmeter.sensors.rising_curve import where_rising
from benchmeter.sensors.sensor_class import NonEmpty, ToleranceClass
from benchmeter.sensors.sensor_range import inside_readings, inside_temperatures

__all__ = ["CurvePiece", "Exponential", "Thermocouple"]

_TABLE_ROUNDING_MV = 0.0005


class Exponential(NamedTuple):
    """a0·exp(a1·(t - a2)²), mV: the magnetic term of type K."""

    a0: float
    a1: float
    a2: float


class CurvePiece(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Part of a reference function: sum of coefficients[i]·t^i, mV, t in °C."""

    lowest_c: float
    highest_c: float
    coefficients: tuple[float, ...]
    exponential: Exponential | None = None

    def curve(self, t: float) -> tuple[float, float]:
        """emf, mV, and its slope, mV/K."""
        emf = slope = 0.0
        for coefficient in reversed(self.coefficients):
            slope = slope * t + emf
            emf = emf * t + coefficient
        if self.exponential is not None:
            a0, a1, a2 = self.exponential
            term = a0 * math.exp(a1 * (t - a2) ** 2)
            emf += term
            slope += 2 * a1 * (t - a2) * term
        return emf, slope


class Thermocouple(
    msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True, tag="thermocouple",
    tag_field="kind",
):  # fmt: skip
    """A letter-designated thermocouple; its pieces stand in order and rise all the way.

    Source: NIST Monograph 175 (ITS-90); IEC 60584-1:2013.
    """

    title: NonEmpty
    source: NonEmpty
    pieces: Annotated[tuple[CurvePiece, ...], msgspec.Meta(min_length=1)]
    classes: dict[str, ToleranceClass] = {}
    unit: ClassVar[str] = "mV"

    @property
    def lowest_c(self) -> float:
        return self.pieces[0].lowest_c

    @property
    def highest_c(self) -> float:
        return self.pieces[-1].highest_c

    def tolerance_c(self, name: str, t_c: float, build: str = "") -> float:
        """Half-width of class `name` at t_c, °C: the larger of constant and fraction·|t|.

        Source: IEC 60584-1:2013, tolerances (from memory).

        Raises:
            InputError: no such class, or not defined at this temperature.
        """
        found = ToleranceClass.named(self.classes, name, self.title)
        found.refuse_outside(self.title, name, t_c, build)
        return max(found.constant_c, found.fraction * abs(t_c))

    def emf_mv(self, t_c: float, junction_c: float = 0.0) -> float:
        """What a meter at the terminals reads, mV, with the terminals at junction_c, °C.

        Raises:
            InputError: a temperature that the reference function does not cover.
        """
        return self._emf(t_c) - self._emf(junction_c)

    def temperature_c(self, emf_mv: float, junction_c: float = 0.0) -> float:
        """Temperature of the hot junction, °C: the emf of the terminals is added, never their °C.

        Raises:
            InputError: an emf that the thermocouple cannot give.
        """
        ends = self._emf(self.lowest_c), self._emf(self.highest_c)
        total = emf_mv + self._emf(junction_c)
        total = inside_readings(self.title, total, *ends, _TABLE_ROUNDING_MV, self.unit)
        piece = next((p for p in self.pieces if total <= p.curve(p.highest_c)[0]), self.pieces[-1])
        return where_rising(piece.curve, total, piece.lowest_c, piece.highest_c)

    def per_kelvin(self, t_c: float) -> float:
        """Seebeck coefficient at t_c, mV/K."""
        return self._curve(t_c)[1]

    def _emf(self, t_c: float) -> float:
        return self._curve(t_c)[0]

    def _curve(self, t_c: float) -> tuple[float, float]:
        inside_temperatures(self.title, t_c, self.lowest_c, self.highest_c)
        return next(p for p in self.pieces if t_c <= p.highest_c).curve(t_c)
