"""The fold over a session's stream: readings, part checks, recovery, safety."""

from decimal import Decimal

from benchmeter.checking.bias_offer import bias_in
from benchmeter.checking.check import (
    MeterState,
    PartCheck,
    begin_check,
    follow,
    repeat,
    see_safety,
    select,
    take_by_hand,
    typed,
)
from benchmeter.checking.leads import IN_OHM
from benchmeter.checking.safety import PartSafety, SafetyWatch
from benchmeter.conformity.instrument_bias import MeterBias, with_bias
from benchmeter.conformity.lead_offset import refuse_ohm_offset
from benchmeter.cooling.recovery import Phase, Recovery
from benchmeter.cooling.watch import RecoveryWatch
from benchmeter.errors import InputError
from benchmeter.links.instruments.setup import BenchSetup, Role
from benchmeter.quantities.quantity import Quantity, of_other_current
from benchmeter.quantities.units import parse_value, resolution_of, to_si
from benchmeter.quantities.writing import clip
from benchmeter.readings.channel_status import ChannelStatus
from benchmeter.readings.events import Event, EventKind
from benchmeter.readings.inputs import (
    AcceptBias,
    Annotate,
    BeginCheck,
    Command,
    Ended,
    Input,
    LinkChange,
    Mark,
    NullLeads,
    PowerRestored,
    RepeatSection,
    SelectSection,
    TakeReading,
    TakeVolts,
    TypeReading,
)
from benchmeter.readings.reading import Reading, Status
from benchmeter.session.acquisition.acquisition import Acquisition
from benchmeter.session.acquisition.channel_state import Batch, ChannelState
from benchmeter.session.outcome import Notice, Outcome, Severity
from benchmeter.words.events import event_advice, event_words, joined_leads
from benchmeter.words.meters import bias_taken_words
from benchmeter.words.presentation import Presentation

__all__ = ["MeasuringChain"]

_RENEW_NS = 1_000_000_000

_TYPED_QUANTITY = {
    Role.RESIDUAL: (Quantity.VOLTAGE_DC, "V"),
    Role.DISCHARGE: (Quantity.TEMPERATURE, ""),
    Role.OUTDOOR: (Quantity.TEMPERATURE, ""),
}

_NOTICED = {
    EventKind.LINK_LOST: Severity.ERROR,
    EventKind.LINK_UP: Severity.INFO,
    EventKind.CLOCK_STEP: Severity.WARNING,
    EventKind.GARBLED: Severity.WARNING,
    EventKind.GAP: Severity.WARNING,
}


class MeasuringChain:
    """What a session's stream leads to.

    Deterministic: the same stream gives the same outcomes, live, simulated, replayed and in a
    recheck years later. No thread, no clock, no database. Not thread-safe: one thread feeds it.
    """

    def __init__(self, setup: BenchSetup) -> None:
        self._roles = {c.name: c.role for c in setup.channels}
        self._probe = setup.channel(Role.PROBE)
        self._acquisition = Acquisition(setup)
        self._watch = RecoveryWatch()
        self._watched = False
        self._recovery: Recovery | None = None
        self._renewed_ns = 0
        self._check: PartCheck | None = None
        self._checks = 0
        self._lead_offset_si = Decimal(0)
        self._lead_offset_ohm = Decimal(0)
        self._biases: tuple[MeterBias, ...] = ()
        self._lost: set[str] = set()
        self._safety = SafetyWatch()
        self._pulses: dict[str, ChannelState] = {p.channel: p for p in self._acquisition.pulses()}

    def feed(self, item: Input) -> Outcome:
        """Take the next input in; `item.time_ns` never decreases."""
        batch = self._acquisition.take(item)
        self._pulses.update((p.channel, p) for p in batch.pulses)
        before, biases, safety = self._check, self._biases, self._safety.part
        self._residual(batch)
        events = list(batch.events)
        readings = list(batch.readings)
        notices: list[Notice] = []
        for event in batch.events:
            self._note_gap(event)
        for reading in batch.readings:
            self._watch_reading(reading)
        self._see_safety(safety)
        self._follow_check(batch)
        if isinstance(item, Command):
            try:
                more = self._command(item)
            except InputError as error:
                told = Presentation().tell(error)
                notices.append(Notice(Severity.ERROR, told.text, told.advice))
            else:
                events += more.events
                readings += more.readings
                self._see_safety(safety)
        ended = isinstance(item, Ended)
        recovery = self._renew(item.time_ns, at_once=ended)
        recovered, more_events = self._recovery_events(recovery)
        if ended:
            recovered = recovery
        events += more_events
        notices += [
            Notice(_NOTICED[e.kind], event_words(e), _advice(item, e))
            for e in events
            if e.kind in _NOTICED and not self._is_first_link_up(e)
        ]
        changed = self._check is not before
        return Outcome(
            time_ns=item.time_ns,
            readings=tuple(readings),
            pulses=batch.pulses,
            events=tuple(events),
            check=self._check if changed else None,
            judged=self._check if changed and _newly_judged(before, self._check) else None,
            recovery=recovery,
            recovered=recovered,
            safety=None if self._safety.part is safety else self._safety.part,
            biases=None if self._biases is biases else self._biases,
            notices=tuple(notices),
        )

    def _is_first_link_up(self, event: Event) -> bool:
        """What is connected from the beginning is no news: the pulses show it."""
        if event.kind is EventKind.LINK_LOST:
            self._lost.add(event.subject)
        return event.kind is EventKind.LINK_UP and event.subject not in self._lost

    # --- readings ---------------------------------------------------------------------------

    def _watch_reading(self, reading: Reading) -> None:
        value = reading.value if reading.status is Status.OK else None
        match self._roles.get(reading.channel):
            case Role.DISCHARGE:
                self._watched = True
                self._watch.discharge(reading.time_ns, value, resolution_k=reading.resolution)
            case Role.OUTDOOR:
                self._watch.outdoor(reading.time_ns, value, resolution_k=reading.resolution)

    def _note_gap(self, event: Event) -> None:
        if event.kind is EventKind.GAP and event.until_ns is not None:
            match self._roles.get(event.subject):
                case Role.DISCHARGE:
                    self._watch.discharge(event.time_ns, None)
                case Role.OUTDOOR:
                    self._watch.outdoor(event.time_ns, None)

    def _residual(self, batch: Batch) -> None:
        for reading in batch.readings:
            if not self._shows_residual(reading.channel):
                continue
            if reading.status is Status.OK and reading.value is not None:
                self._safety.measured(reading.time_ns, reading.value)
            elif reading.status is Status.OVERLOAD:
                self._safety.overloaded(reading.time_ns)

    def _shows_residual(self, channel: str) -> bool:
        """Whether it measures the volts left on the part: a meter for that, or the multimeter."""
        match self._roles.get(channel):
            case Role.RESIDUAL:
                return True
            case Role.METER:
                section = self._check.section if self._check is not None else None
                wanted = section is not None and section.quantity is Quantity.VOLTAGE_DC
                return self._pulses[channel].quantity is Quantity.VOLTAGE_DC and not wanted
        return False

    def _see_safety(self, before: PartSafety) -> None:
        if self._check is not None and self._safety.part is not before:
            self._check = see_safety(self._check, self._safety.part)

    def _follow_check(self, batch: Batch) -> None:
        for pulse in batch.pulses:
            if self._check is not None and pulse.channel == self._channel_for(self._check):
                self._check = follow(self._check, _sight(pulse, batch.time_ns))

    def _channel_for(self, check: PartCheck) -> str:
        """The channel that shows what is expected: the probe for a temperature, if there is one."""
        section = check.section
        if section is not None and section.quantity is Quantity.TEMPERATURE and self._probe:
            return self._probe.name
        return check.channel

    # --- recovery ---------------------------------------------------------------------------

    def _renew(self, time_ns: int, *, at_once: bool) -> Recovery | None:
        due = at_once or time_ns - self._renewed_ns >= _RENEW_NS
        if not self._watched or not due:
            return None
        self._renewed_ns = time_ns
        return self._watch.renew(time_ns)

    def _recovery_events(self, new: Recovery | None) -> tuple[Recovery | None, list[Event]]:
        old = self._recovery
        events: list[Event] = []
        if new is None:
            return None, events
        self._recovery = new
        if new.start_ns is not None and (old is None or old.start_ns != new.start_ns):
            events.append(Event(EventKind.START_DETECTED, new.start_ns))
        settled = new.phase is Phase.SETTLED and (old is None or old.phase is not Phase.SETTLED)
        if settled:
            events.append(Event(EventKind.SETTLED, new.time_ns))
        return (new if settled else None), events

    # --- the technician ---------------------------------------------------------------------

    def _command(self, command: Command) -> Outcome:
        now = command.time_ns
        match command:
            case BeginCheck():
                self._refuse_other_quantity(command.channel)
                check = begin_check(
                    self._checks + 1,
                    command,
                    self._lead_offset_si,
                    before=self._check,
                    lead_offset_ohm=self._lead_offset_ohm,
                    biases=self._biases,
                )
                self._checks += 1
                self._safety.begin_part(proof_needed=check.safety.proof_needed)
                self._check = self._seen(see_safety(check, self._safety.part), now)
            case TakeReading():
                self._check = take_by_hand(self._running_check(), self._sight_now(now))
            case SelectSection():
                self._check = select(self._running_check(), command.section)
            case RepeatSection():
                self._check = repeat(self._running_check(), command.section)
            case NullLeads():
                return Outcome(now, events=(self._null_leads(now),))
            case AcceptBias():
                return Outcome(now, events=(self._accept_bias(command),))
            case TypeReading():
                return self._typed(command)
            case TakeVolts():
                self._safety.taken(now, self._volts_now())
            case PowerRestored():
                self._watch.power_restored(now)
                self._safety.power_restored(now)
                return Outcome(now, events=(Event(EventKind.POWER_RESTORED, now),))
            case Mark():
                return Outcome(now, events=(Event(EventKind.MARK, now, text=command.text),))
            case Annotate():
                return Outcome(now, events=(Event(EventKind.REMARK, now, text=command.text),))
        return Outcome(now)

    def _refuse_other_quantity(self, channel: str) -> None:
        """293 K are no 293 F: a part is judged by a meter that says what it measures."""
        if self._roles.get(channel, Role.CAPACITOR) not in (Role.CAPACITOR, Role.METER):
            raise InputError(
                f"The channel “{channel}” is not for capacitance, so no part is judged by it.",
                f"Name the meter's channel “{Role.CAPACITOR.value}”, or “{Role.METER.value}” if "
                "it tells what its knob is set to.",
            )

    def _running_check(self) -> PartCheck:
        if self._check is None:
            raise InputError("No part is being checked.", "Type the part's label first.")
        return self._check

    def _seen(self, check: PartCheck, time_ns: int) -> PartCheck:
        pulse = self._pulses.get(self._channel_for(check))
        return check if pulse is None else follow(check, _sight(pulse, time_ns))

    def _sight_now(self, time_ns: int) -> MeterState:
        channel = self._channel_for(self._running_check())
        pulse = self._pulses.get(channel)
        if pulse is None:
            raise InputError(
                f"No meter is connected as “{channel}”.",
                "Connect one, or type the reading.",
            )
        return _sight(pulse, time_ns)

    def _volts_now(self) -> float:
        shown = (p for c, p in self._pulses.items() if self._shows_residual(c))
        pulse = next(shown, None)
        reading = pulse.reading if pulse is not None else None
        fresh = pulse is not None and pulse.state in (ChannelStatus.MOVING, ChannelStatus.SETTLED)
        if not fresh or reading is None or reading.value is None:
            raise InputError(
                "No meter shows the volts left on the part.",
                "Set it to DC volts and let it send, or type the volts.",
            )
        return reading.value

    def _null_leads(self, time_ns: int) -> Event:
        pulse = self._pulses.get(self._check.channel if self._check else self._meter())
        sight = _sight(pulse, time_ns) if pulse else None
        if (
            pulse is None
            or sight is None
            or sight.state is not ChannelStatus.SETTLED
            or not sight.window_si
        ):
            raise InputError(
                "The leads have not settled.",
                "Hold the open leads apart and still, or for ohms their tips together; then again.",
            )
        mean = sum(sight.window_si, Decimal(0)) / len(sight.window_si)
        if sight.quantity in IN_OHM:
            refuse_ohm_offset(mean)
            self._lead_offset_ohm = mean
            return joined_leads(time_ns, pulse.channel, mean, sight.resolution_si)
        if sight.quantity not in (None, Quantity.CAPACITANCE):
            raise InputError(
                "Only in ohms and farads the leads alone read something that is taken off.",
                "Set the meter to one of these first.",
            )
        self._lead_offset_si = mean
        return Event(EventKind.LEADS_NULLED, time_ns, pulse.channel, sight.text, number=float(mean))

    def _accept_bias(self, command: AcceptBias) -> Event:
        if command.channel not in self._roles:
            raise InputError(
                f"No meter is connected as “{command.channel}”, so no bias of one is taken off.",
                "Connect it: what is typed in may come from any meter.",
            )
        bias = bias_in(command)
        self._biases = with_bias(self._biases, bias)
        said = " ".join((bias_taken_words(bias), *command.text.split()))
        number = float(bias.bias_si)
        return Event(EventKind.BIAS_ACCEPTED, command.time_ns, command.channel, said, number=number)

    def _meter(self) -> str:
        """The meter that parts are judged by."""
        wanted = (Role.METER, Role.CAPACITOR)
        return next((c for r in wanted for c, role in self._roles.items() if role is r), "")

    def _typed(self, command: TypeReading) -> Outcome:
        now = command.time_ns
        event = Event(EventKind.TYPED, now, command.channel, command.text)
        check = self._check
        if check is not None and command.channel == check.channel:
            self._check = typed(check, now, command.text)
            return Outcome(now, events=(event,))
        role = self._roles.get(command.channel)
        if role is None and command.channel in tuple(Role):
            role = Role(command.channel)
        if role not in _TYPED_QUANTITY:
            raise InputError(
                f"Nothing is expected to be typed in for “{command.channel}”.",
                "Begin the check of a part first.",
            )
        quantity, default = _TYPED_QUANTITY[role]
        if of_other_current(command.text, quantity):
            raise InputError(
                f"“{clip(command.text.strip())}” says nothing of {quantity.value}.",
                "Set the meter to DC volts, and type what it shows then.",
            )
        number, unit = parse_value(command.text, quantity.kind, default)
        value = to_si(number, unit)
        if role is Role.RESIDUAL:
            self._safety.typed(now, value)
            return Outcome(now, events=(event,))
        reading = Reading(
            command.channel, now, value, Status.OK, resolution_of(number, unit), command.text
        )
        self._watch_reading(reading)
        return Outcome(now, readings=(reading,), events=(event,))


def _newly_judged(before: PartCheck | None, after: PartCheck | None) -> bool:
    if after is None or after.verdict is None:
        return False
    return before is None or before.number != after.number or before.sections != after.sections


def _advice(item: Input, event: Event) -> str:
    """What the link itself advises comes before what we say in general."""
    told = item.advice if isinstance(item, LinkChange) else ""
    return told or event_advice(event)


def _sight(pulse: ChannelState, time_ns: int) -> MeterState:
    reading = pulse.reading
    return MeterState(
        time_ns=time_ns,
        state=pulse.state,
        value_si=None if reading is None or reading.value is None else _exact(reading.value),
        resolution_si=(
            None if reading is None or reading.resolution is None else _exact(reading.resolution)
        ),
        text="" if reading is None else reading.text,
        window_si=tuple(_exact(r.value) for r in pulse.window if r.value is not None),
        quantity=pulse.quantity,
    )


def _exact(value: float) -> Decimal:
    """The decimal that the meter showed: a correctly rounded float gives it back."""
    return Decimal(repr(value))
