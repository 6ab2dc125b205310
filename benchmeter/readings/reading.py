"""A reading: what a channel showed at one moment, or why it showed nothing."""

from dataclasses import dataclass
from decimal import Decimal

import msgspec
from msgspec.structs import force_setattr

from benchmeter.errors import Message
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.units import Unit, exact_si, exact_span_si, span_to_si, to_si
from benchmeter.readings.status import Status

__all__ = ["Garbled", "Indication", "Reading"]


class Indication(msgspec.Struct, frozen=True, gc=False):
    """What an instrument showed (VIM 4.1), exact: no time, no channel.

    Attributes:
        field: which value of the frame or line, as named by the profile; "" if there is one only.
        quantity: what the meter says it measures; None if the format does not say.
        number: as shown; None unless `status.has_value`.
        unit: of `number` and `step`; None where neither is known.
        status: see Status.
        step: what the last shown digit is worth, in `unit`; None if the format does not tell.
        text: as the meter wrote it, for people: "44.10 µF", "+4.41000E-05".
        value: in SI (kelvin for temperatures), rounded once; None without a number. Made here, as
            is the next: whatever is given is replaced.
        resolution: of the display (VIM 4.15) in SI; None without a step.
    """

    field: str
    quantity: Quantity | None
    number: Decimal | None
    unit: Unit | None
    status: Status
    step: Decimal | None
    text: str
    value: float | None = None
    resolution: float | None = None

    def __post_init__(self) -> None:
        value = resolution = None
        if self.unit is not None:
            value = None if self.number is None else to_si(self.number, self.unit)
            resolution = None if self.step is None else span_to_si(self.step, self.unit)
        force_setattr(self, "value", value)
        force_setattr(self, "resolution", resolution)

    @property
    def value_si(self) -> Decimal | None:
        """The value in SI; exact, where the unit is a decimal part of SI."""
        if self.number is None or self.unit is None:
            return None
        return exact_si(self.number, self.unit)

    @property
    def resolution_si(self) -> Decimal | None:
        """The resolution in SI, as exact as the value."""
        if self.step is None or self.unit is None:
            return None
        return exact_span_si(self.step, self.unit)


@dataclass(frozen=True, slots=True)
class Garbled:
    """Bytes that were dropped since they are no valid frame: counted and shown, never a value.

    Attributes:
        reason: what is wrong with it.
        data: the bytes that were dropped.
    """

    reason: Message
    data: bytes


class Reading(msgspec.Struct, frozen=True, gc=False):
    """What a channel showed at one moment.

    Attributes:
        channel: the channel's name.
        time_ns: monotonic time since the session's start when the bytes arrived.
        shown: see Indication; the properties below are its own.
    """

    channel: str
    time_ns: int
    shown: Indication

    @property
    def value(self) -> float | None:
        return self.shown.value

    @property
    def value_si(self) -> Decimal | None:
        return self.shown.value_si

    @property
    def status(self) -> Status:
        return self.shown.status

    @property
    def resolution(self) -> float | None:
        return self.shown.resolution

    @property
    def resolution_si(self) -> Decimal | None:
        return self.shown.resolution_si

    @property
    def text(self) -> str:
        return self.shown.text
