"""The values that watching a recovery gives."""

from dataclasses import dataclass
from enum import StrEnum

from benchmeter.quantities.estimate import Estimate

__all__ = ["Estimate", "FitFailure", "Phase", "Recovery", "RiseJudgement", "StepFit"]


class FitFailure(StrEnum):
    """Why there is no fit."""

    TOO_FEW = "too few readings"
    TOO_SHORT = "too early"  # the curve is still a straight line
    NOT_CONVERGED = "did not converge"
    NO_CHANGE = "no change"


@dataclass(frozen=True, slots=True)
class StepFit:
    """First-order step response y(t) = final + (initial - final)·exp(-t/tau), fitted.

    Attributes:
        initial, final: in the unit of the data (kelvin in a session).
        time_constant_s: tau.
        residual: standard deviation of the residuals, n - 3 degrees of freedom.
        count: number of points.
    """

    initial: Estimate
    final: Estimate
    time_constant_s: Estimate
    residual: float
    count: int


class Phase(StrEnum):
    """Where the recovery stands."""

    NO_READINGS = "no readings"
    WAITING = "waiting"  # neither power nor a rise has been seen
    HELD_OFF = "held off"  # power is back, a restart delay may run: no rise is no fault yet
    NO_START = "no start"  # longer than any usual restart delay
    RISING = "rising"  # started, not settled
    SETTLED = "settled"
    STOPPED = "stopped"  # it rose, and has fallen back by more than half


class RiseJudgement(StrEnum):
    """Settled rise over outdoor air against 15-30 °F (common practice, no source)."""

    USUAL = "usual"
    TOO_SMALL = "too small"
    TOO_LARGE = "too large"
    NOT_YET = "not yet"  # not settled
    CLOSE = "close"  # the interval crosses a limit
    NO_OUTDOOR = "no outdoor"


@dataclass(frozen=True, slots=True)
class Recovery:
    """The state of a recovery at `time_ns`.

    Attributes:
        power_ns: when power was restored, if told.
        start_ns: when the rise began, if seen.
        fit, fit_failure, time_left_s: forecasts of older records; none is made any more.
        settled_k: what will hold, while SETTLED (`cooling.horizon`); in older records a forecast.
        discharge_k, outdoor_k: means of the last readings.
        rise_k: settled discharge over outdoor, a difference.
        judgement: of the rise.
        stops: how often it has stopped since power was restored.
        settled_ns: since when it has been SETTLED; None if not, and in older records.
    """

    time_ns: int
    phase: Phase
    power_ns: int | None
    start_ns: int | None
    fit: StepFit | None
    fit_failure: FitFailure | None
    settled_k: Estimate | None
    time_left_s: Estimate | None
    discharge_k: float | None
    outdoor_k: float | None
    rise_k: Estimate | None
    judgement: RiseJudgement
    stops: int = 0
    settled_ns: int | None = None
