"""What a sensor beside a reference thermometer says, in one or two sentences."""

from benchmeter.conformity.verdict import Reason
from benchmeter.sensors.sensor_class import SensorVerdict
from benchmeter.sensors.thermistor_check import CurveFinding, CurveVerdict

__all__ = ["curve_why", "deviation_why", "sensor_why"]


def curve_why(name: str, verdict: CurveVerdict) -> str:
    """Why a thermistor fits its curve or not."""
    off, u = verdict.deviations_c[name], verdict.expanded_uncertainty_c[name]
    spread = "" if u is None else f" (±{u:.2g} K)"
    shown = (
        f"As {name} it reads what that curve never has"
        if off is None
        else f"As {name} it is {_signed(off)} K off{spread}"
    )
    others = " or ".join(key for key in verdict.possible if key != name)
    match verdict.finding:
        case CurveFinding.FITS:
            return f"{shown}: it fits."
        case CurveFinding.OTHER_CURVE:
            return (
                f"{shown}, but it fits {others}: a wrong curve, not a bad sensor. Check at a "
                "second temperature."
            )
        case CurveFinding.NO_CURVE:
            return f"{shown}, and it fits no other curve: a bad sensor."
        case CurveFinding.CANNOT_TELL:
            return (
                f"{shown}, but {others} fits here as well: near 25 °C the curves meet. "
                "Measure in ice water."
            )


def sensor_why(class_name: str, verdict: SensorVerdict) -> str:
    """Why a sensor is inside its class or not."""
    allowed = f"class {class_name} allows ±{verdict.tolerance_c:.2f} K"
    return deviation_why(
        verdict.deviation_c, verdict.expanded_uncertainty_c, allowed, verdict.reason
    )


def deviation_why(
    deviation_c: float, expanded_uncertainty_c: float | None, allowed: str, reason: Reason | None
) -> str:
    """How far a sensor is off, and what it may be.

    Args:
        allowed: "class B allows ±0.30 K".
        reason: None where it takes the accuracy of meter and probe to decide.
    """
    u = "" if expanded_uncertainty_c is None else f" ±{expanded_uncertainty_c:.2g}"
    read = f"{_signed(deviation_c)}{u} K off; {allowed}"
    match reason:
        case None:
            return f"{read}. How good meter and probe are decides it: give their accuracy."
        case Reason.METER_TOO_COARSE:
            return f"{read}, which is closer than meter and probe can tell."
        case Reason.COUNT_UNKNOWN:
            return f"{read}. The accuracy counts digits, but what one is worth is not known."
        case (
            Reason.INSIDE_ACCURACY_UNKNOWN
            | Reason.BELOW_ACCURACY_UNKNOWN
            | Reason.ABOVE_ACCURACY_UNKNOWN
        ):
            return f"{read}; the accuracy of meter or probe is not known."
        case _:
            return f"{read}."


def _signed(kelvin: float) -> str:
    return f"{round(kelvin, 2) + 0.0:+.2f}"  # never -0.00
