"""One channel as its readings come in: its state, its gaps, its function."""

from collections import deque

from msgspec.structs import replace

from benchmeter.errors import Message
from benchmeter.links.instruments.setup import ChannelSetup, Role
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.events import Event, EventKind
from benchmeter.readings.reading import Indication, Reading
from benchmeter.readings.resolution import DisplayResolution
from benchmeter.readings.status import Status
from benchmeter.session.acquisition.channel_state import ChannelState, ChannelStatus
from benchmeter.session.acquisition.frame_window import FrameWindow
from benchmeter.session.acquisition.measurements import Measurements
from benchmeter.session.acquisition.settle_window import SettleWindow

__all__ = ["ChannelTrack"]

_STALE_NS = 3_000_000_000
_LONGEST_STALE_NS = 30_000_000_000

_STATE_OF_STATUS = {
    Status.OVERLOAD: ChannelStatus.OVERLOAD,
    Status.WRONG_FUNCTION: ChannelStatus.WRONG_FUNCTION,
    Status.NO_CONTACT: ChannelStatus.NO_CONTACT,
    Status.NO_VALUE: ChannelStatus.NO_VALUE,
    Status.SUSPECT: ChannelStatus.SUSPECT,
}


class ChannelTrack:
    """Follows one channel. Deterministic: knows only the times that it is given.

    A reading is stale after 3 s, or after 4 of the channel's own intervals where it is slower
    (at most 30 s); a longer hole between two readings is a gap. The interval is the shorter of the
    last two, so that one hole does not hide the next. Where neither the setup nor the
    role says what the channel measures, the first function that the meter names is kept for the
    session: a turned knob is a wrong function, never another quantity in the same line. The
    bench's multimeter alone may be turned: each change of its function is an event, what was seen
    before does not count for settling, and every value belongs to the function of the last event.

    Args:
        measurements: counts them; None: lines are counted.
        as_text: whether numbers come as text: their digits need not be those of the display.
        counts: of the display at the end of each range; None: not told by the profile.
    """

    def __init__(
        self,
        setup: ChannelSetup,
        measurements: Measurements | None,
        *,
        as_text: bool = False,
        counts: int | None = None,
    ) -> None:
        self.name = setup.name
        self._as_text, self._counts = as_text, counts
        self._display = DisplayResolution(counts)
        self._learned: set[tuple[Quantity | None, float | None]] = set()
        self._quantity = setup.quantity or setup.role.quantity
        self._turns = setup.role is Role.METER and self._quantity is None
        self._unnamed = False
        self._measurements = measurements
        self._window = self._empty_window()
        self._state = ChannelStatus.WAITING
        self._since_ns = 0
        self._reading: Reading | None = None
        self._intervals_ns: deque[int] = deque(maxlen=2)
        self._broken = False
        self._reason: Message | None = None

    def indicate(
        self, indication: Indication, time_ns: int
    ) -> tuple[Reading, tuple[Event, ...], ChannelState]:
        """The instrument indicated something for this channel.

        Two readings in one chunk are 1 ns apart, so that none hides the other in the record.
        """
        if self._reading is not None:
            time_ns = max(time_ns, self._reading.time_ns + 1)
        events: list[Event] = []
        self._unnamed = self._turns and indication.quantity is None
        if self._is_news(indication.quantity):
            self._quantity = indication.quantity
            self._window = self._empty_window()
            self._display = DisplayResolution(self._counts)
            events.append(Event(EventKind.FUNCTION, time_ns, self.name, quantity=self._quantity))
        reading, learned = self._reading_of(indication, time_ns)
        if learned and (key := (self._quantity, reading.resolution)) not in self._learned:
            self._learned.add(key)
            events.append(
                Event(
                    EventKind.RESOLUTION_LEARNED,
                    time_ns,
                    self.name,
                    number=reading.resolution,
                    quantity=self._quantity,
                )
            )
        events.extend(self._gap_before(time_ns))
        if self._reading is not None and not self._broken:
            self._intervals_ns.append(time_ns - self._reading.time_ns)
        self._reading = reading
        self._broken = False
        measurements = self._measurements
        is_new = measurements is None or measurements.is_new(reading, self._quantity)
        self._window.add(reading, is_new=is_new)
        self._enter(self._state_now(reading), time_ns)
        return reading, tuple(events), self.state()

    def pass_time(self, time_ns: int) -> ChannelState | None:
        """Nothing came for this channel; a state if that changed its state."""
        if self._reading is None or self._state in (ChannelStatus.STALE, ChannelStatus.LOST):
            return None
        if time_ns - self._reading.time_ns <= self._stale_ns():
            return None
        self._break()
        self._enter(ChannelStatus.STALE, time_ns)
        return self.state()

    def lose(self, time_ns: int, reason: Message | None) -> ChannelState:
        """The link has gone."""
        self._break()
        self._broken = True
        self._reason = reason
        self._enter(ChannelStatus.LOST, time_ns)
        return self.state()

    def find(self, time_ns: int) -> ChannelState:
        """The link is there (again)."""
        self._reason = None
        self._enter(
            ChannelStatus.WAITING if self._reading is None else ChannelStatus.STALE, time_ns
        )
        return self.state()

    def break_line(self, time_ns: int) -> ChannelState:
        """Time jumped: how old the last reading is cannot be told, and nothing is joined to it."""
        self._broken = True
        self._break()
        if self._reading is not None and self._state is not ChannelStatus.LOST:
            self._enter(ChannelStatus.STALE, time_ns)
        return self.state()

    def state(self) -> ChannelState:
        return ChannelState(
            self.name,
            self._state,
            self._since_ns,
            self._reading,
            self._window.readings(),
            self._reason,
            None if self._unnamed else self._quantity,
            self._window.drift() if self._state is ChannelStatus.SETTLED else None,
            None if self._measurements is None else self._measurements.count,
        )

    def _empty_window(self) -> SettleWindow | FrameWindow:
        rule = FrameWindow if self._measurements is None else SettleWindow
        return rule(self._quantity)

    def _break(self) -> None:
        """What was seen before does not count, nor how long it was shown."""
        self._window.clear()
        if self._measurements is not None:
            self._measurements.broken()

    def _is_news(self, named: Quantity | None) -> bool:
        """Whether the function that the meter names is another than the one that is followed."""
        return named not in (None, self._quantity) and (self._turns or self._quantity is None)

    def _reading_of(self, indication: Indication, time_ns: int) -> tuple[Reading, bool]:
        """The reading, and whether its resolution was learned."""
        number, step, unit = indication.number, indication.step, indication.unit
        learned = False
        if indication.quantity not in (None, self._quantity):
            indication = replace(indication, number=None, status=Status.WRONG_FUNCTION)
        elif self._as_text and number is not None and step is not None and unit is not None:
            found, learned = self._display.of(number, step, unit)
            if found != step:
                indication = replace(indication, step=found)
        return Reading(self.name, time_ns, indication), learned

    def _gap_before(self, time_ns: int) -> tuple[Event, ...]:
        last = self._reading
        if last is None or not (self._broken or time_ns - last.time_ns > self._stale_ns()):
            return ()
        self._break()
        return (Event(EventKind.GAP, last.time_ns, self.name, until_ns=time_ns),)

    def _stale_ns(self) -> int:
        interval_ns = min(self._intervals_ns, default=0)
        return max(_STALE_NS, min(4 * interval_ns, _LONGEST_STALE_NS))

    def _state_now(self, reading: Reading) -> ChannelStatus:
        if reading.status is not Status.OK:
            return _STATE_OF_STATUS[reading.status]
        return ChannelStatus.SETTLED if self._window.settled() else ChannelStatus.MOVING

    def _enter(self, state: ChannelStatus, time_ns: int) -> None:
        if state is not self._state:
            self._state, self._since_ns = state, time_ns
