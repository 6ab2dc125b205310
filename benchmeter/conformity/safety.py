"""Is the part safe to touch? By measurement, not by a tick box."""

from dataclasses import dataclass

__all__ = ["SAFE_BELOW_V", "MadeSafe"]

SAFE_BELOW_V = 5.0
"""A residual DC voltage below this may be touched (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class MadeSafe:
    """The residual voltage last seen.

    Attributes:
        time_ns: when.
        residual_v: DC volts; None where the meter showed no value.
        typed: typed in by hand, not measured.
    """

    time_ns: int
    residual_v: float | None
    typed: bool

    @property
    def safe(self) -> bool:
        return self.residual_v is not None and abs(self.residual_v) < SAFE_BELOW_V
