"""A reading: what a channel showed at one moment, or why it showed nothing."""

from dataclasses import dataclass
from enum import StrEnum

from benchmeter.quantities.quantity import Quantity

__all__ = ["Garbled", "Indication", "Reading", "Status"]


class Status(StrEnum):
    """Whether there is a value, and if not, why not.

    OK and SUSPECT come with a value; all others without one.
    """

    OK = "ok"
    SUSPECT = "suspect"  # a value that the format lets through but that is not plausible
    OVERLOAD = "overload"  # OL, +9.9E37: above the range
    NO_VALUE = "no value"  # 9.91E37, dashes: the meter itself has nothing to show
    WRONG_FUNCTION = "wrong function"  # the meter is set to another quantity
    NO_CONTACT = "no contact"  # open probe

    @property
    def has_value(self) -> bool:
        return self in (Status.OK, Status.SUSPECT)


@dataclass(frozen=True, slots=True)
class Indication:
    """What a decoder found in the bytes (VIM 4.1): no time, no channel yet.

    Attributes:
        field: which value of the frame or line, as named by the profile; "" if there is one only.
        quantity: what the meter says it measures; None if the format does not say.
        value: in SI (kelvin for temperatures), correctly rounded from the decimal text; None
            unless `status.has_value`.
        status: see Status.
        resolution: value of the last shown digit, in SI; None if the format does not tell.
        text: as the meter wrote it, for people: "44.10 µF", "+4.41000E-05".
    """

    field: str
    quantity: Quantity | None
    value: float | None
    status: Status
    resolution: float | None
    text: str


@dataclass(frozen=True, slots=True)
class Garbled:
    """Bytes that were dropped since they are no valid frame: counted and shown, never a value.

    Attributes:
        reason: in the user's words: "check sum is wrong".
        data: the bytes that were dropped.
    """

    reason: str
    data: bytes


@dataclass(frozen=True, slots=True)
class Reading:
    """What a channel showed at one moment.

    Attributes:
        channel: the channel's name.
        time_ns: monotonic time since the session's start when the bytes arrived.
        value, status, resolution, text: as in Indication.
    """

    channel: str
    time_ns: int
    value: float | None
    status: Status
    resolution: float | None
    text: str
