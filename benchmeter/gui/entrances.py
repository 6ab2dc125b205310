"""What the window asks of the rooms below. Everything here may wait: never on the GUI thread.

The heavy rooms are imported inside, so that the first window does not wait for them.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from benchmeter.chain.outcome import Outcome
from benchmeter.errors import WorldError
from benchmeter.instruments.profile import Profile
from benchmeter.settings.folders import Folders
from benchmeter.settings.resources import demo_sessions

if TYPE_CHECKING:
    from benchmeter.chain.running import RunningSession
    from benchmeter.instruments.discovery import PortFound
    from benchmeter.storage.store import Store

__all__ = ["Entrances", "LinksFound"]

Publish = Callable[[Outcome], None]


@dataclass(frozen=True, slots=True)
class LinksFound:
    """What could be connected: ports, profiles that may fit them, and profiles that are broken."""

    ports: "tuple[PortFound, ...]"
    profiles: tuple[Profile, ...]
    broken: tuple[WorldError, ...] = ()


class Entrances:
    """The ways into the rooms below, for one data folder. Runs on the worker."""

    def __init__(self, folders: Folders) -> None:
        self.folders = folders

    def open_store(self) -> "Store":
        from benchmeter.storage.store import Store

        self.folders.make()
        return Store.open(self.folders, write=True)

    def open_live(
        self, store: "Store", addresses: Sequence[str], publish: Publish
    ) -> "RunningSession":
        from benchmeter.chain.opening import open_live

        return open_live(self.folders, store, addresses, publish)

    def open_simulated(self, store: "Store", scenario: str, publish: Publish) -> "RunningSession":
        from benchmeter.chain.opening import open_simulated

        return open_simulated(self.folders, store, scenario, publish)

    def open_replay(self, store: "Store", session_id: str, publish: Publish) -> "RunningSession":
        from benchmeter.chain.opening import open_replay

        return open_replay(self.folders, store, session_id, publish)

    def find_links(self) -> LinksFound:
        from benchmeter.instruments.discovery import list_ports
        from benchmeter.instruments.profiles import all_profiles

        profiles, broken = all_profiles(self.folders)
        return LinksFound(list_ports(profiles), tuple(profiles), tuple(broken))

    def scenarios(self) -> tuple[str, ...]:
        return tuple(sorted(path.stem for path in demo_sessions().glob("*.toml")))

    def write_report(self, store: "Store", session_id: str, path: Path) -> None:
        from benchmeter.reporting.report import write_report

        write_report(store, session_id, path)

    def warm_up(self) -> None:
        """Import what the first session needs, while the user reads the first screen."""
        import benchmeter.chain.opening
        import benchmeter.storage.store  # noqa: F401
