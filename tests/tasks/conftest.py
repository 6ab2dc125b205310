"""A stored session of each scenario, played once for all tests of this folder."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from benchmeter.files.folders import Folders
from benchmeter.record.store import Store
from benchmeter.session.outcome import Outcome
from benchmeter.tasks.opening import open_simulated

_HANGS_S = 250  # no time to keep: a busy machine may take long


@dataclass
class Played:
    """A scenario that was played to its end."""

    folders: Folders
    store: Store
    session_id: str
    outcomes: list[Outcome]


def _play(folder: Path, scenario: str) -> Played:
    folders = Folders(folder)
    folders.make()
    store = Store.open(folders, write=True)
    outcomes: list[Outcome] = []
    session = open_simulated(folders, store, scenario, outcomes.append, pace=None)
    session.start()
    assert session.wait(_HANGS_S)
    session.stop()
    assert session.failure is None
    return Played(folders, store, session.session_id, outcomes)


@pytest.fixture(
    scope="package",
    params=[
        pytest.param("walk-in-cooler", marks=pytest.mark.slow),
        "short-visit",
        "handheld-and-modbus",
        "troubled-links",
        "shop-bench",
        "carton-of-forty",
    ],
)
def played(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Played]:
    made = _play(tmp_path_factory.mktemp(request.param) / "data", request.param)
    yield made
    made.store.close()
