"""The check of the part in hand, and what the technician does to it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from benchmeter.checking.bias_offer import bias_in, bias_taken
from benchmeter.checking.channel_roles import ChannelRoles
from benchmeter.checking.check import (
    begin_check,
    follow,
    left,
    repeat,
    see_safety,
    select,
    take_by_hand,
    typed,
)
from benchmeter.checking.commands import (
    AcceptBias,
    BeginCheck,
    NullLeads,
    RepeatSection,
    SelectSection,
    TakeReading,
    TypeReading,
)
from benchmeter.checking.lead_nulling import null_leads
from benchmeter.checking.leads import IN_OHM
from benchmeter.checking.meter_state import MeterState
from benchmeter.checking.part_check import PartCheck
from benchmeter.checking.safety import SafetyWatch
from benchmeter.conformity.instrument_bias import MeterBias, with_bias
from benchmeter.conformity.judgement import mean_si
from benchmeter.conformity.lead_offset import LeadOffsets
from benchmeter.errors import InputError
from benchmeter.links.instruments.setup import Role
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.events import Event, EventKind
from benchmeter.readings.inputs import Ended
from benchmeter.session.acquisition.channel_state import ChannelState
from benchmeter.session.analysis import Moment
from benchmeter.session.analyzers.meter_states import meter_state
from benchmeter.session.outcome import Finding
from benchmeter.session.typed_in import AIR

__all__ = ["PartCheckAnalyzer", "PartFinding"]


@dataclass(frozen=True, slots=True)
class PartFinding(Finding):
    """The check of the part in hand.

    Attributes:
        check: None before the first part.
        judged: it has just come to a verdict, or to another one.
        biases: of the meters, all that hold for checks from now on.
        before: the check before it, if it was left now, and is judged by what was taken.
    """

    check: PartCheck | None = None
    judged: bool = False
    biases: tuple[MeterBias, ...] = ()
    before: PartCheck | None = None

    @property
    def stored(self) -> tuple[PartCheck, ...]:
        judged = self.check if self.judged else None
        return tuple(check for check in (self.before, judged) if check is not None)


class PartCheckAnalyzer:
    """Carries one check after another, and what is taken off the meters' readings."""

    def __init__(self, roles: ChannelRoles, safety: SafetyWatch) -> None:
        self._roles = roles
        self._safety = safety
        self._check: PartCheck | None = None
        self._checks = 0
        self._before: PartCheck | None = None  # judged as it was left, and not told yet
        self._offsets = LeadOffsets()
        self._biases: tuple[MeterBias, ...] = ()
        self._told = PartFinding()

    def take(self, moment: Moment) -> Iterable[Event]:
        self._see_safety()
        before = self._check
        for state in moment.touched:
            if self._check is not None and state.channel == self._roles.shown_by(self._check):
                self._check = follow(self._check, meter_state(state, moment.time_ns))
        events = self._act(moment)
        if _live_taken(before, self._check):
            self._safety.live_test()
            self._see_safety()
        return events

    def finding(self) -> PartFinding | None:
        before, check = self._told, self._check
        if check is before.check and self._biases is before.biases:
            return None
        judged = check is not before.check and _newly_judged(before.check, check)
        self._told = PartFinding(check, judged, self._biases, self._before)
        self._before = None
        return self._told

    def _see_safety(self) -> None:
        check, seen = self._check, self._safety.part
        if check is not None and (check.residual, check.supply) != (seen.volts, seen.supply):
            self._check = see_safety(check, seen)

    def _act(self, moment: Moment) -> list[Event]:
        now = moment.time_ns
        match moment.item:
            case BeginCheck() as command:
                self._begin(command, moment.states)
            case Ended() if self._check is not None:
                self._check = left(self._check)
            case TakeReading():
                check = self._running_check()
                self._check = take_by_hand(check, self._shown(check, moment))
            case SelectSection(section=section):
                self._check = select(self._running_check(), section)
            case RepeatSection(section=section):
                self._check = repeat(self._running_check(), section)
            case NullLeads():
                return [self._null_leads(moment)]
            case AcceptBias() as command:
                return [self._accept_bias(command)]
            case TypeReading(channel=channel, text=text) if self._is_typed_here(channel):
                self._check = typed(self._running_check(), now, text)
                return [Event(EventKind.TYPED, now, channel, text)]
        return []

    def _begin(self, command: BeginCheck, states: Mapping[str, ChannelState]) -> None:
        if not self._roles.may_judge(command.channel):
            raise InputError(
                "sessions.not_for_parts",
                channel=command.channel,
                capacitor=Role.CAPACITOR.value,
                meter=Role.METER.value,
            )
        check = begin_check(
            self._checks + 1,
            command,
            self._offsets.farad,
            before=self._check,
            lead_offset_ohm=self._offsets.ohm,
            lead_offset_u=self._offsets,
            biases=self._biases,
        )
        self._checks += 1
        if self._check is not None and (judged := left(self._check)) is not self._check:
            self._before = judged
        self._safety.begin_part(proof_needed=check.safety.proof_needed, pairs=check.dead_between)
        check = see_safety(check, self._safety.part)
        state = states.get(self._roles.shown_by(check))
        self._check = check if state is None else follow(check, meter_state(state, command.time_ns))

    def _running_check(self) -> PartCheck:
        if self._check is None:
            raise InputError("sessions.no_part")
        return self._check

    def _shown(self, check: PartCheck, moment: Moment) -> MeterState:
        channel = self._roles.shown_by(check)
        state = moment.states.get(channel)
        if state is None:
            raise InputError("sessions.no_meter", channel=channel)
        return meter_state(state, moment.time_ns)

    def _null_leads(self, moment: Moment) -> Event:
        channel = self._roles.part_channel if self._check is None else self._check.channel
        state = moment.states.get(channel)
        shown = None if state is None else meter_state(state, moment.time_ns)
        self._offsets = null_leads(self._offsets, shown)
        assert shown is not None
        mean = mean_si(shown.window_si)
        resolution = shown.resolution_si
        return Event(
            EventKind.LEADS_NULLED,
            moment.time_ns,
            channel,
            shown.text,
            number=float(mean),
            quantity=Quantity.RESISTANCE if shown.quantity in IN_OHM else Quantity.CAPACITANCE,
            resolution=None if resolution is None else float(resolution),
        )

    def _accept_bias(self, command: AcceptBias) -> Event:
        if command.channel not in {c.name for c in self._roles.channels}:
            raise InputError("sessions.no_meter_for_bias", channel=command.channel)
        bias = bias_in(command)
        self._biases = with_bias(self._biases, bias)
        return Event(
            EventKind.BIAS_ACCEPTED,
            command.time_ns,
            command.channel,
            command.text,
            number=float(bias.bias_si),
            reason=bias_taken(bias),
        )

    def _is_typed_here(self, channel: str) -> bool:
        """Whether it is for the part; volts and air have analyses of their own."""
        if self._check is not None and channel == self._check.channel:
            return True
        if self._roles.typed_role(channel) in (Role.RESIDUAL, *AIR):
            return False
        raise InputError("sessions.nothing_to_type", channel=channel)


def _live_taken(before: PartCheck | None, after: PartCheck | None) -> bool:
    """Whether something was just taken that is measured with the circuit live."""
    if before is None or after is None or before.number != after.number:
        return False
    pairs = zip(before.sections, after.sections, strict=True)
    return any(
        len(old.taken) < len(new.taken) and after.measure(new.section).live for old, new in pairs
    )


def _newly_judged(before: PartCheck | None, after: PartCheck | None) -> bool:
    if after is None or after.verdict is None:
        return False
    if before is None or before.number != after.number or before.verdict is None:
        return True
    return before.sections != after.sections
