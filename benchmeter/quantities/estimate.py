"""A value that is known within an interval."""

from dataclasses import dataclass

__all__ = ["Estimate"]


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value with its 95 % interval; unit as the field that holds it says."""

    value: float
    low: float
    high: float
