"""The record is for its user alone, whatever the folder, an older program or the umask allow.

POSIX: the group's and the others' bits of a mode.
"""

import os
import shutil
import stat
from collections.abc import Iterator
from pathlib import Path

import pytest

from benchmeter.errors import StoreForeign
from benchmeter.files.folders import Folders
from benchmeter.files.preferences import Preferences, save_preferences
from benchmeter.links.instruments.setup import BenchSetup
from benchmeter.record.store import Store
from tests.record.recordings import STARTED, chunk, reading

pytestmark = pytest.mark.skipif(os.name == "nt", reason="Windows has access lists, no modes")

OLD = Path(__file__).parents[1] / "data" / "record-version-1.sqlite"


@pytest.fixture
def open_to_all(tmp_path: Path) -> Iterator[Folders]:
    """A folder that everybody may read and write, and a umask that forbids nothing."""
    before = os.umask(0)
    folders = Folders(tmp_path / "data")
    folders.data.mkdir(mode=0o777)
    yield folders
    os.umask(before)


def others_may(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode) & 0o077


def everything(folders: Folders) -> list[str]:
    return sorted(p.relative_to(folders.data).as_posix() for p in folders.data.rglob("*"))


def test_nobody_else_reads_the_record_or_what_lies_beside_it(
    open_to_all: Folders, setup: BenchSetup
) -> None:
    save_preferences(open_to_all, Preferences())
    with Store.open(open_to_all, write=True) as store:
        recorder = store.begin(setup, name="x", started=STARTED, zone="UTC")
        recorder.take(chunk(0), (reading(0),))
        recorder.flush()
        names = everything(open_to_all)
        assert {"benchmeter.lock", "benchmeter.sqlite", "benchmeter.sqlite-wal"} < set(names)
        loose = [n for n in names if others_may(open_to_all.data / n)]
        recorder.close()
    assert loose == []
    assert others_may(open_to_all.data) == 0


def test_what_an_older_program_left_open_is_closed_and_so_is_its_backup(
    open_to_all: Folders,
) -> None:
    shutil.copy(OLD, open_to_all.database)
    (open_to_all.data / "backups").mkdir(mode=0o777)
    (open_to_all.data / "backups" / "benchmeter-version-0.sqlite").touch(0o666)
    for name in ("benchmeter.lock", "benchmeter.log", "benchmeter.log.1", "settings.toml"):
        (open_to_all.data / name).touch(0o666)
    open_to_all.database.chmod(0o666)
    Store.open(open_to_all, write=True).close()
    assert sum("backups/" in name for name in everything(open_to_all)) == 2
    assert [n for n in everything(open_to_all) if others_may(open_to_all.data / n)] == []


@pytest.mark.parametrize("kind", ["holds other things", "sticky"])
def test_a_folder_that_is_not_ours_alone_keeps_its_mode(open_to_all: Folders, kind: str) -> None:
    """`--data /tmp` must not lock everybody out of /tmp."""
    if kind == "sticky":
        open_to_all.data.chmod(0o1777)
    else:
        (open_to_all.data / "holiday.jpg").touch()
    before = open_to_all.data.stat().st_mode
    for _ in range(2):
        Store.open(open_to_all, write=True).close()
    assert open_to_all.data.stat().st_mode == before
    assert others_may(open_to_all.database) == 0


@pytest.mark.parametrize("write", [True, False])
@pytest.mark.parametrize("name", ["benchmeter.sqlite", "benchmeter.lock"])
def test_a_pipe_in_the_place_of_a_file_holds_nobody_up(
    name: str, write: bool, folders: Folders
) -> None:
    Store.open(folders, write=True).close()
    (folders.data / name).unlink()
    os.mkfifo(folders.data / name)
    with pytest.raises(StoreForeign):
        Store.open(folders, write=write)
