"""Which curve a thermistor follows: a wrong curve is told from a bad sensor."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from benchmeter.conformity.decision import at_least
from benchmeter.conformity.uncertainty import COVERAGE_FACTOR
from benchmeter.errors import InputError
from benchmeter.sensors.resistance_curves import Thermistor

__all__ = ["TOLERANCE_C", "CurveFinding", "CurveVerdict", "check_thermistor"]

TOLERANCE_C = 0.5
"""How far a sound thermistor may be off its curve, ±kelvin; common practice, no source."""


class CurveFinding(StrEnum):
    """What a resistance at a known temperature says."""

    FITS = "fits the curve"
    OTHER_CURVE = "fits another curve"
    NO_CURVE = "fits no curve"
    CANNOT_TELL = "cannot tell"  # several curves meet here


@dataclass(frozen=True, slots=True)
class CurveVerdict:
    """How a thermistor compares with every curve.

    Attributes:
        finding: about the curve that it should have.
        deviations_c: by curve: what the resistance stands for less the true temperature, kelvin;
            None where the curve never has this resistance.
        expanded_uncertainty_c: by curve: U (k = 2) of the deviation, kelvin; None likewise.
        possible: curves that tolerance and uncertainty do not rule out.
    """

    finding: CurveFinding
    deviations_c: dict[str, float | None]
    expanded_uncertainty_c: dict[str, float | None]
    possible: tuple[str, ...]


def check_thermistor(
    name: str,
    curves: Mapping[str, Thermistor],
    ohm: float,
    true_c: float,
    *,
    meter_u_ohm: float,
    probe_u_c: float,
    tolerance_c: float = TOLERANCE_C,
) -> CurveVerdict:
    """Which curves a resistance at a true temperature may belong to.

    A curve is ruled out where the deviation exceeds tolerance + U. At 25 °C all 10 kΩ curves meet:
    there nothing tells them apart. One temperature cannot tell a drifted sensor that happens to
    lie on another curve from a sensor of that curve; a second temperature can.

    Args:
        name: of the curve that the sensor should have, one of `curves`.
        true_c: from a probe beside it, °C.
        meter_u_ohm, probe_u_c: standard uncertainties of meter and probe.
        tolerance_c: half-width of what a sound sensor may be off.

    Raises:
        InputError: no number, or a temperature at which no curve is known.
    """
    if not (ohm > 0 and math.isfinite(ohm)):
        raise InputError("sensors.no_resistance")
    curves[name].resistance_ohm(true_c)  # refuses a temperature out of its range
    off = {k: _deviation(c, ohm, true_c, meter_u_ohm, probe_u_c) for k, c in curves.items()}
    possible = [k for k, d in off.items() if d and at_least(tolerance_c + d[1], abs(d[0]))]
    return CurveVerdict(
        finding=_finding(name, possible),
        deviations_c={k: d and d[0] for k, d in off.items()},
        expanded_uncertainty_c={k: d and d[1] for k, d in off.items()},
        possible=tuple(possible),
    )


def _deviation(
    curve: Thermistor, ohm: float, true_c: float, meter_u_ohm: float, probe_u_c: float
) -> tuple[float, float] | None:
    """Deviation and its U, kelvin; None where the curve never has this resistance."""
    try:
        shown_c = curve.temperature_c(ohm)
    except InputError:
        return None
    u = COVERAGE_FACTOR * math.hypot(meter_u_ohm / curve.per_kelvin(shown_c), probe_u_c)
    return shown_c - true_c, u


def _finding(name: str, possible: list[str]) -> CurveFinding:
    if not possible:
        return CurveFinding.NO_CURVE
    if name not in possible:
        return CurveFinding.OTHER_CURVE
    return CurveFinding.FITS if len(possible) == 1 else CurveFinding.CANNOT_TELL
