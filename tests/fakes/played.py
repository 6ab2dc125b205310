"""A scenario played to its end, and kept."""

from dataclasses import dataclass
from pathlib import Path

from benchmeter.files.folders import Folders
from benchmeter.record.store import Store
from benchmeter.session.outcome import Outcome
from benchmeter.tasks.opening import open_simulated

__all__ = ["Played", "play"]

_HANGS_S = 170  # no time to keep: a busy machine may take long


@dataclass
class Played:
    """A scenario that was played to its end."""

    scenario: str
    folders: Folders
    store: Store
    session_id: str
    outcomes: list[Outcome]


def play(folder: Path, scenario: str) -> Played:
    folders = Folders(folder)
    folders.make()
    store = Store.open(folders, write=True)
    outcomes: list[Outcome] = []
    session = open_simulated(folders, store, scenario, outcomes.append, pace=None)
    session.start()
    assert session.wait(_HANGS_S)
    session.stop()
    assert session.failure is None
    return Played(scenario, folders, store, session.session_id, outcomes)
