"""What the fold of a part check sees of its meter at one moment."""

from dataclasses import dataclass
from decimal import Decimal

from benchmeter.readings.pulse_state import PulseState
from benchmeter.readings.quantities import Quantity

__all__ = ["Sight"]


@dataclass(frozen=True, slots=True)
class Sight:
    """A channel as judging needs it; the chain makes it from a pulse.

    Attributes:
        value_si: last reading, SI, as shown (lead offset not subtracted); None without a value.
        resolution_si: worth of its last digit, SI; None if unknown.
        text: as the meter wrote it.
        quantity: what the meter says that it measures; None if it does not say.
        window_si: the readings that the settle rule looks at, oldest first.
    """

    time_ns: int
    state: PulseState
    value_si: Decimal | None
    resolution_si: Decimal | None
    text: str
    window_si: tuple[Decimal, ...] = ()
    quantity: Quantity | None = None
