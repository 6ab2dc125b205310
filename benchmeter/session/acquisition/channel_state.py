"""The state of a channel: what it shows, how old that is, and whether it holds still."""

from dataclasses import dataclass

from benchmeter.checking.meter_state import Drift
from benchmeter.errors import Message
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.channel_status import ChannelStatus
from benchmeter.readings.events import Event
from benchmeter.readings.reading import Reading

__all__ = ["Batch", "ChannelState", "ChannelStatus"]


@dataclass(frozen=True, slots=True)
class ChannelState:
    """The state of one channel.

    Attributes:
        since_ns: when this state began.
        reading: the last one; None before the first.
        window: the last readings that the settle rule asks for, oldest first; all OK.
        reason: for LOST, as far as known.
        drift: of a settled one; None: it was watched long enough.
        measured: how many measurements there have been; None: lines are counted, not measurements.
        quantity: what is measured; of the bench's multimeter what it says with its last reading.
            None: not told (yet).
    """

    channel: str
    state: ChannelStatus
    since_ns: int
    reading: Reading | None
    window: tuple[Reading, ...] = ()
    reason: Message | None = None
    quantity: Quantity | None = None
    drift: Drift | None = None
    measured: int | None = None


@dataclass(frozen=True, slots=True)
class Batch:
    """What one input of the stream gave.

    `states` holds the channels whose state this input touched, changed or not.
    """

    time_ns: int
    readings: tuple[Reading, ...] = ()
    events: tuple[Event, ...] = ()
    states: tuple[ChannelState, ...] = ()
