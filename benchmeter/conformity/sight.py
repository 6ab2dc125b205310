"""What the fold of a part check sees of its meter at one moment."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

__all__ = ["Sight", "SightState"]


class SightState(StrEnum):
    """State of the meter's channel, in the same words as `acquisition.pulse.PulseState`."""

    WAITING = "waiting"
    MOVING = "moving"
    SETTLED = "settled"
    OVERLOAD = "overload"
    WRONG_FUNCTION = "wrong function"
    NO_CONTACT = "no contact"
    NO_VALUE = "no value"
    SUSPECT = "suspect"
    STALE = "stale"
    LOST = "lost"


@dataclass(frozen=True, slots=True)
class Sight:
    """A channel as judging needs it; the chain makes it from a pulse.

    Attributes:
        value_f: last reading, farad, as shown (lead offset not subtracted); None without a value.
        resolution_f: worth of its last digit, farad; None if unknown.
        text: as the meter wrote it.
        window_f: the readings that the settle rule looks at, oldest first.
    """

    time_ns: int
    state: SightState
    value_f: Decimal | None
    resolution_f: Decimal | None
    text: str
    window_f: tuple[Decimal, ...] = ()
