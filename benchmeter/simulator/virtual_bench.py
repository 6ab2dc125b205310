"""Putting a simulated bench together from a scenario."""

from benchmeter.checking.commands import BeginCheck, Command
from benchmeter.links.instruments.building import conversation_for
from benchmeter.links.instruments.formats.modbus_format import ModbusFormat
from benchmeter.links.instruments.profile import LineSettings, Profile
from benchmeter.links.instruments.setup import BenchSetup, ChannelSetup, LinkSetup, Role
from benchmeter.quantities.quantity import Quantity
from benchmeter.simulator.air import Air
from benchmeter.simulator.lcd_meter import LcdMeter
from benchmeter.simulator.line_faults import (
    FaultKind,
    Span,
    TroubledMeter,
    TroubledProbe,
    TroubledWire,
)
from benchmeter.simulator.modbus_probes import ModbusProbes
from benchmeter.simulator.probes import AirProbe, Probe
from benchmeter.simulator.scenario import Scenario
from benchmeter.simulator.scenario_plan import (
    HandheldPlan,
    InstrumentPlan,
    ProbePlan,
    ScenarioPlan,
    ScpiMeterPlan,
    TextProbesPlan,
    UnitPlan,
)
from benchmeter.simulator.scpi_meter import ScpiMeter
from benchmeter.simulator.shelf import kind_of, part_of
from benchmeter.simulator.simulated_line import SimulatedLine, Unplugged, VirtualInstrument
from benchmeter.simulator.simulated_source import HandStep, SimulatedSource
from benchmeter.simulator.story import BeginCheckStep, Step, taken_in
from benchmeter.simulator.text_probes import TextProbes
from benchmeter.simulator.virtual_meter import (
    CapacitanceMeasuring,
    Measuring,
    Multimeter,
    ResistanceMeasuring,
    VoltageMeasuring,
)
from benchmeter.simulator.world import OutdoorUnit, World

__all__ = ["byte_ns", "open_scenario", "setup_of", "virtual_instrument", "world_of"]

_IDENTITIES = {
    "capacitance": "BENCHMETER,VIRTUAL-CAPACITANCE,0,1",
    "residual voltage": "BENCHMETER,VIRTUAL-VOLTMETER,0,1",
    "any function": "BENCHMETER,VIRTUAL-MULTIMETER,0,1",
}
_ROLES = {role.value: role for role in Role}


def open_scenario(
    scenario: Scenario, pace: float | None = 1.0, *, story: bool = True
) -> tuple[BenchSetup, SimulatedSource]:
    """The bench of a scenario: what it measures with, and the source of its session.

    Args:
        pace: simulated seconds per second; None: as fast as they are taken.
        story: whether the scenario acts by itself; else all is for the user's hands to do.
    """
    plan = scenario.plan
    world = world_of(scenario)
    lines = []
    for instrument in plan.instruments:
        profile = scenario.profiles[instrument.profile]
        lines.append(
            SimulatedLine(
                name=instrument.name,
                conversation=conversation_for(profile),
                instrument=virtual_instrument(plan, instrument, profile, world),
                byte_ns=byte_ns(profile.line),
                identity="simulated",
                unplugged=tuple(
                    Unplugged(span.from_ns, span.until_ns)
                    for span in _spans(plan, instrument)
                    if span.kind is FaultKind.UNPLUGGED
                ),
            )
        )
    source = SimulatedSource(
        lines,
        world,
        [_step(scenario, step) for step in plan.story] if story else None,
        length_ns=_ns(plan.length_s),
        start_utc_us=round(plan.start.timestamp() * 1e6),
        seed=plan.seed,
        pace=pace,
    )
    return setup_of(scenario), source


def setup_of(scenario: Scenario) -> BenchSetup:
    """What a session of this scenario measures with."""
    links = []
    channels = []
    for instrument in scenario.plan.instruments:
        profile = scenario.profiles[instrument.profile]
        links.append(
            LinkSetup(name=instrument.name, address=f"simulated:{scenario.name}", profile=profile)
        )
        by_field = {channel.field: channel for channel in profile.channels}
        for channel in instrument.channels:
            said = by_field[channel.field]
            channels.append(
                ChannelSetup(
                    name=channel.name,
                    role=_ROLES.get(channel.name, Role.OTHER),
                    link=instrument.name,
                    field=channel.field,
                    quantity=said.quantity,
                    accuracy=channel.accuracy or said.accuracy,
                )
            )
    return BenchSetup(origin="simulated", links=tuple(links), channels=tuple(channels))


def world_of(scenario: Scenario) -> World:
    """The world of a scenario, at its start."""
    plan = scenario.plan
    return World(
        [part_of(part, kind_of(part, scenario.kinds)) for part in plan.parts],
        None if plan.unit is None else _unit(plan.unit),
        knob=_knob(plan),
        room_c=plan.room_c,
    )


def virtual_instrument(
    plan: ScenarioPlan, instrument: InstrumentPlan, profile: Profile, world: World
) -> VirtualInstrument:
    """The virtual instrument, its faults included; usable on any line, real ones too."""
    seed = f"{plan.seed} {instrument.name}"
    spans = _spans(plan, instrument)
    virtual = instrument.virtual
    made: VirtualInstrument
    match virtual:
        case ScpiMeterPlan():
            measuring = _measuring(virtual, spans, world, seed)
            made = ScpiMeter(measuring, _IDENTITIES[virtual.measures], virtual.digits)
        case HandheldPlan():
            made = LcdMeter(_measuring(virtual, spans, world, seed))
        case TextProbesPlan():
            made = TextProbes(_probes(virtual.probes, spans, world, seed), virtual.unit)
        case _:
            assert isinstance(profile.format, ModbusFormat)  # checked when the file was read
            made = ModbusProbes(profile.format, _probes(virtual.probes, spans, world, seed))
    return TroubledWire(made, spans, f"{seed} wire")


def byte_ns(line: LineSettings) -> int:
    """The time of one byte on a line, its start, parity and stop bits included."""
    bits = 1 + line.data_bits + (line.parity != "none") + line.stop_bits
    return bits * 1_000_000_000 // line.baud


def _measuring(
    virtual: ScpiMeterPlan | HandheldPlan, spans: tuple[Span, ...], world: World, seed: str
) -> Measuring:
    measuring: Measuring
    match virtual.measures:
        case "capacitance":
            measuring = CapacitanceMeasuring(world, seed, virtual.gain, virtual.noise_counts)
        case "residual voltage":
            measuring = VoltageMeasuring(world, seed, virtual.noise_counts)
        case "any function":
            measuring = Multimeter(world, seed, virtual.gain, virtual.noise_counts)
    return TroubledMeter(measuring, ResistanceMeasuring(world), spans)


def _probes(
    plans: dict[str, ProbePlan], spans: tuple[Span, ...], world: World, seed: str
) -> dict[str, Probe]:
    air = {
        "discharge": world.discharge_k,
        "outdoor": world.outdoor_k,
        "part": world.part_k,
        "room": world.room_k,
    }
    return {
        field: TroubledProbe(
            AirProbe(air[plan.air], f"{seed} {field}", plan.lag_s, plan.noise_k, plan.offset_k),
            tuple(span for span in spans if span.field in ("", field)),
        )
        for field, plan in plans.items()
    }


def _spans(plan: ScenarioPlan, instrument: InstrumentPlan) -> tuple[Span, ...]:
    return tuple(
        Span(fault.kind, _ns(fault.from_s), _ns(fault.until_s), fault.field)
        for fault in plan.faults
        if fault.instrument == instrument.name
    )


def _unit(plan: UnitPlan) -> OutdoorUnit:
    return OutdoorUnit(
        air=Air(plan.outdoor_c, plan.outdoor_drift_k_per_h),
        restart_delay_s=plan.restart_delay_s,
        dead_time_s=plan.dead_time_s,
        time_constant_s=plan.time_constant_s,
        cool_down_s=plan.cool_down_s,
        rise_k=plan.rise_k,
        stored_v=plan.stored_v,
        stored_f=plan.stored_uf * 1e-6,
        resistor_ohm=plan.resistor_ohm,
    )


def _knob(plan: ScenarioPlan) -> Quantity | None:
    """Where the multimeter's knob stands at the start; None where there is none."""
    for instrument in plan.instruments:
        virtual = instrument.virtual
        if isinstance(virtual, ScpiMeterPlan | HandheldPlan) and virtual.measures == "any function":
            return virtual.knob
    return None


def _step(scenario: Scenario, step: Step) -> HandStep | Command:
    if not isinstance(step, BeginCheckStep):
        return taken_in(step)
    plan = scenario.plan
    part = next(part for part in plan.parts if part.name == step.part)
    channels = {c.name: c for instrument in plan.instruments for c in instrument.channels}
    channel = channels[step.channel or scenario.checking_channel()]
    return BeginCheck(
        time_ns=_ns(step.at_s),
        part=part.name,
        label=part.label,
        kind=scenario.kinds[part.kind] if part.kind else None,
        lot=part.lot,
        tolerance=part.tolerance,
        accuracy=channel.accuracy if step.accuracy is None else step.accuracy,
        rule=step.rule,
        channel=channel.name,
    )


def _ns(seconds: float) -> int:
    return round(seconds * 1e9)
