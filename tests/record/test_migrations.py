"""Records of older versions are brought up to date, filled as they are, or left untouched."""

import lzma
import shutil
import sqlite3
from decimal import Decimal
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
import sqlalchemy as sa
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.operations import Operations

from benchmeter.checking.check import PartCheck
from benchmeter.checking.commands import Mark
from benchmeter.conformity.verdict import Verdict
from benchmeter.cooling.recovery import Phase, Recovery
from benchmeter.errors import StoreDamaged
from benchmeter.files.folders import Folders
from benchmeter.readings.events import Event, EventKind
from benchmeter.readings.inputs import Chunk, LinkChange
from benchmeter.record.engines import writing_engine
from benchmeter.record.migrations import STEPS
from benchmeter.record.migrations.runner import migrate
from benchmeter.record.records import SessionState
from benchmeter.record.store import Store
from benchmeter.record.structs.findings import SessionForm
from benchmeter.record.tables import SCHEMA_VERSION, metadata

DATA = Path(__file__).parent.parent / "data"
SECOND = 1_000_000_000


@pytest.fixture(params=range(1, SCHEMA_VERSION))
def old(request: pytest.FixtureRequest, folders: Folders) -> Folders:
    """A filled record of each version that there has been before."""
    shutil.copy(DATA / f"record-version-{request.param}.sqlite", folders.database)
    return folders


@pytest.mark.parametrize("write", [False, True], ids=["as it is", "brought up to date"])
def test_a_record_of_any_version_opens_with_all_it_holds(old: Folders, write: bool) -> None:
    """What is expected is what tests/data/make_record_of_version_1.py put in."""
    before = old.database.read_bytes()
    with Store.open(old, write=write) as store:
        for session in store.sessions():
            assert store.check(session.id) == ()
            inputs = list(store.inputs(session.id))
            assert inputs[0] == LinkChange(time_ns=0, link="probe", up=True)
            assert inputs[100] == Chunk(time_ns=100 * SECOND, link="probe", data=b"30.0 C")
            assert inputs[101] == Mark(time_ns=101 * SECOND, text="fan on")
            samples = store.samples(session.id, "discharge")
            assert samples.value.tolist() == [
                float(Decimal(f"{20 + n / 10:.1f}") + Decimal("273.15")) for n in range(1, 101)
            ]
            assert store.events(session.id) == (Event(EventKind.MARK, 101 * SECOND, text="fan on"),)
            part, recovery = (v.finding for v in store.verdicts(session.id))
            assert isinstance(part, PartCheck) and part.verdict is not None
            assert part.verdict.verdict is Verdict.FAIL
            assert part.verdict.sections[0].reading_si == Decimal("4.1e-6")
            assert isinstance(recovery, Recovery) and recovery.phase is Phase.WAITING
            assert store.setup(session.id).links[0].profile.title == "Probe"
    if not write:
        assert old.database.read_bytes() == before
        return
    with Store.open(old, write=True) as store:
        (cut,) = store.cut_off()
        store.finish(cut.id)
        assert {s.name: (s.state, s.remark) for s in store.sessions()} == {
            "ended": (SessionState.ENDED, "condenser dirty"),
            "cut off": (SessionState.CUT_OFF, ""),
        }
        assert store.check(cut.id) == ()


def test_migrated_tables_are_those_of_a_new_record(old: Folders) -> None:
    """A change of the tables without a migration fails here."""
    Store.open(old, write=True).close()
    engine = writing_engine(old.database)
    with engine.connect() as connection:
        assert compare_metadata(MigrationContext.configure(connection), metadata) == []
    engine.dispose()


@pytest.mark.parametrize(
    ("record", "of_version", "form"),
    [
        ("record-version-1", 1, SessionForm.FARADS),
        ("shelf", 1, SessionForm.SI),
        ("record-version-2", 2, SessionForm.CODES),
        ("record-version-3", 3, SessionForm.CODES),
    ],
)
def test_each_session_tells_the_form_that_it_was_stored_in(
    folders: Folders, record: str, of_version: int, form: SessionForm
) -> None:
    """What was stored itself stays, byte for byte, with all its children, and holds together."""
    filled = DATA / f"{record}.sqlite"
    packed = DATA / "records" / f"{record}.sqlite.xz"
    folders.database.write_bytes(
        filled.read_bytes() if filled.exists() else lzma.decompress(packed.read_bytes())
    )
    before = rows(folders.database)

    Store.open(folders, write=True).close()

    (backup,) = (folders.data / "backups").iterdir()
    assert rows(backup) == before and version(backup) == of_version
    assert version(folders.database) == SCHEMA_VERSION
    after = rows(folders.database)
    assert {row["form"] for row in after["session"]} == {form}
    assert all(row["digest"] for row in after["session"])
    for table, stored in before.items():
        kept = [{name: row[name] for name in stored[0]} for row in after[table]] if stored else []
        assert kept == stored
    with Store.open(folders, write=False) as store:
        assert store.listed().damaged == ()
        assert all(store.check(session.id) == () for session in store.sessions())


def test_what_had_been_changed_before_is_not_sealed_as_sound(folders: Folders) -> None:
    """A verdict of version 2 in which a bit had flipped: bringing it up to date makes it no better."""
    folders.database.write_bytes((DATA / "record-version-2.sqlite").read_bytes())
    with sqlite3.connect(folders.database) as raw:
        raw.execute("UPDATE verdict SET word = 'pass' WHERE kind = 'part'")
    raw.close()
    for write in (False, True):
        with Store.open(folders, write=write) as store:
            (ended,) = store.listed().damaged
            with pytest.raises(StoreDamaged):
                store.verdicts(str(UUID(ended)))


def add_customer(op: Operations) -> None:
    """A made-up step: the parent of all tables is copied, dropped and renamed."""
    with op.batch_alter_table("session", recreate="always") as batch:
        batch.add_column(sa.Column("customer", sa.Text, nullable=False, server_default=""))
        batch.alter_column("remark", existing_type=sa.Text, nullable=True)


def rows(path: Path) -> dict[str, list[dict[str, Any]]]:
    raw = sqlite3.connect(path)
    raw.row_factory = lambda cursor, row: {
        column[0]: value for column, value in zip(cursor.description, row, strict=True)
    }
    found = {
        name: raw.execute(f"SELECT * FROM {name} ORDER BY 1, 2, 3").fetchall()
        for name in count(path)
    }
    raw.close()
    return found


def count(path: Path) -> dict[str, int]:
    raw = sqlite3.connect(path)
    names = [
        n for (n,) in raw.execute("SELECT name FROM sqlite_schema WHERE type = 'table'").fetchall()
    ]
    found = {n: raw.execute(f"SELECT count(*) FROM {n}").fetchone()[0] for n in names}
    raw.close()
    return found


def version(path: Path) -> int:
    raw = sqlite3.connect(path)
    (found,) = raw.execute("PRAGMA user_version").fetchone()
    raw.close()
    return int(found)


def next_step(folders: Folders, step: object) -> Path:
    return migrate(
        folders.database,
        folders.data / "backups",
        SCHEMA_VERSION,
        steps={**STEPS, SCHEMA_VERSION + 1: step},  # type: ignore[dict-item]
        target=SCHEMA_VERSION + 1,
    )


@pytest.fixture
def current(folders: Folders) -> Folders:
    shutil.copy(DATA / "record-version-1.sqlite", folders.database)
    Store.open(folders, write=True).close()
    return folders


def test_children_survive_a_migration_of_their_parent(current: Folders) -> None:
    before = count(current.database)
    assert min(before[n] for n in ("session", "raw_pack", "event", "verdict", "sample_tail")) > 0

    backup = next_step(current, add_customer)

    assert count(current.database) == before
    assert version(current.database) == SCHEMA_VERSION + 1
    raw = sqlite3.connect(current.database)
    assert raw.execute("SELECT customer FROM session").fetchall() == [("",), ("",)]
    assert raw.execute("PRAGMA foreign_key_check").fetchall() == []
    references = {row[2] for row in raw.execute("PRAGMA foreign_key_list(raw_pack)")}
    assert references == {"session"}
    raw.close()
    assert (count(backup), version(backup)) == (before, SCHEMA_VERSION)


def test_a_backup_can_take_the_place_of_the_record(current: Folders) -> None:
    backup = next_step(current, add_customer)
    shutil.copy(backup, current.database)
    with Store.open(current, write=True) as store:
        assert len(store.sessions()) == 2
        assert all(store.check(s.id) == () for s in store.sessions())
    raw = sqlite3.connect(current.database)
    assert raw.execute("PRAGMA journal_mode").fetchone() == ("wal",)
    raw.close()


def lose_children(op: Operations) -> None:
    op.execute("DELETE FROM sample_block")


def orphan_children(op: Operations) -> None:
    op.execute("UPDATE event SET session_id = 'gone'")


def fail_half_way(op: Operations) -> None:
    add_customer(op)
    raise ZeroDivisionError


@pytest.mark.parametrize(
    ("step", "error"),
    [
        (lose_children, StoreDamaged),
        (orphan_children, StoreDamaged),
        (fail_half_way, ZeroDivisionError),
    ],
)
def test_a_migration_that_goes_wrong_changes_nothing(
    current: Folders, step: object, error: type[Exception]
) -> None:
    before = count(current.database)
    with pytest.raises(error):
        next_step(current, step)
    assert (count(current.database), version(current.database)) == (before, SCHEMA_VERSION)
    with Store.open(current, write=True) as store:
        assert all(store.check(s.id) == () for s in store.sessions())
