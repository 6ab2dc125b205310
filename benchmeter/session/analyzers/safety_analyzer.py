"""The volts on the part in hand, from voltmeter, typed volts and power."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from benchmeter.checking.channel_roles import ChannelRoles, VoltsOf
from benchmeter.checking.commands import PowerRestored, ProveMeter, TakeVolts, TypeReading
from benchmeter.checking.part_check import PartCheck
from benchmeter.checking.safety import PROVES_FROM_V, SAFE_BELOW_V, PartSafety, SafetyWatch
from benchmeter.errors import InputError
from benchmeter.links.instruments.setup import Role
from benchmeter.quantities.quantity import Quantity
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
_LOST = (ChannelStatus.LOST, ChannelStatus.STALE)
_VOLTMETERS = (Role.RESIDUAL, Role.METER)


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
        events = []
        for reading in moment.readings:
            # What this reading says, and not what the meter is set to when the moment is over.
            state = moment.states.get(reading.channel)
            measures = reading.shown.quantity or (None if state is None else state.quantity)
            of = self._roles.volts_of(reading.channel, measures, check)
            if self._see(reading, of):
                events.append(_proof(reading.time_ns, reading.value, of, ""))
        for state in moment.touched:
            role = self._roles.role_of(state.channel)
            # A voltmeter for DC that is set to something else watches no longer.
            other = role is Role.RESIDUAL and state.state is ChannelStatus.WRONG_FUNCTION
            if other or (role in _VOLTMETERS and state.state in _LOST):
                self._watch.contact_lost()
        match moment.item:
            case TakeVolts():
                volts, of, channel = self._shown(moment.states, check)
                ac = of is VoltsOf.SUPPLY
                self._watch.taken(moment.time_ns, volts, ac=ac, channel=channel)
            case ProveMeter(text=text):
                events += self._prove(moment, text, check)
            case TypeReading(channel=channel, text=text) if (
                self._roles.typed_role(channel) is Role.RESIDUAL
            ):
                volts, ac = typed_volts(text)
                self._watch.typed(moment.time_ns, volts, ac=ac)
                events.append(Event(EventKind.TYPED, moment.time_ns, channel, text))
            case PowerRestored():
                self._watch.power_restored(moment.time_ns)
                events.append(Event(EventKind.POWER_RESTORED, moment.time_ns))
        return events

    def finding(self) -> SafetyFinding | None:
        told, self._told = self._told, self._watch.part
        return None if self._told is told else SafetyFinding(self._told)

    def _see(self, reading: Reading, of: VoltsOf | None) -> bool:
        """Whether it has just proved the voltmeter."""
        if of is None:
            return False
        value, time_ns, channel = reading.value, reading.time_ns, reading.channel
        ac, over = of is VoltsOf.SUPPLY, reading.status is Status.OVERLOAD
        if of is VoltsOf.TEST:
            if over or (value is not None and abs(value) >= SAFE_BELOW_V):
                self._watch.live_test()
        elif over:
            self._watch.overloaded(time_ns, ac=ac, channel=channel)
        elif value is not None and reading.status is not Status.OK:
            self._watch.hardly_possible(time_ns, value, ac=ac, channel=channel)
        elif value is not None:
            return self._watch.measured(time_ns, value, ac=ac, channel=channel)
        return False

    def _prove(self, moment: Moment, text: str, check: PartCheck | None) -> list[Event]:
        now = moment.time_ns
        if text:
            volts, ac = typed_volts(text)
            if abs(volts) < PROVES_FROM_V:
                raise InputError("sessions.no_live_source", volts=volts, least=PROVES_FROM_V)
            of, channel = VoltsOf.SUPPLY if ac else VoltsOf.CHARGE, ""
        else:
            volts, of, channel = self._shown(moment.states, check)
            if abs(volts) < PROVES_FROM_V:
                self._watch.announce_proof(now)
                return []
        self._watch.proved(now, channel=channel)
        return [_proof(now, volts, of, text)]

    def _shown(
        self, states: Mapping[str, ChannelState], check: PartCheck | None
    ) -> tuple[float, VoltsOf, str]:
        """What a voltmeter shows now, what of, and which.

        Raises:
            InputError: none shows volts.
        """
        for state in states.values():
            of, reading = self._roles.volts_of(state.channel, state.quantity, check), state.reading
            if of not in (VoltsOf.CHARGE, VoltsOf.SUPPLY) or state.state not in _FRESH:
                continue
            if reading is not None and reading.value is not None:
                return reading.value, of, state.channel
        raise InputError("sessions.no_volts_shown")


def _proof(time_ns: int, volts: float | None, of: VoltsOf | None, text: str) -> Event:
    quantity = Quantity.VOLTAGE_AC if of is VoltsOf.SUPPLY else Quantity.VOLTAGE_DC
    return Event(EventKind.METER_PROVED, time_ns, text=text, number=volts, quantity=quantity)
