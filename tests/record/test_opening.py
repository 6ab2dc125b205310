"""Who may open a record, and what is said when it cannot be opened."""

import os
import sqlite3
import subprocess
import sys
import tempfile
from pathlib import Path

import msgspec
import pytest
from sqlalchemy import text

from benchmeter.checking.commands import Mark
from benchmeter.errors import (
    StoreDamaged,
    StoreForeign,
    StoreLocked,
    StoreNewer,
    StoreReadOnly,
)
from benchmeter.files.folders import Folders
from benchmeter.links.instruments.setup import BenchSetup
from benchmeter.record.engines import reading_engine, writing_engine
from benchmeter.record.migrations.m0003_digests import digest_session
from benchmeter.record.records import SessionState
from benchmeter.record.session_rows import all_sessions
from benchmeter.record.store import Store
from benchmeter.record.structs.session import StoredSession
from benchmeter.record.tables import APPLICATION_ID, SCHEMA_VERSION
from tests.commands.calls import call
from tests.fakes.refusals import advised, said
from tests.record.recordings import STARTED

DATA = Path(__file__).parent.parent / "data"


@pytest.fixture
def filled(folders: Folders, setup: BenchSetup) -> Folders:
    """A record with one ended session."""
    record(folders, setup)
    return folders


def record(folders: Folders, setup: BenchSetup) -> None:
    with Store.open(folders, write=True) as store:
        recorder = store.begin(setup, name="first", started=STARTED, zone="UTC")
        for number in range(2_000):
            recorder.take(Mark(time_ns=number, text=f"{number * 7919 % 10007}"))
        recorder.close()


def pragma(connection: object, name: str) -> object:
    return connection.execute(text(f"PRAGMA {name}")).scalar_one()  # type: ignore[attr-defined]


def test_the_writer_syncs_each_commit_and_keeps_its_references(filled: Folders) -> None:
    """SQLite documentation, pragma.html: synchronous 2 = FULL; wal.html: durable with FULL."""
    engine = writing_engine(filled.database)
    with engine.connect() as connection:
        assert pragma(connection, "journal_mode") == "wal"
        assert pragma(connection, "synchronous") == 2
        assert pragma(connection, "fullfsync") == 1
        assert pragma(connection, "checkpoint_fullfsync") == 1
        assert pragma(connection, "foreign_keys") == 1
        assert pragma(connection, "busy_timeout") == 5000
        assert pragma(connection, "trusted_schema") == 0
        assert pragma(connection, "application_id") == APPLICATION_ID
        assert pragma(connection, "user_version") == SCHEMA_VERSION
    assert engine.pool.size() == 1
    engine.dispose()


def test_a_reader_neither_writes_nor_checkpoints(filled: Folders) -> None:
    """A WAL with two checkpointing connections could be corrupted before SQLite 3.51.3."""
    engine = reading_engine(filled.database)
    with engine.connect() as connection:
        assert pragma(connection, "query_only") == 1
        assert pragma(connection, "wal_autocheckpoint") == 0
        assert pragma(connection, "busy_timeout") == 5000
        with pytest.raises(Exception, match="readonly"):
            connection.execute(text("CREATE TABLE x (y)"))
    engine.dispose()


def test_tables_made_in_a_transaction_that_fails_are_gone(filled: Folders) -> None:
    engine = writing_engine(filled.database)
    with pytest.raises(ZeroDivisionError), engine.begin() as connection:
        connection.execute(text("CREATE TABLE half_done (x)"))
        raise ZeroDivisionError
    with engine.begin() as connection:
        assert not connection.execute(
            text("SELECT count(*) FROM sqlite_schema WHERE name = 'half_done'")
        ).scalar_one()
    engine.dispose()


def test_a_missing_folder_is_made(tmp_path: Path) -> None:
    folders = Folders(tmp_path / "new folder" / "Käse #1 ?%20")
    with Store.open(folders, write=True) as store:
        assert store.sessions() == ()
    assert folders.database.exists()
    with Store.open(folders, write=False) as store:
        assert store.sessions() == ()


def test_nothing_is_made_by_looking(tmp_path: Path) -> None:
    folders = Folders(tmp_path / "none")
    with Store.open(folders, write=False) as store:
        assert store.sessions() == ()
        assert store.cut_off() == ()
    assert not folders.data.exists()


def test_a_second_writer_is_told_that_another_benchmeter_is_open(
    filled: Folders, setup: BenchSetup
) -> None:
    with Store.open(filled, write=True) as store:
        recorder = store.begin(setup, name="live", started=STARTED, zone="UTC")
        with pytest.raises(StoreLocked) as refused:
            Store.open(filled, write=True)
        assert "Another benchmeter is open on the data folder" in said(refused.value)

        with Store.open(filled, write=False) as viewer:  # as another process would
            live, ended = viewer.sessions()
            assert (live.state, ended.state) == (SessionState.OPEN, SessionState.ENDED)
            assert viewer.cut_off() == ()
            assert viewer.check(ended.id) == ()
        recorder.close()
    Store.open(filled, write=True).close()


def test_another_process_is_locked_out_and_may_look(filled: Folders) -> None:
    script = """
import sys
from pathlib import Path
from benchmeter.errors import StoreLocked
from benchmeter.files.folders import Folders
from benchmeter.record.store import Store
folders = Folders(Path(sys.argv[1]))
try:
    Store.open(folders, write=True)
except StoreLocked:
    with Store.open(folders, write=False) as store:
        print(len(store.sessions()))
"""
    with Store.open(filled, write=True):
        found = subprocess.run(
            [sys.executable, "-c", script, str(filled.data)], capture_output=True, text=True
        )
    assert (found.stdout.strip(), found.stderr) == ("1", "")


def test_a_newer_record_can_be_viewed_but_not_written(filled: Folders) -> None:
    with sqlite3.connect(filled.database) as raw:
        raw.execute(f"PRAGMA user_version = {SCHEMA_VERSION + 1}")
    raw.close()
    with pytest.raises(StoreNewer) as refused:
        Store.open(filled, write=True)
    assert "Update benchmeter" in advised(refused.value)
    with Store.open(filled, write=False) as store:
        assert len(store.sessions()) == 1


def test_a_newer_record_that_cannot_be_read_says_so(filled: Folders) -> None:
    with sqlite3.connect(filled.database) as raw:
        raw.execute("ALTER TABLE session RENAME COLUMN remark TO remarks_by_language")
        raw.execute(f"PRAGMA user_version = {SCHEMA_VERSION + 1}")
    raw.close()
    with Store.open(filled, write=False) as store, pytest.raises(StoreNewer):
        store.sessions()


@pytest.mark.parametrize("write", [True, False])
def test_a_file_that_is_no_database_is_left_alone(folders: Folders, write: bool) -> None:
    content = b"Dear diary, today the fan would not start. " * 50
    folders.database.write_bytes(content)
    with pytest.raises(StoreForeign):
        Store.open(folders, write=write)
    assert folders.database.read_bytes() == content


@pytest.mark.parametrize("write", [True, False])
def test_the_database_of_another_program_is_left_alone(folders: Folders, write: bool) -> None:
    with sqlite3.connect(folders.database) as raw:
        raw.execute("CREATE TABLE recipe (name)")
    raw.close()
    content = folders.database.read_bytes()
    with pytest.raises(StoreForeign):
        Store.open(folders, write=write)
    assert folders.database.read_bytes() == content
    assert sorted(p.name for p in folders.data.iterdir() if "wal" in p.name) == []


@pytest.mark.parametrize("kept", [0.9, 0.5, 0.1])
@pytest.mark.parametrize("write", [True, False])
def test_a_truncated_record_is_damaged(filled: Folders, kept: float, write: bool) -> None:
    os.truncate(filled.database, int(filled.database.stat().st_size * kept))
    content = filled.database.read_bytes()
    with pytest.raises(StoreDamaged) as refused:
        Store.open(filled, write=write)
    assert "backup" in advised(refused.value)
    assert filled.database.read_bytes() == content


def test_a_record_that_has_lost_its_beginning_is_not_replaced(filled: Folders) -> None:
    content = bytes(4096) + filled.database.read_bytes()[4096:]
    filled.database.write_bytes(content)
    with pytest.raises(StoreForeign):
        Store.open(filled, write=True)
    assert filled.database.read_bytes() == content


def test_a_read_only_disk_can_be_viewed_but_not_written(disk: Path, setup: BenchSetup) -> None:
    folders = Folders(disk / "data")
    record(folders, setup)
    subprocess.run(["mount", "-o", "remount,ro", str(disk)], check=True)
    with pytest.raises(StoreReadOnly) as refused:
        Store.open(folders, write=True)
    assert "choose another data folder" in advised(refused.value)
    with Store.open(folders, write=False) as store:
        (session,) = store.sessions()
        assert store.check(session.id) == ()


@pytest.mark.parametrize("kept", ["log and its index", "log alone"])
def test_a_session_that_was_cut_off_is_viewed_on_a_medium_that_takes_no_writing(
    filled: Folders, setup: BenchSetup, disk: Path, kept: str
) -> None:
    """A data folder as a power cut left it, on a card that is locked or a drive mounted to look."""
    crashed = Folders(disk / "data")
    with Store.open(filled, write=True) as store:
        recorder = store.begin(setup, name="cut", started=STARTED, zone="UTC")
        recorder.take(Mark(time_ns=1, text="fan"))
        recorder.flush()
        # By another process: to open the file in this one would free SQLite's own locks.
        subprocess.run(["cp", "-r", str(filled.data), str(crashed.data)], check=True)
        recorder.close()
    if kept == "log alone":
        crashed.database.with_name(crashed.database.name + "-shm").unlink()
    subprocess.run(["mount", "-o", "remount,ro", str(disk)], check=True)
    before = set(Path(tempfile.gettempdir()).glob("benchmeter-*"))
    with Store.open(crashed, write=False) as store:
        (cut,) = store.cut_off()
        assert list(store.inputs(cut.id)) == [Mark(time_ns=1, text="fan")]
        assert store.check(cut.id) == ()
    assert set(Path(tempfile.gettempdir()).glob("benchmeter-*")) == before


def test_a_version_that_is_none_of_ours_is_damage(filled: Folders) -> None:
    """A flipped bit in the header must not let a record be read as if it had no digests."""
    for version in (0, 1, SCHEMA_VERSION - 1, -1):
        with sqlite3.connect(filled.database) as raw:
            raw.execute(f"PRAGMA user_version = {version}")
        raw.close()
        for write in (False, True):
            with pytest.raises(StoreDamaged):
                Store.open(filled, write=write)


@pytest.mark.parametrize(
    ("version", "said"), [(SCHEMA_VERSION + 1, "opened read-only"), (2, "not sealed against")]
)
def test_a_command_tells_that_a_record_is_of_another_version(
    folders: Folders, version: int, said: str
) -> None:
    folders.database.write_bytes((DATA / "record-version-2.sqlite").read_bytes())
    if version > SCHEMA_VERSION:
        Store.open(folders, write=True).close()
        with sqlite3.connect(folders.database) as raw:
            raw.execute(f"PRAGMA user_version = {version}")
        raw.close()
    told = call("sessions", "--data", str(folders.data))
    assert (told.status, len(told.out.splitlines())) == (0, 2)
    assert said in told.err and len(told.err.splitlines()) == 1


def test_a_record_of_a_newer_benchmeter_is_opened_to_be_viewed(
    filled: Folders, setup: BenchSetup
) -> None:
    with sqlite3.connect(filled.database) as raw:
        raw.execute(f"PRAGMA user_version = {SCHEMA_VERSION + 1}")
    raw.close()
    with Store.open_or_view(filled) as store:
        (session,) = store.sessions()
        assert isinstance(store.refused, StoreNewer) and "read-only" in said(store.refused)
        for edit in (
            lambda: store.rename(session.id, "second"),
            lambda: store.begin(setup, name="third", started=STARTED, zone="UTC"),
        ):
            with pytest.raises(StoreNewer):
                edit()
        assert [s.name for s in store.sessions()] == ["first"]


UNKNOWN = {
    "state": ("UPDATE session SET state = 'handed over'", ()),
    "form": ("UPDATE session SET form = 99", ("events", "verdicts")),
    "kind of event": ("UPDATE event SET kind = 'smelled'", ("events",)),
    "kind of verdict": ("UPDATE verdict SET kind = 'belt'", ("verdicts",)),
    "word of a verdict": ("UPDATE verdict SET body = :body, word = 'splendid'", ("verdicts",)),
}


@pytest.mark.parametrize("what", UNKNOWN)
def test_what_a_newer_benchmeter_stored_is_unknown_and_not_damaged(
    folders: Folders, what: str
) -> None:
    """The session holds together: its digests were made by who stored it."""
    statement, unread = UNKNOWN[what]
    folders.database.write_bytes((DATA / "record-version-2.sqlite").read_bytes())
    Store.open(folders, write=True).close()
    engine = writing_engine(folders.database)
    with engine.begin() as connection:
        values = {"body": msgspec.msgpack.encode({"splendid": True})} if ":" in statement else {}
        connection.execute(text(statement), values)
        for row in map(StoredSession.of, connection.execute(all_sessions()).mappings().all()):
            digest_session(connection, msgspec.structs.replace(row, digest=None))
    engine.dispose()
    with Store.open(folders, write=False) as store:
        listed = store.listed()
        assert (len(listed.sessions), listed.damaged) == (2, ())
        for session in listed.sessions:
            assert (session.state is SessionState.UNKNOWN) == (what == "state")
            for read in ("setup", "events", "verdicts", "all_samples"):
                if read in unread:
                    with pytest.raises(StoreNewer) as told:
                        getattr(store, read)(session.id)
                    assert "a newer one recorded it" in said(told.value)
                else:
                    getattr(store, read)(session.id)


@pytest.mark.skipif(
    not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may write everywhere"
)
def test_a_read_only_folder_can_be_viewed_but_not_written(filled: Folders) -> None:
    filled.data.chmod(0o500)
    filled.database.chmod(0o400)
    try:
        with pytest.raises(StoreReadOnly):
            Store.open(filled, write=True)
        with Store.open(filled, write=False) as store:
            assert len(store.sessions()) == 1
    finally:
        filled.data.chmod(0o700)


def test_a_file_in_place_of_the_folder_is_said(tmp_path: Path) -> None:
    (tmp_path / "data").write_text("")
    with pytest.raises(StoreReadOnly):
        Store.open(Folders(tmp_path / "data"), write=True)
    with Store.open(Folders(tmp_path / "data"), write=False) as store:
        assert store.sessions() == ()


def test_a_refused_record_is_not_locked(filled: Folders) -> None:
    with sqlite3.connect(filled.database) as raw:
        raw.execute(f"PRAGMA user_version = {SCHEMA_VERSION + 1}")
    with pytest.raises(StoreNewer):
        Store.open(filled, write=True)
    with raw:
        raw.execute(f"PRAGMA user_version = {SCHEMA_VERSION}")
    raw.close()
    Store.open(filled, write=True).close()


def test_a_current_record_is_opened_without_the_migration_library(filled: Folders) -> None:
    script = """
import sys
from pathlib import Path
from benchmeter.files.folders import Folders
from benchmeter.record.store import Store
Store.open(Folders(Path(sys.argv[1])), write=True).close()
assert "alembic" not in sys.modules
"""
    subprocess.run([sys.executable, "-c", script, str(filled.data)], check=True)


def test_damage_is_found_after_a_crash(filled: Folders, setup: BenchSetup, tmp_path: Path) -> None:
    """After an unclean end the pages are checked, not only the file's length."""
    crashed = Folders(tmp_path / "crashed")
    with Store.open(filled, write=True) as store:
        recorder = store.begin(setup, name="cut", started=STARTED, zone="UTC")
        recorder.take(Mark(time_ns=1, text="fan"))
        recorder.flush()
        # By another process: to open the file in this one would free SQLite's own locks.
        subprocess.run(["cp", "-r", str(filled.data), str(crashed.data)], check=True)
        recorder.close()
    with Store.open(crashed, write=False) as store:
        assert len(store.cut_off()) == 1
    content = bytearray(crashed.database.read_bytes())
    page = 4096 * 8
    content[page : page + 64] = b"\xff" * 64
    crashed.database.write_bytes(content)
    with pytest.raises(StoreDamaged):
        Store.open(crashed, write=True)
