"""Finding, reading and checking scenario files."""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import msgspec

from benchmeter.conformity.part_kind import PartKind
from benchmeter.conformity.part_kinds import load_part_kind
from benchmeter.errors import DataFileError, InputError
from benchmeter.instruments.profile import (
    LcdFormat,
    ModbusFormat,
    Profile,
    ScpiFormat,
    TextFormat,
)
from benchmeter.instruments.profiles import load_profile
from benchmeter.instruments.setup import Role
from benchmeter.instruments.virtual.contact import KNOB
from benchmeter.instruments.virtual.faults import FaultKind
from benchmeter.instruments.virtual.part_faults import part_faults
from benchmeter.instruments.virtual.scenario_plan import (
    HandheldPlan,
    InstrumentPlan,
    ModbusProbesPlan,
    ScenarioPlan,
    ScpiMeterPlan,
    TextProbesPlan,
)
from benchmeter.instruments.virtual.shelf import parts_in, places_of
from benchmeter.instruments.virtual.story import BeginCheckStep, HandsStep
from benchmeter.settings.folders import Folders
from benchmeter.settings.resources import demo_session, demo_sessions

__all__ = ["Scenario", "load_scenario", "scenarios"]

_FORMATS: dict[type, type] = {
    ScpiMeterPlan: ScpiFormat,
    HandheldPlan: LcdFormat,
    TextProbesPlan: TextFormat,
    ModbusProbesPlan: ModbusFormat,
}
_PROBE_FAULTS = {FaultKind.POWER_UP_VALUE, FaultKind.OPEN_PROBE}
_RESISTOR_ACTS = {"resistor: on", "resistor: off"}
_UNIT_ACTS = {"leads: terminals", "power: on", "power: off"}
_KNOB_ACTS = {"leads: together", *(f"knob: {quantity.value}" for quantity in KNOB)}


@dataclass(frozen=True, slots=True)
class Scenario:
    """A scenario that can be played.

    Attributes:
        name: file name without ending.
        plan: what the file says.
        profiles: of the instruments, by the profile's name.
        kinds: of the parts, by the kind's name.
    """

    name: str
    plan: ScenarioPlan
    profiles: Mapping[str, Profile]
    kinds: Mapping[str, PartKind]

    @property
    def title(self) -> str:
        """For people."""
        return self.plan.title

    def checking_channel(self) -> str:
        """The channel that parts are checked with unless the story names another."""
        channels = {c.name for instrument in self.plan.instruments for c in instrument.channels}
        return Role.METER if Role.METER in channels else Role.CAPACITOR


def scenarios() -> tuple[str, ...]:
    """The names of the scenarios that come with the program."""
    return tuple(sorted(path.stem for path in demo_sessions().glob("*.toml")))


def load_scenario(name_or_path: str, folders: Folders) -> Scenario:
    """A scenario of the program by its name, or any other by the path of its file.

    Args:
        folders: where the user's own profiles and kinds of parts are.

    Raises:
        InputError: there is no such scenario.
        DataFileError: the file is broken; file and field are named.
    """
    path = demo_session(name_or_path) if name_or_path in scenarios() else Path(name_or_path)
    try:
        text = path.read_text(encoding="utf-8")
    except (FileNotFoundError, IsADirectoryError, NotADirectoryError) as why:
        raise InputError(
            f"There is no scenario “{name_or_path}”.",
            f"Choose one of {', '.join(scenarios())}, or give the path of a file.",
        ) from why
    except (OSError, UnicodeDecodeError, ValueError) as why:
        raise DataFileError(
            f"The scenario file “{path}” cannot be read.",
            "It must be a text file in UTF-8 that you may read.",
            str(why),
        ) from why
    return _Reading(path).scenario(text, folders)


class _Reading:
    """Reads one file; every complaint names the file and the field."""

    def __init__(self, path: Path) -> None:
        self._path = path

    def scenario(self, text: str, folders: Folders) -> Scenario:
        try:
            plan = msgspec.convert(tomllib.loads(text), ScenarioPlan)
        except tomllib.TOMLDecodeError as why:
            raise self._broken("", f"it is not valid TOML ({why})") from why
        except msgspec.ValidationError as why:
            raise self._broken(*_plainly(str(why))) from why
        plan = self._unpacked(plan)
        kinds = self._kinds(plan, folders)
        for field, what in part_faults(plan, kinds):
            raise self._broken(field, what)
        profiles: dict[str, Profile] = {}
        for i, instrument in enumerate(plan.instruments):
            profile = self._profile(i, instrument, folders)
            profiles[instrument.profile] = profile
            self._check_instrument(i, instrument, profile, plan)
        self._check_names(plan)
        self._check_faults(plan)
        scenario = Scenario(self._path.stem, plan, profiles, kinds)
        self._check_story(scenario)
        return scenario

    def _broken(self, field: str, what: str) -> DataFileError:
        where = f", field {field}" if field else ""
        return DataFileError(
            f"The scenario file “{self._path}” cannot be used{where}: {what}.",
            "Mend the file, or choose another scenario.",
        )

    def _unpacked(self, plan: ScenarioPlan) -> ScenarioPlan:
        """The plan with the parts of its cartons behind the others."""
        parts = list(plan.parts)
        for i, carton in enumerate(plan.cartons):
            for j, row in enumerate(carton.rows):
                if len(row) != len(carton.sections):
                    raise self._broken(
                        f"cartons[{i}].rows[{j}]",
                        f"it must have a value for each of {', '.join(carton.sections)}",
                    )
            parts += parts_in(carton)
        if not parts:
            raise self._broken("parts", "there must be at least one part")
        return msgspec.structs.replace(plan, parts=tuple(parts), cartons=())

    def _kinds(self, plan: ScenarioPlan, folders: Folders) -> dict[str, PartKind]:
        kinds: dict[str, PartKind] = {}
        for i, part in enumerate(plan.parts):
            if part.kind and part.kind not in kinds:
                try:
                    kinds[part.kind] = load_part_kind(part.kind, folders)
                except InputError as why:
                    raise self._broken(f"parts[{i}].kind", _clause(why.user_text())) from why
        return kinds

    def _profile(self, i: int, instrument: InstrumentPlan, folders: Folders) -> Profile:
        try:
            return load_profile(instrument.profile, folders)
        except InputError as why:
            raise self._broken(f"instruments[{i}].profile", _clause(why.user_text())) from why

    def _check_instrument(
        self, i: int, instrument: InstrumentPlan, profile: Profile, plan: ScenarioPlan
    ) -> None:
        virtual = instrument.virtual
        if not isinstance(profile.format, _FORMATS[type(virtual)]):
            raise self._broken(
                f"instruments[{i}].virtual.kind",
                f"the profile “{instrument.profile}” does not speak like that",
            )
        units = {channel.field: channel.unit for channel in profile.channels}
        for j, channel in enumerate(instrument.channels):
            if channel.field not in units:
                raise self._broken(
                    f"instruments[{i}].channels[{j}].field",
                    f"the profile “{instrument.profile}” has no field “{channel.field}”",
                )
        if isinstance(virtual, ScpiMeterPlan | HandheldPlan) and virtual.knob not in KNOB:
            raise self._broken(
                f"instruments[{i}].virtual.knob", f"it has no position “{virtual.knob.value}”"
            )
        if isinstance(virtual, TextProbesPlan | ModbusProbesPlan):
            for name, probe in virtual.probes.items():
                if probe.air in ("discharge", "outdoor") and plan.unit is None:
                    raise self._broken(
                        f"instruments[{i}].virtual.probes.{name}.air", "there is no unit"
                    )
            for field in units:
                if field not in virtual.probes:
                    raise self._broken(
                        f"instruments[{i}].virtual.probes", f"the probe “{field}” is missing"
                    )
                if isinstance(virtual, ModbusProbesPlan) and units[field] != "°C":
                    raise self._broken(
                        f"instruments[{i}].profile", "a virtual module measures in °C only"
                    )

    def _check_names(self, plan: ScenarioPlan) -> None:
        if sum(map(_turns, plan.instruments)) > 1:
            raise self._broken("instruments", "hands have one knob only: one meter of any function")
        links: set[str] = set()
        channels: set[str] = set()
        for i, instrument in enumerate(plan.instruments):
            if instrument.name in links:
                raise self._broken(
                    f"instruments[{i}].name", f"two instruments are called “{instrument.name}”"
                )
            links.add(instrument.name)
            for j, channel in enumerate(instrument.channels):
                if channel.name in channels:
                    raise self._broken(
                        f"instruments[{i}].channels[{j}].name",
                        f"two channels are called “{channel.name}”",
                    )
                channels.add(channel.name)

    def _check_faults(self, plan: ScenarioPlan) -> None:
        instruments = {instrument.name: instrument for instrument in plan.instruments}
        unplugged_until: dict[str, float] = {}
        for i, fault in enumerate(plan.faults):
            instrument = instruments.get(fault.instrument)
            if instrument is None:
                raise self._broken(
                    f"faults[{i}].instrument", f"there is no instrument “{fault.instrument}”"
                )
            if fault.until_s <= fault.from_s:
                raise self._broken(f"faults[{i}].until_s", "it must be later than from_s")
            has_probes = isinstance(instrument.virtual, TextProbesPlan | ModbusProbesPlan)
            if fault.kind in _PROBE_FAULTS and not has_probes:
                raise self._broken(f"faults[{i}].kind", "only an instrument with probes has it")
            if fault.kind is FaultKind.WRONG_FUNCTION and has_probes:
                raise self._broken(f"faults[{i}].kind", "only a meter has it")
            if fault.field and fault.field not in {c.field for c in instrument.channels}:
                raise self._broken(f"faults[{i}].field", f"there is no field “{fault.field}”")
            if fault.kind is FaultKind.UNPLUGGED:
                if fault.from_s < unplugged_until.get(fault.instrument, 0):
                    raise self._broken(
                        f"faults[{i}].from_s", "the cable is still off from the time before"
                    )
                unplugged_until[fault.instrument] = fault.until_s

    def _check_story(self, scenario: Scenario) -> None:
        plan = scenario.plan
        parts = {part.name: part for part in plan.parts}
        places = {part.name: places_of(part, scenario.kinds.get(part.kind)) for part in plan.parts}
        channels = {c.name for instrument in plan.instruments for c in instrument.channels}
        in_hand = plan.parts[0].name
        before_s = 0.0
        for i, step in enumerate(plan.story):
            if not before_s <= step.at_s <= plan.length_s:
                raise self._broken(
                    f"story[{i}].at_s", "it must not be before the last step or after length_s"
                )
            before_s = step.at_s
            if isinstance(step, BeginCheckStep):
                if step.part not in parts:
                    raise self._broken(f"story[{i}].part", f"there is no part “{step.part}”")
                channel = step.channel or scenario.checking_channel()
                if channel not in channels:
                    raise self._broken(f"story[{i}].channel", f"there is no channel “{channel}”")
            if isinstance(step, HandsStep):
                named = step.act.removeprefix("part: ")
                if step.act.startswith("part: ") and named in parts:
                    in_hand = named
                elif step.act not in _acts(plan) | {f"leads: {p}" for p in places[in_hand]}:
                    raise self._broken(f"story[{i}].act", f"hands cannot do “{step.act}” here")


def _turns(instrument: InstrumentPlan) -> bool:
    match instrument.virtual:
        case ScpiMeterPlan(measures="any function") | HandheldPlan(measures="any function"):
            return True
        case _:
            return False


def _acts(plan: ScenarioPlan) -> set[str]:
    """What hands can do beside changing the part and touching it with the leads."""
    stored = [s.stored_v for part in plan.parts for s in part.sections.values()]
    stored += [t.stored_v for part in plan.parts for t in part.truths.values()]
    return {
        "leads: air",
        *(_UNIT_ACTS if plan.unit is not None else ()),
        *(_RESISTOR_ACTS if any(stored) or plan.unit is not None else ()),
        *(_KNOB_ACTS if any(map(_turns, plan.instruments)) else ()),
    }


_TYPES = {"int": "a whole number", "float": "a number", "str": "text", "bool": "true or false"}


def _plainly(message: str) -> tuple[str, str]:
    """Field and complaint of a validation message."""
    complaint, _, path = message.partition(" - at `$")
    field = path.rstrip("`").lstrip(".")
    if found := re.fullmatch(r"Object missing required field `(.+)`", complaint):
        return field, f"the field “{found[1]}” is missing"
    if found := re.fullmatch(r"Object contains unknown field `(.+)`", complaint):
        return field, f"there is no field “{found[1]}”"
    if found := re.fullmatch(r"Expected `(\w+)(?:`, got `\w+| (\S+ [\d.]+))`", complaint):
        kind = _TYPES.get(found[1], found[1])
        return field, f"{kind} {found[2]} is expected" if found[2] else f"{kind} is expected"
    return field, complaint[:1].lower() + complaint[1:].replace("`", "")


def _clause(sentence: str) -> str:
    return sentence.rstrip(".")
