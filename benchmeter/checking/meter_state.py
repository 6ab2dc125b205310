"""What the fold of a part check sees of its meter at one moment."""

from dataclasses import dataclass
from decimal import Decimal
from typing import NamedTuple

from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.channel_status import ChannelStatus

__all__ = ["Drift", "MeterState"]


class Drift(NamedTuple):
    """How fast a reading may be moving at most, SI a second: `fall` below zero, `rise` above."""

    fall: float
    rise: float


@dataclass(frozen=True, slots=True)
class MeterState:
    """A channel as judging needs it; the chain makes it from a pulse.

    Attributes:
        value_si: last reading, SI, as shown (lead offset not subtracted); None without a value.
        resolution_si: worth of its last digit, SI; None if unknown.
        text: as the meter wrote it.
        quantity: what the meter says that it measures; None if it does not say.
        window_si: the readings that have settled, oldest first; none while it moves.
        measured: number of the last measurement: repeated lines are one; None: in sessions whose
            lines were counted, and each of them is evidence enough.
        drift: of a settled reading; None: it was watched long enough.
    """

    time_ns: int
    state: ChannelStatus
    value_si: Decimal | None
    resolution_si: Decimal | None
    text: str
    window_si: tuple[Decimal, ...] = ()
    quantity: Quantity | None = None
    measured: int | None = None
    drift: Drift | None = None
