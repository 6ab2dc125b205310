"""Finding, reading and checking scenario files."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

import msgspec

from benchmeter.errors import DataFileError, InputError, Message
from benchmeter.files.folders import Folders
from benchmeter.files.resources import demo_session, demo_sessions
from benchmeter.files.toml_folder import read_toml
from benchmeter.links.instruments.profile import Profile
from benchmeter.links.instruments.profiles import load_profile
from benchmeter.links.instruments.setup import Role
from benchmeter.parts.kind_catalogue import load_part_kind
from benchmeter.parts.part_kind import PartKind
from benchmeter.simulator.instrument_faults import instrument_faults
from benchmeter.simulator.part_faults import part_faults
from benchmeter.simulator.scenario_plan import ScenarioPlan
from benchmeter.simulator.shelf import parts_in
from benchmeter.simulator.story_faults import story_faults

__all__ = ["Scenario", "load_scenario", "scenarios"]


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
    if not path.exists() or path.is_dir():
        raise InputError("simulator.no_scenario", name=name_or_path, known=scenarios())
    return _Reading(path).scenario(folders)


class _Reading:
    """Reads one file; every complaint names the file and the field."""

    def __init__(self, path: Path) -> None:
        self._path = path

    def scenario(self, folders: Folders) -> Scenario:
        plan = read_toml(self._path, ScenarioPlan, Message("simulator.scenario"))
        plan = self._unpacked(plan)
        kinds = self._kinds(plan, folders)
        self._refuse(part_faults(plan, kinds))
        profiles = self._profiles(plan, folders)
        self._refuse(instrument_faults(plan, profiles))
        scenario = Scenario(self._path.stem, plan, profiles, kinds)
        self._refuse(story_faults(plan, kinds, scenario.checking_channel()))
        return scenario

    def _refuse(self, faults: Iterable[tuple[str, Message]]) -> None:
        for field, what in faults:
            raise self._wrong(field, what)

    def _wrong(self, field: str, why: InputError | Message) -> DataFileError:
        return DataFileError("files.scenario_field", path=self._path, field=field, why=why)

    def _unpacked(self, plan: ScenarioPlan) -> ScenarioPlan:
        """The plan with the parts of its cartons behind the others."""
        parts = list(plan.parts)
        for i, carton in enumerate(plan.cartons):
            for j, row in enumerate(carton.rows):
                if len(row) != len(carton.sections):
                    missing = Message("simulator.carton_row", {"names": carton.sections})
                    raise self._wrong(f"cartons[{i}].rows[{j}]", missing)
            parts += parts_in(carton)
        if not parts:
            raise self._wrong("parts", Message("simulator.one_part_needed"))
        return msgspec.structs.replace(plan, parts=tuple(parts), cartons=())

    def _kinds(self, plan: ScenarioPlan, folders: Folders) -> dict[str, PartKind]:
        kinds: dict[str, PartKind] = {}
        for i, part in enumerate(plan.parts):
            if part.kind and part.kind not in kinds:
                try:
                    kinds[part.kind] = load_part_kind(part.kind, folders)
                except InputError as why:
                    raise self._wrong(f"parts[{i}].kind", why) from why
        return kinds

    def _profiles(self, plan: ScenarioPlan, folders: Folders) -> dict[str, Profile]:
        profiles: dict[str, Profile] = {}
        for i, instrument in enumerate(plan.instruments):
            name = instrument.profile
            try:
                profiles[name] = load_profile(name, folders)
            except InputError as why:
                raise self._wrong(f"instruments[{i}].profile", why) from why
        return profiles
