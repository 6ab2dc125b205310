"""The charge on the part in hand, from voltmeter, typed volts and power."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from benchmeter.checking.channel_roles import ChannelRoles
from benchmeter.checking.commands import PowerRestored, TakeVolts, TypeReading
from benchmeter.checking.part_check import PartCheck
from benchmeter.checking.safety import PartSafety, SafetyWatch
from benchmeter.errors import InputError
from benchmeter.links.instruments.setup import Role
from benchmeter.readings.channel_status import ChannelStatus
from benchmeter.readings.events import Event, EventKind
from benchmeter.readings.reading import Reading
from benchmeter.readings.status import Status
from benchmeter.session.acquisition.channel_state import ChannelState
from benchmeter.session.analysis import Moment
from benchmeter.session.analyzers.part_check_analyzer import PartFinding
from benchmeter.session.outcome import Finding
from benchmeter.session.typed_in import typed_volts

__all__ = ["SafetyAnalyzer", "SafetyFinding"]

_FRESH = (ChannelStatus.MOVING, ChannelStatus.SETTLED)


@dataclass(frozen=True, slots=True)
class SafetyFinding(Finding):
    """What is known of the charge on the part in hand."""

    part: PartSafety


class SafetyAnalyzer:
    """Feeds a `SafetyWatch`; that another part is in hand, the check of it tells the watch."""

    def __init__(self, roles: ChannelRoles, watch: SafetyWatch) -> None:
        self._roles = roles
        self._watch = watch
        self._told = watch.part

    def take(self, moment: Moment) -> Iterable[Event]:
        parts = moment.last(PartFinding)
        check = None if parts is None else parts.check
        for reading in moment.readings:
            state = moment.states.get(reading.channel)
            if state is not None and self._shows_charge(state, check):
                self._see(reading)
        match moment.item:
            case TakeVolts():
                self._watch.taken(moment.time_ns, self._volts(moment.states, check))
            case TypeReading(channel=channel, text=text) if (
                self._roles.typed_role(channel) is Role.RESIDUAL
            ):
                self._watch.typed(moment.time_ns, typed_volts(text))
                return [Event(EventKind.TYPED, moment.time_ns, channel, text)]
            case PowerRestored():
                self._watch.power_restored(moment.time_ns)
                return [Event(EventKind.POWER_RESTORED, moment.time_ns)]
        return []

    def finding(self) -> SafetyFinding | None:
        told, self._told = self._told, self._watch.part
        return None if self._told is told else SafetyFinding(self._told)

    def _shows_charge(self, state: ChannelState, check: PartCheck | None) -> bool:
        return self._roles.shows_charge(state.channel, state.quantity, check)

    def _see(self, reading: Reading) -> None:
        if reading.status is Status.OK and reading.value is not None:
            self._watch.measured(reading.time_ns, reading.value)
        elif reading.status is Status.OVERLOAD:
            self._watch.overloaded(reading.time_ns)

    def _volts(self, states: Mapping[str, ChannelState], check: PartCheck | None) -> float:
        shown = (s for s in states.values() if self._shows_charge(s, check))
        state = next(shown, None)
        reading = state.reading if state is not None else None
        fresh = state is not None and state.state in _FRESH
        if not fresh or reading is None or reading.value is None:
            raise InputError("sessions.no_volts_shown")
        return reading.value
