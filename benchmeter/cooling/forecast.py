"""What a fitted step response says of the time to come, with 95 % intervals.

An interval joins two doubts: that of the fit, from its covariance by linear propagation
(JCGM 100:2008 5.1.2), and that of the law: no machine is purely first-order and outdoor air sways,
so a fifth of the way that is still to go is doubtful (our own choice).
"""

import math
from collections.abc import Callable

from benchmeter.cooling.recovery import Estimate
from benchmeter.cooling.step_fit import FittedStep

__all__ = ["LAW_DOUBT", "final_value", "remaining", "time_when_settled", "value_at"]

LAW_DOUBT = 0.2

_Law = Callable[[float, float, float], float]


def value_at(step: FittedStep, time_s: float) -> float:
    """y(time_s), seconds since the step."""
    return step.final + (step.initial - step.final) * _decay(time_s, step.tau_s)


def remaining(step: FittedStep, time_s: float) -> Estimate:
    """final - y(time_s): how far it has still to go, signed."""

    def law(initial: float, final: float, tau: float) -> float:
        return (final - initial) * _decay(time_s, tau)

    value = law(step.initial, step.final, step.tau_s)
    return _estimate(value, _propagated(step, law), LAW_DOUBT * value)


def final_value(step: FittedStep, time_s: float) -> Estimate:
    """The final value as it can be known at `time_s`."""
    to_go = (step.final - step.initial) * _decay(time_s, step.tau_s)
    fitted = step.fit.final
    return _estimate(fitted.value, fitted.high - fitted.value, LAW_DOUBT * to_go)


def time_when_settled(
    step: FittedStep, *, span: float, window_s: float, remains: float
) -> Estimate | None:
    """When both hold: the trailing window's span is below `span`, the difference below `remains`.

    Seconds since the step; None if the numbers go out of range.
    """

    def law(initial: float, final: float, tau: float) -> float:
        size = math.log(abs(final - initial))
        grown = window_s / tau + math.log1p(-math.exp(-window_s / tau))  # ln(exp(w/tau) - 1)
        return tau * max(size + grown - math.log(span), size - math.log(remains))

    if step.initial == step.final:
        return None
    value = law(step.initial, step.final, step.tau_s)
    found = _estimate(value, _propagated(step, law), step.tau_s * math.log1p(LAW_DOUBT))
    return found if all(map(math.isfinite, (found.value, found.low, found.high))) else None


def _decay(time_s: float, tau: float) -> float:
    return math.exp(max(min(-time_s / tau, 700.0), -745.0))


def _estimate(value: float, half: float, doubt: float) -> Estimate:
    half = math.hypot(half, doubt)
    return Estimate(value, value - half, value + half)


def _propagated(step: FittedStep, law: _Law) -> float:
    """Half of the 95 % interval that the fit's covariance gives to `law`."""
    at = (step.initial, step.final, step.tau_s)
    size = abs(step.final - step.initial) * 1e-6
    slopes = []
    for i, width in enumerate((size, size, step.tau_s * 1e-6)):
        up, down = list(at), list(at)
        up[i] += width
        down[i] -= width
        slopes.append((law(*up) - law(*down)) / (2 * width) if width else 0.0)
    variance = sum(
        slopes[i] * step.covariance[i][j] * slopes[j] for i in range(3) for j in range(3)
    )
    return step.quantile * math.sqrt(max(variance, 0.0))
