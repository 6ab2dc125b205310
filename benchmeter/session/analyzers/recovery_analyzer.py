"""The recovery of the unit, from the temperatures of discharge and outdoor air."""

from collections.abc import Iterable
from dataclasses import dataclass

from benchmeter.checking.channel_roles import ChannelRoles
from benchmeter.checking.commands import PowerRestored
from benchmeter.cooling.fitted_watch import FittedWatch
from benchmeter.cooling.recovery import Phase, Recovery
from benchmeter.cooling.watch import RecoveryWatch
from benchmeter.links.instruments.setup import RecoveryRule, Role
from benchmeter.readings.events import Event, EventKind
from benchmeter.readings.inputs import Ended
from benchmeter.readings.reading import Reading
from benchmeter.readings.status import Status
from benchmeter.session.analysis import Moment
from benchmeter.session.outcome import Finding

__all__ = ["RecoveryAnalyzer", "RecoveryFinding"]

_RENEW_NS = 1_000_000_000


@dataclass(frozen=True, slots=True)
class RecoveryFinding(Finding):
    """The recovery, renewed once a second of session time. `final`: it has settled, or the end."""

    recovery: Recovery
    final: bool = False

    @property
    def stored(self) -> tuple[Recovery, ...]:
        return (self.recovery,) if self.final else ()


class RecoveryAnalyzer:
    """Feeds a `RecoveryWatch` with the air that is measured; a few typed values are no rise."""

    def __init__(self, roles: ChannelRoles, rule: RecoveryRule) -> None:
        self._roles = roles
        self._rule = rule
        fitted = rule is RecoveryRule.FITTED
        self._watch: RecoveryWatch | FittedWatch = FittedWatch() if fitted else RecoveryWatch()
        self._watched = False
        self._renewed_ns = 0
        self._last: Recovery | None = None
        self._new: RecoveryFinding | None = None

    def take(self, moment: Moment) -> Iterable[Event]:
        for event in moment.events:
            if event.kind is EventKind.GAP:
                self._note_gap(event)
        for reading in moment.readings:
            self._see(reading)
        if isinstance(moment.item, PowerRestored):
            self._watch.power_restored(moment.time_ns)
        return self._renew(moment.time_ns, ended=isinstance(moment.item, Ended))

    def finding(self) -> RecoveryFinding | None:
        new, self._new = self._new, None
        return new

    def _see(self, reading: Reading) -> None:
        value = reading.value if reading.status is Status.OK else None
        match self._roles.role_of(reading.channel):
            case Role.DISCHARGE:
                self._watched = True
                self._watch.discharge(reading.time_ns, value, resolution_k=reading.resolution)
            case Role.OUTDOOR:
                self._watch.outdoor(reading.time_ns, value, resolution_k=reading.resolution)

    def _note_gap(self, event: Event) -> None:
        match self._roles.role_of(event.subject):
            case Role.DISCHARGE:
                self._watch.discharge(event.time_ns, None)
            case Role.OUTDOOR:
                self._watch.outdoor(event.time_ns, None)

    def _renew(self, time_ns: int, *, ended: bool) -> list[Event]:
        due = ended or time_ns - self._renewed_ns >= _RENEW_NS
        if not self._watched or not due:
            return []
        self._renewed_ns = time_ns
        old, new = self._last, self._watch.renew(time_ns)
        events = self._taken_back(old, new)
        if new.start_ns is not None and (old is None or old.start_ns != new.start_ns):
            events.append(Event(EventKind.START_DETECTED, new.start_ns))
        settled = new.phase is Phase.SETTLED and (old is None or old.phase is not Phase.SETTLED)
        if settled:
            events.append(Event(EventKind.SETTLED, new.time_ns))
        self._last, self._new = new, RecoveryFinding(new, final=settled or ended)
        return events

    def _taken_back(self, old: Recovery | None, new: Recovery) -> list[Event]:
        """Of older sessions neither was told."""
        if old is None or self._rule is RecoveryRule.FITTED:
            return []
        events = []
        if old.phase is Phase.SETTLED and new.phase is not Phase.SETTLED:
            events.append(Event(EventKind.UNSETTLED, new.time_ns))
        if new.stops > old.stops:
            events.append(Event(EventKind.STOPPED, new.time_ns))
        return events
