"""The fold over a session's stream: acquisition, then each analysis in its turn."""

from collections.abc import Callable

from benchmeter.checking.channel_roles import ChannelRoles
from benchmeter.checking.commands import Annotate, Mark
from benchmeter.errors import InputError
from benchmeter.links.instruments.setup import BenchSetup, RecoveryRule
from benchmeter.readings.events import Event, EventKind
from benchmeter.readings.inputs import Input
from benchmeter.readings.reading import Garbled, Indication
from benchmeter.session.acquisition.acquisition import Acquisition
from benchmeter.session.acquisition.channel_state import ChannelState
from benchmeter.session.acquisition.link_decoder import Run, run_here
from benchmeter.session.analysis import Analyzer, Moment
from benchmeter.session.analyzers import analyzers_for
from benchmeter.session.outcome import Finding, Notice, Outcome, Severity
from benchmeter.session.typed_in import typed_reading

__all__ = ["MeasuringChain"]

_NOTICED = {
    EventKind.LINK_LOST: Severity.ERROR,
    EventKind.LINK_UP: Severity.INFO,
    EventKind.CLOCK_STEP: Severity.WARNING,
    EventKind.GARBLED: Severity.WARNING,
    EventKind.DECODER_FAULT: Severity.WARNING,
    EventKind.DECODER_GIVEN_UP: Severity.ERROR,
    EventKind.GAP: Severity.WARNING,
    EventKind.RESOLUTION_LEARNED: Severity.INFO,
}


class MeasuringChain:
    """What a session's stream leads to.

    Deterministic: the same stream gives the same outcomes, live, simulated, replayed and in a
    recheck years later. No thread, no clock, no database. Not thread-safe: one thread feeds it.

    Args:
        analyzers: makes those that follow the session.
        run: runs the decoders.
    """

    def __init__(
        self,
        setup: BenchSetup,
        analyzers: Callable[[ChannelRoles, RecoveryRule], tuple[Analyzer, ...]] = analyzers_for,
        run: Run[list[Indication | Garbled]] = run_here,
    ) -> None:
        self._acquisition = Acquisition(setup, run)
        self._roles = ChannelRoles(setup.channels)
        self._analyzers = analyzers(self._roles, setup.recovery)
        self._states: dict[str, ChannelState] = {s.channel: s for s in self._acquisition.states()}
        self._findings: dict[type[Finding], Finding] = {}
        self._lost: set[str] = set()

    def feed(self, item: Input) -> Outcome:
        """Take the next input in; `item.time_ns` never decreases."""
        batch = self._acquisition.take(item)
        self._states.update((s.channel, s) for s in batch.states)
        readings, events = batch.readings, [*batch.events, *_written(item)]
        refused: list[InputError] = []
        try:
            typed = typed_reading(item, self._roles)
        except InputError as error:
            refused.append(error)
        else:
            if typed is not None:
                readings = (*readings, typed)
                events.append(Event(EventKind.TYPED, item.time_ns, typed.channel, typed.text))
        moment = Moment(item, readings, batch.events, batch.states, self._states, self._findings)
        for analyzer in self._analyzers:
            try:
                events += analyzer.take(moment)
            except InputError as error:
                refused.append(error)
        found = tuple(f for a in self._analyzers if (f := a.finding()) is not None)
        self._findings.update((type(f), f) for f in found)
        notices = [Notice(Severity.ERROR, error.message) for error in refused]
        notices += [
            Notice(_NOTICED[e.kind], e)
            for e in events
            if e.kind in _NOTICED and not self._is_first_link_up(e)
        ]
        return Outcome(
            time_ns=item.time_ns,
            readings=readings,
            states=batch.states,
            events=tuple(events),
            findings=found,
            notices=tuple(notices),
        )

    def _is_first_link_up(self, event: Event) -> bool:
        """What is connected from the beginning is no news: the states show it."""
        if event.kind is EventKind.LINK_LOST:
            self._lost.add(event.subject)
        return event.kind is EventKind.LINK_UP and event.subject not in self._lost


def _written(item: Input) -> list[Event]:
    """What the technician wrote down."""
    match item:
        case Mark(text=text):
            return [Event(EventKind.MARK, item.time_ns, text=text)]
        case Annotate(text=text):
            return [Event(EventKind.REMARK, item.time_ns, text=text)]
    return []
