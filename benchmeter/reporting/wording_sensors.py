"""What a sensor beside a reference thermometer says, in one or two sentences."""

from benchmeter.conformity.sensor_class import SensorVerdict
from benchmeter.conformity.thermistor_check import CurveFinding, CurveVerdict
from benchmeter.conformity.verdict import Reason

__all__ = ["curve_why", "sensor_why"]


def curve_why(name: str, verdict: CurveVerdict) -> str:
    """Why a thermistor fits its curve or not."""
    off, u = verdict.deviations_c[name], verdict.expanded_uncertainty_c[name]
    shown = (
        f"As {name} it reads what that curve never has"
        if off is None or u is None
        else f"As {name} it is {_signed(off)} K off (±{u:.1g} K)"
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
    read = (
        f"{_signed(verdict.deviation_c)} ±{verdict.expanded_uncertainty_c:.1g} K off; class "
        f"{class_name} allows ±{verdict.tolerance_c:.2f} K"
    )
    if verdict.reason is Reason.METER_TOO_COARSE:
        return f"{read}, which is closer than meter and probe can tell."
    return f"{read}."


def _signed(kelvin: float) -> str:
    return f"{round(kelvin, 2) + 0.0:+.2f}"  # never -0.00
