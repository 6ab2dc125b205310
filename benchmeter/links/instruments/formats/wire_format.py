"""What every wire format is, and what their files share."""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Generic, Literal, TypeVar

import msgspec

from benchmeter.errors import Message
from benchmeter.links.decoders.decoder import Decoder
from benchmeter.links.decoders.shown_number import base_unit
from benchmeter.links.ports.source import Conversation
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.units import Unit, find_unit, to_si
from benchmeter.readings.gate import ShownField

__all__ = [
    "ChannelOfProfile",
    "LineSettings",
    "ProfileTable",
    "WireFormat",
    "asking_faults",
    "field_of",
    "message_fault",
]


class ProfileTable(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A table of a profile's file."""


class LineSettings(ProfileTable, frozen=True, kw_only=True):
    """How the port is set up. `settle_ms`: wait after opening, then drop what came."""

    baud: int = 9600
    data_bits: Literal[5, 6, 7, 8] = 8
    parity: Literal["none", "even", "odd"] = "none"
    stop_bits: Literal[1, 2] = 1
    flow: Literal["none", "xon/xoff", "rts/cts", "dtr/dsr"] = "none"
    dtr: bool | None = None
    rts: bool | None = None
    settle_ms: int = 0


class ChannelOfProfile(ProfileTable, frozen=True, kw_only=True):
    """One value that the instrument delivers.

    Attributes:
        field: as the wire format names it; "" where there is one value only.
        quantity: what it measures; absent where the meter says so itself.
        unit: unit of the number on the wire, where the format does not carry it. Absent with
            SCPI: the base unit, °C for a temperature, % for a duty cycle.
        accuracy: "1.2 % + 2 x 0.1 uF"; of several functions and ranges, parted by semicolons or
            on lines of their own: "capacitance 1.2 % + 2 counts; resistance up to 600 ohm
            0.8 % + 5 counts"; "" if not known.
        lowest, highest: plausible range, in `unit`; outside it a reading is suspect.
        doubtful: numbers in `unit` that are suspect wherever they appear: many digital probes
            show exactly 85 °C after power-up (Linux kernel documentation of w1_therm).
        counts: at the end of each range of a display that chooses its range itself: 6000. Absent:
            learned where the digits of the text cannot be the display's.
        conversion_ms: how long one measurement takes, by function, from the manual; it is learned
            of those that are absent.
    """

    field: str = ""
    quantity: Quantity | None = None
    unit: str = ""
    accuracy: str = ""
    lowest: float | None = None
    highest: float | None = None
    doubtful: tuple[float, ...] = ()
    counts: int | None = None
    conversion_ms: dict[Quantity, int] = msgspec.field(default_factory=dict)


_T = TypeVar("_T", bound=ProfileTable)


@dataclass(frozen=True, slots=True)
class WireFormat(Generic[_T]):
    """A wire format as the program knows it.

    Attributes:
        table: its table `[format]` in a profile, with a tag of its own.
        decoder: a fresh one for one link.
        conversation: what is to be said from the opening of the link on.
        faults: what does not hold together in the table and the channels.
        as_text: whether numbers come as text, whose digits need not be those of the display.
        untold_conversion_ms: how long one measurement may take, until it is known. A display that
            is sent again and again must then be seen for four seconds until it has settled: few
            meters of the trade measure as long (common practice, no source).
    """

    table: type[_T]
    decoder: Callable[[_T, tuple[ChannelOfProfile, ...]], Decoder]
    conversation: Callable[[_T, LineSettings], Conversation]
    faults: Callable[[_T, tuple[ChannelOfProfile, ...]], Iterator[Message]]
    as_text: bool = False
    untold_conversion_ms: Callable[[_T], int] = lambda table: 1_000


def asking_faults(period_ms: int, timeout_ms: int = 1) -> Iterator[Message]:
    """Of the times between questions."""
    if not 0 < period_ms <= 3_600_000:
        yield Message(
            "instruments.between", {"field": "format.period_ms", "low": 1, "high": 3_600_000}
        )
    if not 0 < timeout_ms <= 60_000:
        yield Message(
            "instruments.between", {"field": "format.timeout_ms", "low": 1, "high": 60_000}
        )


def message_fault(name: str, message: str) -> Iterator[Message]:
    """Of a message that is sent."""
    if not message.isascii() or re.search(r"[\r\n]", message):
        yield Message("instruments.ascii_line", {"field": f"format.{name}"})


def field_of(channel: ChannelOfProfile) -> ShownField:
    """A channel as its decoder needs it; limits in SI."""
    unit: Unit | None = None
    if channel.unit:
        unit = find_unit(channel.unit, channel.quantity.kind if channel.quantity else "")
    limits = unit or (base_unit(channel.quantity) if channel.quantity else None)

    def si(limit: float | None) -> float | None:
        return None if limit is None or limits is None else to_si(Decimal(repr(limit)), limits)

    return ShownField(
        channel.field,
        channel.quantity,
        unit,
        si(channel.lowest),
        si(channel.highest),
        tuple(value for value in map(si, channel.doubtful) if value is not None),
    )
