"""The stored form of a recovery."""

import msgspec

from benchmeter.cooling.recovery import FitFailure, Phase, Recovery, RiseJudgement, StepFit
from benchmeter.quantities.estimate import Estimate

__all__ = ["StoredRecovery"]


class StoredEstimate(msgspec.Struct, frozen=True):
    value: float
    low: float
    high: float

    @classmethod
    def of(cls, estimate: Estimate) -> "StoredEstimate":
        return cls(value=estimate.value, low=estimate.low, high=estimate.high)

    def restored(self) -> Estimate:
        return Estimate(value=self.value, low=self.low, high=self.high)


class StoredStepFit(msgspec.Struct, frozen=True):
    initial: StoredEstimate
    final: StoredEstimate
    time_constant_s: StoredEstimate
    residual: float
    count: int

    @classmethod
    def of(cls, fit: StepFit) -> "StoredStepFit":
        return cls(
            initial=StoredEstimate.of(fit.initial),
            final=StoredEstimate.of(fit.final),
            time_constant_s=StoredEstimate.of(fit.time_constant_s),
            residual=fit.residual,
            count=fit.count,
        )

    def restored(self) -> StepFit:
        return StepFit(
            initial=self.initial.restored(),
            final=self.final.restored(),
            time_constant_s=self.time_constant_s.restored(),
            residual=self.residual,
            count=self.count,
        )


class StoredRecovery(msgspec.Struct, frozen=True, omit_defaults=True):
    time_ns: int
    phase: str
    power_ns: int | None
    start_ns: int | None
    fit: StoredStepFit | None
    fit_failure: str | None
    settled_k: StoredEstimate | None
    time_left_s: StoredEstimate | None
    discharge_k: float | None
    outdoor_k: float | None
    rise_k: StoredEstimate | None
    judgement: str
    stops: int = 0
    settled_ns: int | None = None

    @classmethod
    def of(cls, recovery: Recovery) -> "StoredRecovery":
        failure = recovery.fit_failure
        return cls(
            time_ns=recovery.time_ns,
            phase=recovery.phase.value,
            power_ns=recovery.power_ns,
            start_ns=recovery.start_ns,
            fit=None if recovery.fit is None else StoredStepFit.of(recovery.fit),
            fit_failure=None if failure is None else failure.value,
            settled_k=_stored(recovery.settled_k),
            time_left_s=_stored(recovery.time_left_s),
            discharge_k=recovery.discharge_k,
            outdoor_k=recovery.outdoor_k,
            rise_k=_stored(recovery.rise_k),
            judgement=recovery.judgement.value,
            stops=recovery.stops,
            settled_ns=recovery.settled_ns,
        )

    def restored(self) -> Recovery:
        """The recovery.

        Raises:
            ValueError: a value that no recovery can have.
        """
        return Recovery(
            time_ns=self.time_ns,
            phase=Phase(self.phase),
            power_ns=self.power_ns,
            start_ns=self.start_ns,
            fit=None if self.fit is None else self.fit.restored(),
            fit_failure=None if self.fit_failure is None else FitFailure(self.fit_failure),
            settled_k=_restored(self.settled_k),
            time_left_s=_restored(self.time_left_s),
            discharge_k=self.discharge_k,
            outdoor_k=self.outdoor_k,
            rise_k=_restored(self.rise_k),
            judgement=RiseJudgement(self.judgement),
            stops=self.stops,
            settled_ns=self.settled_ns,
        )


def _stored(estimate: Estimate | None) -> StoredEstimate | None:
    return None if estimate is None else StoredEstimate.of(estimate)


def _restored(estimate: StoredEstimate | None) -> Estimate | None:
    return None if estimate is None else estimate.restored()
