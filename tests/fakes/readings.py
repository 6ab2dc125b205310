"""Readings by their SI values, for tests that do not care in which unit a meter showed them."""

from dataclasses import dataclass
from decimal import Decimal

from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.units import Unit
from benchmeter.readings.reading import Indication, Reading
from benchmeter.readings.status import Status

__all__ = ["InSi", "reading_in_si"]

_SI = Unit("", "", Decimal(1), "")


def reading_in_si(
    channel: str,
    time_ns: int,
    value: float | None,
    status: Status = Status.OK,
    resolution: float | None = None,
    text: str = "",
) -> Reading:
    """A reading of a meter that shows SI units."""
    number, step = (None if n is None else Decimal(repr(float(n))) for n in (value, resolution))
    return Reading(channel, time_ns, Indication("", None, number, _SI, status, step, text))


@dataclass(frozen=True, eq=False)
class InSi:
    """What an indication says in SI; equal to each that says the same."""

    field: str
    quantity: Quantity | None
    value: float | None
    status: Status
    resolution: float | None
    text: str

    def __eq__(self, other: object) -> bool:
        names = ("field", "quantity", "value", "status", "resolution", "text")
        return isinstance(other, Indication) and all(
            getattr(self, name) == getattr(other, name) for name in names
        )

    __hash__ = None  # type: ignore[assignment]
