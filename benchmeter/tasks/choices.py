"""What there is to choose from: cables and instruments, stories, kinds of parts."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchmeter.errors import WorldError
from benchmeter.files.folders import Folders
from benchmeter.files.resources import STANDARD_SCENARIO

if TYPE_CHECKING:  # the first window does not wait for them
    from benchmeter.links.instruments.discovery import PortFound
    from benchmeter.links.instruments.profile import Profile
    from benchmeter.parts.part_kind import PartKind

__all__ = ["LinksFound", "PartKindsFound", "Story", "find_kinds", "find_links", "find_stories"]


@dataclass(frozen=True, slots=True)
class LinksFound:
    """What could be connected: ports, profiles that may fit them, and profiles that are broken."""

    ports: "tuple[PortFound, ...]"
    profiles: "tuple[Profile, ...]"
    broken: tuple[WorldError, ...] = ()


@dataclass(frozen=True, slots=True)
class PartKindsFound:
    """Kinds of parts, and what is wrong with the files that cannot be used."""

    kinds: "tuple[PartKind, ...]"
    broken: tuple[WorldError, ...] = ()


@dataclass(frozen=True, slots=True)
class Story:
    """A scenario of the simulated bench, for choosing."""

    scenario: str
    title: str


def find_links(folders: Folders) -> LinksFound:
    """What is plugged in now."""
    from benchmeter.links.instruments.discovery import list_ports
    from benchmeter.links.instruments.profiles import all_profiles

    profiles, broken = all_profiles(folders)
    return LinksFound(list_ports(profiles), tuple(profiles), tuple(broken))


def find_stories(folders: Folders) -> tuple[Story, ...]:
    """What the simulated bench can play, the standard one first."""
    from benchmeter.simulator.scenario import load_scenario, scenarios

    found = [Story(name, load_scenario(name, folders).title) for name in scenarios()]
    return tuple(sorted(found, key=lambda s: (s.scenario != STANDARD_SCENARIO, s.title)))


def find_kinds(folders: Folders) -> PartKindsFound:
    """The kinds of parts that can be checked."""
    from benchmeter.parts.kind_catalogue import all_part_kinds

    return PartKindsFound(*all_part_kinds(folders))
