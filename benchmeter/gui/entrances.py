"""What the window asks of the rooms below. Everything here may wait: never on the GUI thread.

The heavy rooms are imported inside, so that the first window does not wait for them.
"""

import os
import subprocess
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from benchmeter.errors import InputError, WorldError
from benchmeter.settings.folders import Folders
from benchmeter.settings.resources import demo_sessions

if TYPE_CHECKING:
    from benchmeter.chain.outcome import Outcome
    from benchmeter.chain.running import RunningSession
    from benchmeter.instruments.discovery import PortFound
    from benchmeter.instruments.profile import Profile
    from benchmeter.storage.store import Store

__all__ = ["Entrances", "LinksFound"]

_OURS = "benchmeter"
_REPORT_S = 120

Publish = Callable[["Outcome"], None]


@dataclass(frozen=True, slots=True)
class LinksFound:
    """What could be connected: ports, profiles that may fit them, and profiles that are broken."""

    ports: "tuple[PortFound, ...]"
    profiles: "tuple[Profile, ...]"
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

    def write_report(self, session_id: str, path: Path, *, fahrenheit: bool) -> None:
        """Let the command line write the report: its pages and plot take more than a frame.

        Raises:
            InputError, WorldError: in the words of the command.
        """
        own = [sys.executable] if getattr(sys, "frozen", False) else [sys.executable, "-m", _OURS]
        command = [*own, "report", session_id, "--to", str(path), "--data"]
        command += [str(self.folders.data), *(["--fahrenheit", "--letter"] if fahrenheit else [])]
        done = subprocess.run(
            command,
            env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
            capture_output=True,
            text=True,
            timeout=_REPORT_S,
            check=False,
        )
        if done.returncode == 0:
            return
        said = done.stderr.strip().splitlines()
        text = said[-1].removeprefix(f"{_OURS}: ") if said else "The report could not be written."
        kind = InputError if done.returncode == 2 else WorldError
        raise kind(text, "", done.stderr)

    def warm_up(self) -> None:
        """Import what the first session needs, while the user reads the first screen."""
        import benchmeter.chain.opening
        import benchmeter.instruments.virtual.bench
        import benchmeter.reporting.wording_verdict  # noqa: F401
