"""What the window knows of the running session: outcomes folded into one view. No Qt here."""

import math
from array import array
from collections.abc import Iterable
from dataclasses import dataclass, field

from benchmeter.checking.channel_roles import ChannelRoles, VoltsOf
from benchmeter.checking.part_check import PartCheck
from benchmeter.checking.safety import PartSafety
from benchmeter.conformity.instrument_bias import MeterBias
from benchmeter.cooling.recovery import Recovery
from benchmeter.links.instruments.setup import BenchSetup, ChannelSetup, Role
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.events import Event, EventKind
from benchmeter.readings.reading import Reading
from benchmeter.session.acquisition.channel_state import ChannelState
from benchmeter.session.analyzers.part_check_analyzer import PartFinding
from benchmeter.session.analyzers.recovery_analyzer import RecoveryFinding
from benchmeter.session.analyzers.safety_analyzer import SafetyFinding
from benchmeter.session.outcome import Finding, Notice, Outcome

__all__ = ["BenchView", "Changes", "Trace"]


@dataclass(slots=True)
class Trace:
    """What of a temperature channel the plot has not taken yet: seconds, kelvin (NaN: a gap).

    The plot keeps the history; a second one here would double the memory of a session.
    """

    times_s: "array[float]" = field(default_factory=lambda: array("d"))
    values_k: "array[float]" = field(default_factory=lambda: array("d"))

    def add(self, time_s: float, value_k: float) -> None:
        self.times_s.append(time_s)
        self.values_k.append(value_k)

    def taken(self) -> "tuple[array[float], array[float]]":
        """Times and values, given away: they are the caller's from now on."""
        times, values = self.times_s, self.values_k
        self.times_s, self.values_k = array("d"), array("d")
        return times, values


@dataclass(slots=True)
class Changes:
    """What a batch of outcomes has changed.

    Attributes:
        restarted: time has gone back (a replay was wound back): everything was begun anew.
        traces: channels whose trace has grown.
    """

    restarted: bool = False
    pulses: bool = False
    check: bool = False
    recovery: bool = False
    safety: bool = False
    biases: bool = False
    judged: list[PartCheck] = field(default_factory=list)
    events: list[Event] = field(default_factory=list)
    notices: list[Notice] = field(default_factory=list)
    traces: set[str] = field(default_factory=set)


class BenchView:
    """The present state of one session, as far as the screens show it."""

    def __init__(self, setup: BenchSetup) -> None:
        self.setup = setup
        self.roles = ChannelRoles(setup.channels)
        self._channels = {channel.name: channel for channel in setup.channels}
        self._begin()

    def _begin(self) -> None:
        self.now_ns = 0
        self.pulses: dict[str, ChannelState] = {}
        self.check: PartCheck | None = None
        self.checks: dict[int, PartCheck] = {}
        self.recovery: Recovery | None = None
        self.events: list[Event] = []
        self.traces: dict[str, Trace] = {}
        self.safety = PartSafety()
        self.biases: tuple[MeterBias, ...] = ()
        self.findings: dict[type[Finding], Finding] = {}

    def take(self, outcomes: Iterable[Outcome]) -> Changes:
        """Fold outcomes in, oldest first, and say what they changed."""
        changes = Changes()
        for outcome in outcomes:
            if outcome.time_ns < self.now_ns:
                self._begin()
                changes = Changes(restarted=True, notices=changes.notices)
            self._take(outcome, changes)
        return changes

    def pulse_of(self, role: Role) -> ChannelState | None:
        """The pulse of the first channel of that role, if it has one by now."""
        channel = self.setup.channel(role)
        return self.pulses.get(channel.name) if channel else None

    @property
    def in_order(self) -> tuple[PartCheck, ...]:
        """The checks by their numbers."""
        return tuple(check for _, check in sorted(self.checks.items()))

    def shows_volts(self) -> bool:
        """Whether a voltmeter shows volts, AC or DC, that may be left on the part in hand."""
        told = ((c.name, self.pulses.get(c.name)) for c in self.setup.channels)
        return any(
            self.roles.volts_of(name, state.quantity if state else None, self.check)
            in (VoltsOf.CHARGE, VoltsOf.SUPPLY)
            for name, state in told
        )

    def channel(self, name: str) -> ChannelSetup | None:
        """The channel of that name; None for one that is typed in by hand."""
        return self._channels.get(name)

    def _take(self, outcome: Outcome, changes: Changes) -> None:
        self.now_ns = outcome.time_ns
        for reading in outcome.readings:
            self._take_reading(reading, changes)
        for state in outcome.states:
            self.pulses[state.channel] = state
            changes.pulses = True
        for event in outcome.events:
            self.events.append(event)
            changes.events.append(event)
            self._take_event(event, changes)
        for finding in outcome.findings:
            self._take_finding(finding, changes)
        changes.notices.extend(outcome.notices)

    def _take_finding(self, finding: Finding, changes: Changes) -> None:
        self.findings[type(finding)] = finding
        match finding:
            case SafetyFinding(part):
                self.safety = part
                changes.safety = True
            case PartFinding(check, judged, biases, before):
                if before is not None:
                    self._take_check(before, changes)
                if check is not None and check is not self.check:
                    self._take_check(check, changes)
                    changes.judged += [check] if judged else []
                changes.biases = changes.biases or biases != self.biases
                self.biases = biases
            case RecoveryFinding(recovery):
                self.recovery = recovery
                changes.recovery = True

    def _take_check(self, check: PartCheck, changes: Changes) -> None:
        self.checks[check.number] = check
        if self.check is None or check.number >= self.check.number:
            self.check = check
        changes.check = True

    def _take_reading(self, reading: Reading, changes: Changes) -> None:
        channel = self._channels.get(reading.channel)
        if channel is None:
            return
        if channel.role in (Role.DISCHARGE, Role.OUTDOOR) or (
            channel.quantity is Quantity.TEMPERATURE
        ):
            value = reading.value if reading.status.has_value else None
            self._trace(channel, reading.time_ns, math.nan if value is None else value, changes)

    def _take_event(self, event: Event, changes: Changes) -> None:
        if event.kind is EventKind.GAP and event.subject in self.traces:
            self._trace(self._channels[event.subject], event.time_ns, math.nan, changes)

    def _trace(self, channel: ChannelSetup, time_ns: int, value_k: float, changes: Changes) -> None:
        self.traces.setdefault(channel.name, Trace()).add(time_ns / 1e9, value_k)
        changes.traces.add(channel.name)
