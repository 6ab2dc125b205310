"""Tolerance classes of sensors, and the verdict on a sensor beside a reference thermometer."""

from dataclasses import dataclass
from typing import Annotated, Protocol

import msgspec

from benchmeter.conformity.decision import zone
from benchmeter.conformity.verdict import Reason, Verdict
from benchmeter.errors import InputError

__all__ = ["Classed", "NonEmpty", "SensorVerdict", "ToleranceClass", "judge_sensor"]


NonEmpty = Annotated[str, msgspec.Meta(pattern=r"\S")]
"""Text that says something."""


class ToleranceClass(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Numbers of a class; how they are joined is the standard's, hence the sensor's.

    Attributes:
        constant_c: °C.
        fraction: of |t|, t in °C.
        ranges_c: where the class is defined, by the build of the sensor.
    """

    constant_c: float
    fraction: float
    ranges_c: dict[str, tuple[float, float]]

    @staticmethod
    def named(classes: "dict[str, ToleranceClass]", name: str, title: str) -> "ToleranceClass":
        """The class of that name.

        Raises:
            InputError: the sensor has no such class.
        """
        if name not in classes:
            raise InputError("sensors.no_class", sensor=title, name=name, known=list(classes))
        return classes[name]

    def refuse_outside(self, title: str, name: str, t_c: float, build: str) -> None:
        """Refuse a temperature for which the class is not defined; "" as build: for each.

        Raises:
            InputError: outside, or no such build.
        """
        if build and build not in self.ranges_c:
            raise InputError(
                "sensors.no_build", sensor=title, name=build, known=list(self.ranges_c)
            )
        ranges = [self.ranges_c[build]] if build else list(self.ranges_c.values())
        low, high = max(r[0] for r in ranges), min(r[1] for r in ranges)
        if not low <= t_c <= high:  # NaN is not between either
            raise InputError(
                "sensors.class_outside", sensor=title, name=name, low_c=low, high_c=high
            )


class Classed(Protocol):
    """A sensor with tolerance classes."""

    def tolerance_c(self, name: str, t_c: float, build: str = "") -> float: ...


@dataclass(frozen=True, slots=True)
class SensorVerdict:
    """How a sensor compares with a reference thermometer beside it.

    Attributes:
        deviation_c: what the sensor shows less the reference, kelvin.
        tolerance_c: of the class at the reference temperature, ±kelvin.
        expanded_uncertainty_c: U of the deviation (k = 2), kelvin.
        verdict, reason: by the guarded rule (ILAC-G8:09/2019 cl. 4.2.3, w = U).
    """

    deviation_c: float
    tolerance_c: float
    expanded_uncertainty_c: float
    verdict: Verdict
    reason: Reason


def judge_sensor(
    sensor: Classed,
    class_name: str,
    shown_c: float,
    reference_c: float,
    expanded_uncertainty_c: float,
    build: str = "",
) -> SensorVerdict:
    """The verdict on a sensor of a class.

    Args:
        shown_c: temperature that its reading stands for, °C.
        reference_c: true temperature from a probe beside it, °C.
        expanded_uncertainty_c: U (k = 2) of meter and probe together, kelvin.
        build: "film", "wire wound", "wire"; "" if it is not known.

    Raises:
        InputError: no such class, or not defined at this temperature.
    """
    tolerance = sensor.tolerance_c(class_name, reference_c, build)
    deviation = shown_c - reference_c
    word, reason = zone(deviation, -tolerance, tolerance, expanded_uncertainty_c)
    return SensorVerdict(deviation, tolerance, expanded_uncertainty_c, word, reason)
