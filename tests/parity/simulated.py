"""A part on the simulated bench, measured in bytes: world, virtual meter, wire, decoder, chain.

Hands are moved between two inputs of the stream, as a person does who watches the display.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import UTC, datetime
from decimal import Decimal

from benchmeter.checking.check import PartCheck
from benchmeter.checking.commands import (
    BeginCheck,
    Command,
    NullLeads,
    SelectSection,
    TakeReading,
    TypeReading,
)
from benchmeter.files.folders import Folders
from benchmeter.links.instruments.profiles import load_profile
from benchmeter.parts.part_kind import PartKind
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.channel_status import ChannelStatus
from benchmeter.readings.reading import Reading
from benchmeter.readings.status import Status
from benchmeter.session.engine import MeasuringChain
from benchmeter.session.outcome import Notice
from benchmeter.simulator.scenario import Scenario
from benchmeter.simulator.scenario_plan import (
    ChannelPlan,
    InstrumentPlan,
    PartPlan,
    ProbePlan,
    ScenarioPlan,
    ScpiMeterPlan,
    TextProbesPlan,
)
from benchmeter.simulator.virtual_bench import open_scenario
from tests.fakes.outcomes import check_in
from tests.parity.accuracies import ACCURACY

__all__ = ["SimulatedBench", "scenario_with"]

_SECOND = 1_000_000_000


def scenario_with(
    parts: Sequence[PartPlan], kinds: Mapping[str, PartKind], folders: Folders, *, probe: bool
) -> Scenario:
    """One multimeter without error and noise, and a probe beside the part if wanted."""
    meter = InstrumentPlan(
        name="bench meter",
        profile="scpi-meter",
        virtual=ScpiMeterPlan(measures="any function", gain=1.0, noise_counts=0.0),
        channels=(ChannelPlan(name="meter"),),
    )
    thermometer = InstrumentPlan(
        name="thermometer",
        profile="text-two-probes",
        virtual=TextProbesPlan(
            probes={
                "T1": ProbePlan(air="part", lag_s=0.5, noise_k=0.0),
                "T2": ProbePlan(air="room", lag_s=0.5, noise_k=0.0),
            }
        ),
        channels=(ChannelPlan(name="probe", field="T1"),),
    )
    instruments = (meter, thermometer) if probe else (meter,)
    plan = ScenarioPlan(
        title="parity",
        about="",
        place="",
        seed=1,
        length_s=86_400,
        start=datetime(2026, 1, 1, tzinfo=UTC),
        parts=tuple(parts),
        instruments=instruments,
    )
    profiles = {i.profile: load_profile(i.profile, folders) for i in instruments}
    return Scenario("parity", plan, profiles, dict(kinds))


class SimulatedBench:
    """A session at the bench, as quick as it is computed.

    Attributes:
        now_ns: of the stream.
        shown: what the multimeter has shown, oldest first.
        notices: what the chain has said.
    """

    def __init__(self, scenario: Scenario) -> None:
        setup, self._source = open_scenario(scenario, pace=None, story=False)
        self._inputs: Iterator = self._source.inputs()
        self._chain = MeasuringChain(setup)
        self.now_ns = 0
        self.shown: list[Reading] = []
        self.notices: list[Notice] = []
        self.state = ChannelStatus.WAITING
        self.sees: Quantity | None = None
        self._check: PartCheck | None = None

    @property
    def check(self) -> PartCheck:
        assert self._check is not None
        return self._check

    def close(self) -> None:
        self._source.close()
        for item in self._inputs:
            self._feed(item)

    def hands(self, *acts: str) -> None:
        """Each act, and what the meter says meanwhile."""
        for act in acts:
            self._source.do(act)
            self.step()

    def send(self, command: Command) -> None:
        self._feed(command)

    def begin(self, part: PartPlan, kind: PartKind, *, rule: str = "guarded") -> None:
        """The part is in the hand, the leads are off it, and its check begins."""
        if part.name not in {c.title for c in self._source.choices() if c.active}:
            self.hands(f"part: {part.name}")
        self.send(
            BeginCheck(
                time_ns=self.now_ns,
                part=part.name,
                label=part.label,
                kind=kind,
                accuracy=ACCURACY,
                rule=rule,
                channel="meter",
            )
        )
        if any(m.discharge_first for m in kind.measures):
            self.type("0.3 V", channel="residual")

    def select(self, section: str) -> None:
        self.send(SelectSection(time_ns=self.now_ns, section=section))

    def take(self) -> None:
        self.send(TakeReading(time_ns=self.now_ns))

    def type(self, text: str, channel: str = "meter") -> None:
        self.send(TypeReading(time_ns=self.now_ns, channel=channel, text=text))

    def null_leads(self) -> None:
        """Tips together for ohms, apart for farads."""
        for knob, leads in (
            (Quantity.RESISTANCE, "together"),
            (Quantity.CAPACITANCE, "air"),
        ):
            self.hands(f"leads: {leads}", f"knob: {knob.value}")
            assert self.wait(
                lambda knob=knob: self.sees is knob and self.state is ChannelStatus.SETTLED
            )
            self.send(NullLeads(time_ns=self.now_ns))
        assert not self.notices

    def times_taken(self, section: str) -> int:
        return len(next(s.taken for s in self.check.sections if s.section.name == section))

    def wait(self, true: Callable[[], bool], seconds: float = 30.0) -> bool:
        """Let time pass until it is true; whether it became so."""
        end_ns = self.now_ns + round(seconds * _SECOND)
        while not true():
            if self.now_ns >= end_ns:
                return False
            self.step()
        return True

    def step(self) -> None:
        self._feed(next(self._inputs))

    def shown_as(self, readings_si: Sequence[Decimal]) -> list[tuple[Decimal, Decimal]]:
        """The latest lines that showed these values, in their order, or the last line.

        Value and worth of the last digit, SI, as decimals. A line may repeat a measurement.
        """
        lines = [r for r in self.shown if r.status in (Status.OK, Status.SUSPECT)]
        shown = [(Decimal(repr(r.value)), Decimal(repr(r.resolution))) for r in lines]
        if not readings_si:
            return shown[-1:]
        found: list[tuple[Decimal, Decimal]] = []
        for reading in reversed(readings_si):
            while shown[-1][0] != reading:
                shown.pop()
            found.insert(0, shown.pop())
        return found

    def _feed(self, item) -> None:
        outcome = self._chain.feed(item)
        self.now_ns = outcome.time_ns
        self.shown += [r for r in outcome.readings if r.channel == "meter"]
        self.notices += outcome.notices
        for state in outcome.states:
            if state.channel == "meter":
                self.state, self.sees = state.state, state.quantity
        self._check = check_in(outcome) or self._check
