"""What a fitted step response says of the time to come, with 95 % intervals.

Intervals follow from the fit's covariance by linear propagation (JCGM 100:2008 5.1.2).
"""

import math
from collections.abc import Callable

from benchmeter.cooling.recovery import Estimate
from benchmeter.cooling.step_fit import FittedStep

__all__ = ["remaining", "time_when_settled", "value_at"]

_Law = Callable[[float, float, float], float]


def value_at(step: FittedStep, time_s: float) -> float:
    """y(time_s), seconds since the step."""
    return step.final + (step.initial - step.final) * _decay(time_s, step.tau_s)


def remaining(step: FittedStep, time_s: float) -> Estimate:
    """final - y(time_s): how far it has still to go, signed."""
    return _propagated(
        step, lambda initial, final, tau: (final - initial) * _decay(time_s, tau), step.tau_s * 1e-6
    )


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
    found = _propagated(step, law, step.tau_s * 1e-6)
    return found if all(map(math.isfinite, (found.value, found.low, found.high))) else None


def _decay(time_s: float, tau: float) -> float:
    return math.exp(max(min(-time_s / tau, 700.0), -745.0))


def _propagated(step: FittedStep, law: _Law, tau_step: float) -> Estimate:
    at = (step.initial, step.final, step.tau_s)
    size = abs(step.final - step.initial) * 1e-6
    slopes = []
    for i, width in enumerate((size, size, tau_step)):
        up, down = list(at), list(at)
        up[i] += width
        down[i] -= width
        slopes.append((law(*up) - law(*down)) / (2 * width) if width else 0.0)
    variance = sum(
        slopes[i] * step.covariance[i][j] * slopes[j] for i in range(3) for j in range(3)
    )
    half = step.quantile * math.sqrt(max(variance, 0.0))
    value = law(*at)
    return Estimate(value, value - half, value + half)
