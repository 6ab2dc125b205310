"""What is wrong with the instruments of a scenario file, and with the faults they shall have."""

from collections.abc import Iterator, Mapping

from benchmeter.errors import Message
from benchmeter.links.instruments.formats.lcd14_format import LcdFormat
from benchmeter.links.instruments.formats.modbus_format import ModbusFormat
from benchmeter.links.instruments.formats.scpi_format import ScpiFormat
from benchmeter.links.instruments.formats.text_format import TextFormat
from benchmeter.links.instruments.profile import Profile
from benchmeter.simulator.contact import KNOB
from benchmeter.simulator.line_faults import FaultKind
from benchmeter.simulator.scenario_plan import (
    HandheldPlan,
    InstrumentPlan,
    ModbusProbesPlan,
    ScenarioPlan,
    ScpiMeterPlan,
    TextProbesPlan,
)

__all__ = ["instrument_faults", "turns"]

_FORMATS: dict[type, type] = {
    ScpiMeterPlan: ScpiFormat,
    HandheldPlan: LcdFormat,
    TextProbesPlan: TextFormat,
    ModbusProbesPlan: ModbusFormat,
}
_PROBE_FAULTS = {FaultKind.POWER_UP_VALUE, FaultKind.OPEN_PROBE}


def instrument_faults(
    plan: ScenarioPlan, profiles: Mapping[str, Profile]
) -> Iterator[tuple[str, Message]]:
    """Each fault as field and reason."""
    for i, instrument in enumerate(plan.instruments):
        profile = profiles[instrument.profile]
        yield from _profile_faults(f"instruments[{i}]", instrument, profile)
        yield from _probe_faults(f"instruments[{i}]", instrument, profile, plan)
    yield from _name_faults(plan)
    yield from _planned_faults(plan)


def turns(instrument: InstrumentPlan) -> bool:
    """Whether hands can turn its knob."""
    match instrument.virtual:
        case ScpiMeterPlan(measures="any function") | HandheldPlan(measures="any function"):
            return True
        case _:
            return False


def _profile_faults(
    at: str, instrument: InstrumentPlan, profile: Profile
) -> Iterator[tuple[str, Message]]:
    virtual = instrument.virtual
    if not isinstance(profile.format, _FORMATS[type(virtual)]):
        what = Message("simulator.other_format", {"profile": instrument.profile})
        yield f"{at}.virtual.kind", what
    fields = {channel.field for channel in profile.channels}
    for j, channel in enumerate(instrument.channels):
        if channel.field not in fields:
            what = Message(
                "simulator.no_profile_field", {"profile": instrument.profile, "name": channel.field}
            )
            yield f"{at}.channels[{j}].field", what
    if isinstance(virtual, ScpiMeterPlan | HandheldPlan) and virtual.knob not in KNOB:
        yield f"{at}.virtual.knob", Message("simulator.no_position", {"name": virtual.knob.value})


def _probe_faults(
    at: str, instrument: InstrumentPlan, profile: Profile, plan: ScenarioPlan
) -> Iterator[tuple[str, Message]]:
    virtual = instrument.virtual
    if not isinstance(virtual, TextProbesPlan | ModbusProbesPlan):
        return
    for name, probe in virtual.probes.items():
        if probe.air in ("discharge", "outdoor") and plan.unit is None:
            yield f"{at}.virtual.probes.{name}.air", Message("simulator.no_unit")
    for channel in profile.channels:
        if channel.field not in virtual.probes:
            yield (
                f"{at}.virtual.probes",
                Message("simulator.probe_missing", {"name": channel.field}),
            )
        if isinstance(virtual, ModbusProbesPlan) and channel.unit != "°C":
            yield f"{at}.profile", Message("simulator.celsius_only")


def _name_faults(plan: ScenarioPlan) -> Iterator[tuple[str, Message]]:
    if sum(map(turns, plan.instruments)) > 1:
        yield "instruments", Message("simulator.one_knob")
    links: set[str] = set()
    channels: set[str] = set()
    for i, instrument in enumerate(plan.instruments):
        if instrument.name in links:
            yield (
                f"instruments[{i}].name",
                Message("simulator.two_instruments", {"name": instrument.name}),
            )
        links.add(instrument.name)
        for j, channel in enumerate(instrument.channels):
            if channel.name in channels:
                what = Message("simulator.two_channels", {"name": channel.name})
                yield f"instruments[{i}].channels[{j}].name", what
            channels.add(channel.name)


def _planned_faults(plan: ScenarioPlan) -> Iterator[tuple[str, Message]]:
    instruments = {instrument.name: instrument for instrument in plan.instruments}
    unplugged_until: dict[str, float] = {}
    for i, fault in enumerate(plan.faults):
        at = f"faults[{i}]"
        instrument = instruments.get(fault.instrument)
        if instrument is None:
            yield f"{at}.instrument", Message("simulator.no_instrument", {"name": fault.instrument})
            continue
        if fault.until_s <= fault.from_s:
            yield f"{at}.until_s", Message("simulator.until_before_from")
        has_probes = isinstance(instrument.virtual, TextProbesPlan | ModbusProbesPlan)
        if fault.kind in _PROBE_FAULTS and not has_probes:
            yield f"{at}.kind", Message("simulator.only_probes")
        if fault.kind is FaultKind.WRONG_FUNCTION and has_probes:
            yield f"{at}.kind", Message("simulator.only_meters")
        if fault.field and fault.field not in {c.field for c in instrument.channels}:
            yield f"{at}.field", Message("simulator.no_field", {"name": fault.field})
        if fault.kind is FaultKind.UNPLUGGED:
            if fault.from_s < unplugged_until.get(fault.instrument, 0):
                yield f"{at}.from_s", Message("simulator.still_unplugged")
            unplugged_until[fault.instrument] = fault.until_s
