"""An analysis that the program does not know: added to the list, it is live and in replay."""

from collections.abc import Iterable
from dataclasses import dataclass

from benchmeter.checking.channel_roles import ChannelRoles
from benchmeter.checking.commands import Mark, TypeReading
from benchmeter.links.instruments.setup import (
    BenchSetup,
    ChannelSetup,
    LinkSetup,
    RecoveryRule,
    Role,
)
from benchmeter.links.ports.recorded import RecordedSource
from benchmeter.readings.events import Event, EventKind
from benchmeter.readings.inputs import Chunk, Input
from benchmeter.session.analysis import Moment
from benchmeter.session.analyzers import analyzers_for
from benchmeter.session.analyzers.recovery_analyzer import RecoveryFinding
from benchmeter.session.engine import MeasuringChain
from benchmeter.session.outcome import Finding
from benchmeter.window.control.session_model import BenchView
from tests.fakes.instruments import text_profile


@dataclass(frozen=True, slots=True)
class SplitFinding(Finding):
    """Discharge air less outdoor air, and whether a recovery was known by then."""

    kelvin: float
    recovery_known: bool


class SplitAnalyzer:
    """Two temperatures in, a value out: what a superheat would be."""

    def __init__(self, roles: ChannelRoles) -> None:
        self._roles = roles
        self._shown: dict[Role | None, float] = {}
        self._new: SplitFinding | None = None

    def take(self, moment: Moment) -> Iterable[Event]:
        for reading in moment.readings:
            if reading.value is not None:
                self._shown[self._roles.typed_role(reading.channel)] = reading.value
        if moment.readings and {Role.DISCHARGE, Role.OUTDOOR} <= self._shown.keys():
            split = self._shown[Role.DISCHARGE] - self._shown[Role.OUTDOOR]
            self._new = SplitFinding(split, moment.last(RecoveryFinding) is not None)
            if split > 10:
                return [Event(EventKind.MARK, moment.time_ns, text="a large split")]
        return []

    def finding(self) -> SplitFinding | None:
        new, self._new = self._new, None
        return new


def with_split(roles: ChannelRoles, recovery: RecoveryRule):
    return (*analyzers_for(roles, recovery), SplitAnalyzer(roles))


SETUP = BenchSetup(
    origin="serial",
    links=(LinkSetup(name="probe", address="serial:probe", profile=text_profile()),),
    channels=(ChannelSetup(name="discharge", role=Role.DISCHARGE, link="probe"),),
)


def stream() -> Iterable[Input]:
    yield Chunk(time_ns=0, link="probe", data=b"")
    for second in range(1, 6):
        now = second * 1_000_000_000
        yield Chunk(time_ns=now, link="probe", data=f"{20 + 5 * second}.0 C\r\n".encode())
        if second == 2:
            yield TypeReading(time_ns=now, channel="outdoor", text="30 C")
    yield Mark(time_ns=6_000_000_000, text="done")


def test_an_added_analysis_gives_its_findings_and_events_live_and_in_replay():
    chain, view = MeasuringChain(SETUP, with_split), BenchView(SETUP)
    live = [chain.feed(item) for item in stream()]
    found = [f for o in live if (f := o.of(SplitFinding))]
    assert [round(f.kelvin, 6) for f in found] == [0, 5, 10, 15]
    assert [f.recovery_known for f in found] == [True] * 4
    assert [e.text for o in live for e in o.events if e.kind is EventKind.MARK] == [
        "a large split",
        "done",
    ]
    view.take(live)
    assert view.findings[SplitFinding] == found[-1]
    again = MeasuringChain(SETUP, with_split)
    replayed = RecordedSource(tuple(stream()), None)
    assert [again.feed(item) for item in replayed.inputs()] == live


def test_without_it_everything_else_is_the_same():
    alone, more = MeasuringChain(SETUP), MeasuringChain(SETUP, with_split)
    for item in stream():
        with_it = [f for f in more.feed(item).findings if not isinstance(f, SplitFinding)]
        assert list(alone.feed(item).findings) == with_it
