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
        for reading in moment.readings:
            state = moment.states.get(reading.channel)
            if state is not None:
                self._see(reading, self._volts_of(state, check))
        for state in moment.touched:
            role = self._roles.role_of(state.channel)
            # A voltmeter for DC that is set to something else watches no longer.
            other = role is Role.RESIDUAL and state.state is ChannelStatus.WRONG_FUNCTION
            if other or (role in _VOLTMETERS and state.state in _LOST):
                self._watch.contact_lost()
        match moment.item:
            case TakeVolts():
                volts, of = self._shown(moment.states, check)
                self._watch.taken(moment.time_ns, volts, ac=of is VoltsOf.SUPPLY)
            case ProveMeter(text=text):
                return [self._prove(moment, text, check)]
            case TypeReading(channel=channel, text=text) if (
                self._roles.typed_role(channel) is Role.RESIDUAL
            ):
                volts, ac = typed_volts(text)
                self._watch.typed(moment.time_ns, volts, ac=ac)
                return [Event(EventKind.TYPED, moment.time_ns, channel, text)]
            case PowerRestored():
                self._watch.power_restored(moment.time_ns)
                return [Event(EventKind.POWER_RESTORED, moment.time_ns)]
        return []

    def finding(self) -> SafetyFinding | None:
        told, self._told = self._told, self._watch.part
        return None if self._told is told else SafetyFinding(self._told)

    def _volts_of(self, state: ChannelState, check: PartCheck | None) -> VoltsOf | None:
        return self._roles.volts_of(state.channel, state.quantity, check)

    def _see(self, reading: Reading, of: VoltsOf | None) -> None:
        if of is None:
            return
        value = reading.value if reading.status is Status.OK else None
        over = reading.status is Status.OVERLOAD
        if of is VoltsOf.TEST:
            if over or (value is not None and abs(value) >= SAFE_BELOW_V):
                self._watch.live_test()
        elif over:
            self._watch.overloaded(reading.time_ns, ac=of is VoltsOf.SUPPLY)
        elif value is not None:
            self._watch.measured(reading.time_ns, value, ac=of is VoltsOf.SUPPLY)

    def _prove(self, moment: Moment, text: str, check: PartCheck | None) -> Event:
        if text:
            volts, ac = typed_volts(text)
        else:
            volts, of = self._shown(moment.states, check)
            ac = of is VoltsOf.SUPPLY
        if abs(volts) < PROVES_FROM_V:
            raise InputError("sessions.no_live_source", volts=volts, least=PROVES_FROM_V)
        self._watch.proved(moment.time_ns, ac=ac, typed=bool(text))
        return Event(
            EventKind.METER_PROVED,
            moment.time_ns,
            text=text,
            number=volts,
            quantity=Quantity.VOLTAGE_AC if ac else Quantity.VOLTAGE_DC,
        )

    def _shown(
        self, states: Mapping[str, ChannelState], check: PartCheck | None
    ) -> tuple[float, VoltsOf]:
        """What a voltmeter shows now, and what of.

        Raises:
            InputError: none shows volts.
        """
        for state in states.values():
            of, reading = self._volts_of(state, check), state.reading
            if of not in (VoltsOf.CHARGE, VoltsOf.SUPPLY) or state.state not in _FRESH:
                continue
            if reading is not None and reading.value is not None:
                return reading.value, of
        raise InputError("sessions.no_volts_shown")
