"""Least squares for the step response in scaled time and values, and what its solution is worth.

`curve_fit` calls the same MINPACK, and hides why there is no answer: the status, the readings that
do not determine a parameter, the offset left; and BLAS would change its last bits with the threads.
"""

import math
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np

    Array = np.ndarray[tuple[int, ...], np.dtype[np.float64]]

__all__ = [
    "GRID",
    "LONGEST_TAU",
    "changes",
    "converged",
    "grid",
    "inverse_of",
    "minimise",
    "model",
    "slopes_at",
]

LONGEST_TAU = 30.0  # in spans of the data: beyond that a curve cannot be told from a line
GRID = 40
_NO_CHANGE_CONFIDENCE = 0.999
_RELATIVE_OFFSET = 1e-3  # Bates and Watts (1981): converged when below


def model(s: "Array", a: float, f: float, log_tau: float) -> "Array":
    import numpy as np

    return f + (a - f) * np.exp(-s * math.exp(-log_tau))


def slopes_at(s: "Array", a: float, f: float, log_tau: float, free: bool) -> "Array":
    import numpy as np

    scaled = s * math.exp(-log_tau)
    decay = np.exp(-scaled)
    columns = [1 - decay, (a - f) * decay * scaled]
    return np.stack([decay, *columns] if free else columns, axis=1)


def grid(
    s: "Array", z: "Array", fixed: float | None
) -> tuple["Array", "Array", list[tuple[float, float]]]:
    """For each tau of the grid: sum of squares and the best (value at s = 0, final)."""
    import numpy as np

    steps = np.diff(np.unique(s))
    taus = np.geomspace(max(float(steps.min()) / 4, 1e-6), LONGEST_TAU, GRID)
    decay = np.exp(-s[:, None] / taus[None, :])
    n = float(len(s))
    if fixed is None:
        mean_d, mean_z = decay.sum(axis=0) / n, float(z.sum()) / n
        d, w = decay - mean_d, (z - mean_z)[:, None]
        slope = (d * w).sum(axis=0) / (d * d).sum(axis=0)  # = a - f
        final = mean_z - slope * mean_d
        initial = final + slope
    else:
        rise = 1 - decay
        slope = -(rise * (z - fixed)[:, None]).sum(axis=0) / (rise * rise).sum(axis=0)
        final = fixed - slope
        initial = np.full_like(final, fixed)
    misfit = final + slope * decay - z[:, None]
    costs = (misfit * misfit).sum(axis=0)
    costs[~np.isfinite(costs)] = np.inf
    return taus, costs, list(zip(initial.tolist(), final.tolist(), strict=True))


def changes(z: "Array", fixed: float | None, rss: float, free: int) -> bool:
    """Whether a constant (or the held initial value) is refuted by the F test."""
    import numpy as np
    from scipy.special import fdtri

    level = float(z.sum()) / len(z) if fixed is None else fixed
    constant = float(np.sum((z - level) ** 2))
    degrees = len(z) - free
    limit = float(fdtri(2, degrees, _NO_CHANGE_CONFIDENCE))
    return (constant - rss) / 2 > limit * rss / degrees


def minimise(
    s: "Array", z: "Array", guess: list[float], fixed: float | None
) -> tuple[float, float, float] | None:
    from scipy.optimize import least_squares

    def whole(p: "Array") -> tuple[float, float, float]:
        if fixed is None:
            return float(p[0]), float(p[1]), float(p[2])
        return fixed, float(p[0]), float(p[1])

    def misfit(p: "Array") -> "Array":
        return _bounded(model(s, *_tame(whole(p)))) - z

    def slopes(p: "Array") -> "Array":
        return _bounded(slopes_at(s, *_tame(whole(p)), fixed is None))

    begin = guess if fixed is None else guess[1:]
    if not all(map(math.isfinite, begin)):
        return None
    try:
        found = least_squares(
            misfit, begin, jac=slopes, method="lm", xtol=1e-12, ftol=1e-14, gtol=1e-14, max_nfev=300
        )
    except (ValueError, OverflowError):  # left the numbers on the way
        return None
    solved = whole(found.x)
    if found.status <= 0 or not all(map(math.isfinite, solved)) or abs(solved[2]) > 300:
        return None
    return solved


def _tame(p: tuple[float, float, float]) -> tuple[float, float, float]:
    return p[0], p[1], min(max(p[2], -300.0), 300.0)


def _bounded(numbers: "Array") -> "Array":
    import numpy as np

    return np.clip(np.nan_to_num(numbers, nan=1e100, posinf=1e100, neginf=-1e100), -1e100, 1e100)


def inverse_of(jacobian: "Array") -> "Array | None":
    """(JᵀJ)⁻¹, or None if the readings do not determine each parameter."""
    import numpy as np

    columns = range(jacobian.shape[1])
    # Plain sums, not BLAS: the same bits whatever the number of threads.
    normal = np.array(
        [[float(np.sum(jacobian[:, i] * jacobian[:, j])) for j in columns] for i in columns]
    )
    diagonal = np.sqrt(np.diag(normal))
    if not np.isfinite(normal).all() or (diagonal < 1e-12).any():
        return None
    scaled = normal / np.outer(diagonal, diagonal)
    if np.linalg.cond(scaled) > 1e12:
        return None
    inverse = np.linalg.inv(scaled) / np.outer(diagonal, diagonal)
    return inverse if np.isfinite(inverse).all() and (np.diag(inverse) > 0).all() else None


def converged(jacobian: "Array", inverse: "Array", residuals: "Array", rss: float) -> bool:
    """Relative offset criterion of Bates and Watts; exact data have nothing left to offset."""
    import numpy as np

    if rss <= 1e-20 * len(residuals):
        return True
    gradient = np.array(
        [float(np.sum(jacobian[:, i] * residuals)) for i in range(jacobian.shape[1])]
    )
    explained = float(
        sum(gradient[i] * float(np.sum(inverse[i] * gradient)) for i in range(len(gradient)))
    )
    return math.sqrt(max(explained, 0.0) / rss) < _RELATIVE_OFFSET
