"""What a sensor beside a reference thermometer says, in one or two sentences."""

from benchmeter.conformity.verdict import Reason
from benchmeter.sensors.sensor_class import SensorVerdict
from benchmeter.sensors.thermistor_check import CurveFinding, CurveVerdict
from benchmeter.words.presentation import PLAIN, Presentation

__all__ = ["class_allows", "curve_why", "deviation_why", "sensor_why"]


def curve_why(name: str, verdict: CurveVerdict, presentation: Presentation = PLAIN) -> str:
    """Why a thermistor fits its curve or not."""
    shown = _off_curve(name, verdict, presentation)
    others = [key for key in verdict.possible if key != name]
    match verdict.finding:
        case CurveFinding.FITS:
            return presentation.text("sensor_verdicts.fits", shown=shown)
        case CurveFinding.OTHER_CURVE:
            return presentation.text("sensor_verdicts.other_curve", shown=shown, others=others)
        case CurveFinding.NO_CURVE:
            return presentation.text("sensor_verdicts.no_curve", shown=shown)
        case CurveFinding.CANNOT_TELL:
            return presentation.text("sensor_verdicts.cannot_tell", shown=shown, others=others)


def sensor_why(class_name: str, verdict: SensorVerdict, presentation: Presentation = PLAIN) -> str:
    """Why a sensor is inside its class or not."""
    return deviation_why(
        verdict.deviation_c,
        verdict.expanded_uncertainty_c,
        class_allows(class_name, verdict.tolerance_c, presentation),
        verdict.reason,
        presentation,
    )


def class_allows(class_name: str, tolerance_c: float, presentation: Presentation) -> str:
    """How far off a tolerance class lets a sensor be: "class B allows ±0.30 K"."""
    return presentation.text("sensor_verdicts.class_allows", name=class_name, kelvin=tolerance_c)


def deviation_why(
    deviation_c: float,
    expanded_uncertainty_c: float | None,
    allowed: str,
    reason: Reason | None,
    presentation: Presentation = PLAIN,
) -> str:
    """How far a sensor is off, and what it may be.

    Args:
        allowed: "class B allows ±0.30 K".
        reason: None where it takes the accuracy of meter and probe to decide.
    """
    text, kelvin, u = presentation.text, _signed(deviation_c), expanded_uncertainty_c
    if u is None:
        read = text("sensor_verdicts.off", kelvin=kelvin, allowed=allowed)
    else:
        read = text("sensor_verdicts.off_known", kelvin=kelvin, uncertainty=u, allowed=allowed)
    match reason:
        case None:
            return text("sensor_verdicts.accuracy_needed", read=read)
        case Reason.METER_TOO_COARSE:
            return text("sensor_verdicts.too_coarse", read=read)
        case Reason.COUNT_UNKNOWN:
            return text("sensor_verdicts.count_unknown", read=read)
        case (
            Reason.INSIDE_ACCURACY_UNKNOWN
            | Reason.BELOW_ACCURACY_UNKNOWN
            | Reason.ABOVE_ACCURACY_UNKNOWN
        ):
            return text("sensor_verdicts.accuracy_unknown", read=read)
        case _:
            return text("sensor_verdicts.is_so", read=read)


def _off_curve(name: str, verdict: CurveVerdict, presentation: Presentation) -> str:
    off, u = verdict.deviations_c[name], verdict.expanded_uncertainty_c[name]
    if off is None:
        return presentation.text("sensor_verdicts.never_reads", name=name)
    if u is None:
        return presentation.text("sensor_verdicts.off_curve", name=name, kelvin=_signed(off))
    return presentation.text(
        "sensor_verdicts.off_curve_known", name=name, kelvin=_signed(off), uncertainty=u
    )


def _signed(kelvin: float) -> float:
    return round(kelvin, 2) + 0.0  # never -0.00
