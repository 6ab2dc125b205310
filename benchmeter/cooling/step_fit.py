"""The first-order step response y(t) = final + (initial - final)·exp(-t/tau), fitted to readings.

Least squares by MINPACK's Levenberg-Marquardt. Time and values are scaled to 0 … 1, tau enters as
its logarithm. Without starting values of the caller the start comes from a grid of taus, where the
model is linear in the other two parameters; so there is no start to be unlucky with.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchmeter.cooling.least_squares import (
    GRID,
    LONGEST_TAU,
    changes,
    converged,
    grid,
    inverse_of,
    minimise,
    model,
    slopes_at,
)
from benchmeter.cooling.recovery import Estimate, FitFailure, StepFit

if TYPE_CHECKING:
    import numpy as np

    Array = np.ndarray[tuple[int, ...], np.dtype[np.float64]]

__all__ = ["FittedStep", "fit_step", "solve_step"]

WIDEST_FINAL = 1.0
"""A final value whose 95 % interval is wider than so many times the observed change is none."""

_MOST_CORRELATED = 0.98


@dataclass(frozen=True, slots=True)
class FittedStep:
    """A fit with all that a forecast needs.

    Attributes:
        fit: for people.
        initial, final, tau_s: the parameters.
        covariance: of (initial, final, tau); rows and columns of a held initial value are 0.
        quantile: Student's t for 95 %, two-sided.
    """

    fit: StepFit
    initial: float
    final: float
    tau_s: float
    covariance: tuple[tuple[float, float, float], ...]
    quantile: float


def fit_step(
    times_s: Sequence[float],
    values: Sequence[float],
    *,
    start: tuple[float, float, float] | None = None,
    initial: float | None = None,
    serial: bool = False,
) -> StepFit | FitFailure:
    """Fit a step response.

    Args:
        times_s: seconds since the step; `initial` is the value at 0. Any order.
        values: in any unit; NaN is a gap and is left out.
        start: (initial, final, tau in seconds) to start from, instead of the grid.
        initial: holds the initial value fixed.
        serial: widen the intervals for residuals that follow each other, see below.

    Returns:
        The fit, its 95 % intervals by Student's t with n - 3 degrees of freedom (n - 2 with
        `initial` held) from the linearised covariance; or why there is none:

        - TOO_FEW: fewer than two readings more than parameters, or none in the bend of the curve;
        - NO_CHANGE: a constant explains the readings as well (F test, 99.9 %);
        - TOO_SHORT: still a straight line: tau longer than 30 times the span, tau's interval
          reaches 0, or the interval of the final value is wider than `WIDEST_FINAL` times the
          observed change;
        - NOT_CONVERGED: anything else that would make a number untrue.

        With `serial` the standard errors are multiplied by sqrt((1 + r)/(1 - r)) and n by the
        inverse square of that, r being the lag-1 correlation of the residuals (first-order
        autoregression; from memory), so that drift does not pass for certainty.

    Raises:
        ValueError: lengths differ, a time is not finite, or a value is infinite.
    """
    found = solve_step(times_s, values, start=start, initial=initial, serial=serial)
    return found if isinstance(found, FitFailure) else found.fit


def solve_step(
    times_s: Sequence[float],
    values: Sequence[float],
    *,
    start: tuple[float, float, float] | None = None,
    initial: float | None = None,
    serial: bool = False,
) -> FittedStep | FitFailure:
    """As `fit_step`, with the covariance that forecasts need."""
    import numpy as np

    t = np.array(times_s, dtype=np.float64)
    y = np.array(values, dtype=np.float64)
    given = (*(start or ()), *(() if initial is None else (initial,)))
    if t.shape != y.shape or t.ndim != 1:
        raise ValueError("times and values must be two rows of equal length")
    if not np.isfinite(t).all() or np.isinf(y).any() or not all(map(math.isfinite, given)):
        raise ValueError("times must be finite, values finite or NaN")
    if start is not None and start[2] <= 0:
        raise ValueError("tau must be above 0")
    t, y = t[~np.isnan(y)], y[~np.isnan(y)]
    order = np.argsort(t, kind="stable")
    with np.errstate(all="ignore"):
        return _solve(t[order], y[order], start, initial, serial)


def _solve(
    t: "Array",
    y: "Array",
    start: tuple[float, float, float] | None,
    held: float | None,
    serial: bool,
) -> FittedStep | FitFailure:
    import numpy as np

    free = 3 if held is None else 2
    if len(y) < free + 2 or len(np.unique(t)) < free + 1:
        return FitFailure.TOO_FEW
    # A free initial value is fitted at the first reading, which keeps the problem well posed.
    first = float(t[0]) if held is None else 0.0
    span = float(np.max(np.abs(t - first)))
    low, high = float(y.min()), float(y.max())
    if held is not None:
        low, high = min(low, held), max(high, held)
    offset, scale = low / 2 + high / 2, high - low
    largest = max(abs(low), abs(high))
    if scale <= 1e-12 * largest:
        return FitFailure.NO_CHANGE
    if not (math.isfinite(scale) and math.isfinite(span) and scale > 1e-150 and span > 1e-150):
        return FitFailure.NOT_CONVERGED
    s, z = (t - first) / span, (y - offset) / scale
    fixed = None if held is None else (held - offset) / scale

    taus, costs, pairs = grid(s, z, fixed)
    best = int(np.argmin(costs))
    if not math.isfinite(float(costs[best])):
        return FitFailure.NOT_CONVERGED
    if not changes(z, fixed, float(costs[best]), free):
        return FitFailure.NO_CHANGE
    if best == GRID - 1:
        return FitFailure.TOO_SHORT
    if start is None:
        a, f = pairs[best]
        guess = [a, f, math.log(taus[best])]
    else:
        initial, final, tau = start
        a = final + (initial - final) * float(np.exp(-first / tau))
        guess = [(a - offset) / scale, (final - offset) / scale, math.log(tau / span)]
    solved = minimise(s, z, guess, fixed)
    if solved is None:
        return FitFailure.NOT_CONVERGED
    a, f, log_tau = solved
    jacobian = slopes_at(s, a, f, log_tau, fixed is None)
    residuals = model(s, a, f, log_tau) - z
    rss = float(np.sum(residuals * residuals))
    if rss > float(costs[best]) * (1 + 1e-6) + 1e-24 * len(z):
        return FitFailure.NOT_CONVERGED  # a valley beside the deepest one
    if math.exp(log_tau) > LONGEST_TAU:
        return FitFailure.TOO_SHORT
    if math.exp(log_tau) < float(taus[0]):
        return FitFailure.TOO_FEW
    inverse = inverse_of(jacobian)
    if inverse is None or not converged(jacobian, inverse, residuals, rss):
        return FitFailure.NOT_CONVERGED

    degrees, widening = float(len(z) - free), 1.0
    if serial:
        lag = float(np.sum(residuals[1:] * residuals[:-1])) / rss if rss > 0 else 0.0
        ratio = (1 + min(max(lag, 0.0), _MOST_CORRELATED)) / (1 - min(lag, _MOST_CORRELATED))
        ratio = max(ratio, 1.0)
        degrees = max(len(z) / ratio - free, 1.0)
        widening = ratio
    variance = rss / (len(z) - free)
    covariance = inverse * (variance * widening)
    return _for_people(
        (a, f, log_tau),
        covariance,
        held,
        first=first,
        span=span,
        offset=offset,
        scale=scale,
        deviation=math.sqrt(variance) * scale,
        degrees=degrees,
        times=(float(t[0]), float(t[-1])),
        count=len(z),
    )


def _for_people(
    solved: tuple[float, float, float],
    covariance: "Array",
    held: float | None,
    *,
    first: float,
    span: float,
    offset: float,
    scale: float,
    deviation: float,
    degrees: float,
    times: tuple[float, float],
    count: int,
) -> FittedStep | FitFailure:
    """Back to the units of the data, to t = 0, and the last tests of what can be known."""
    import numpy as np
    from scipy.special import stdtrit

    a, f, log_tau = solved
    tau = span * math.exp(log_tau)
    final = offset + scale * f
    back = float(np.exp(first / tau))
    initial = offset + scale * (f + (a - f) * back) if held is None else held
    # Rows: initial at t = 0, final, tau; columns: the fitted parameters.
    if held is None:
        to_people = np.array(
            [
                [scale * back, scale * (1 - back), -scale * (a - f) * back * first / tau],
                [0.0, scale, 0.0],
                [0.0, 0.0, tau],
            ]
        )
    else:
        to_people = np.array([[0.0, 0.0], [scale, 0.0], [0.0, tau]])
    c = np.einsum("ik,kl,jl->ij", to_people, covariance, to_people)
    quantile = float(stdtrit(degrees, 0.975))
    half = [quantile * math.sqrt(max(float(c[i, i]), 0.0)) for i in range(3)]
    numbers = (initial, final, tau, deviation, quantile, *half)
    if not (all(map(math.isfinite, numbers)) and np.isfinite(c).all() and tau > 0):
        return FitFailure.NOT_CONVERGED
    if half[2] >= tau:
        return FitFailure.TOO_SHORT if tau > span / 4 else FitFailure.TOO_FEW
    decays = [float(np.exp(-t / tau)) for t in times]
    observed = abs((initial - final) * (decays[0] - decays[1]))
    if not 2 * half[1] <= WIDEST_FINAL * observed:
        return FitFailure.TOO_SHORT
    fit = StepFit(
        initial=_estimate(initial, half[0]),
        final=_estimate(final, half[1]),
        time_constant_s=_estimate(tau, half[2]),
        residual=deviation,
        count=count,
    )
    if not all(
        math.isfinite(bound)
        for e in (fit.initial, fit.final, fit.time_constant_s)
        for bound in (e.low, e.high)
    ):
        return FitFailure.NOT_CONVERGED
    rows = tuple((float(r[0]), float(r[1]), float(r[2])) for r in c)
    return FittedStep(fit, initial, final, tau, rows, quantile)


def _estimate(value: float, half: float) -> Estimate:
    return Estimate(value, value - half, value + half)
