"""Opening a database: is it ours, is it whole, is it of this version?"""

import logging
import os
import shutil
from pathlib import Path
from tempfile import TemporaryDirectory

from sqlalchemy import Engine, create_engine, text
from sqlalchemy.exc import OperationalError
from sqlalchemy.pool import StaticPool

from benchmeter.files.privacy import private_file
from benchmeter.record.engines import (
    reading_engine,
    roll_back,
    run_outside_transaction,
    writing_engine,
)
from benchmeter.record.migrations import AS_NOW
from benchmeter.record.store_faults import damaged, foreign, is_read_only, newer
from benchmeter.record.tables import APPLICATION_ID, SCHEMA_VERSION, metadata

__all__ = ["empty_engine", "open_for_reading", "open_for_writing", "recovered_copy"]

_log = logging.getLogger(__name__)

_COLUMNS = text("SELECT name FROM pragma_table_info('session')")
_SINCE = {"digest": 3, "visit": 4}  # the first version with such a column


def open_for_writing(path: Path) -> Engine:
    """The writing engine, on a database that is there, ours, whole and of this version.

    The caller holds the writer's lock. Errors of the database are left to the caller.

    Raises:
        StoreForeign, StoreNewer, StoreDamaged: see there.
    """
    log = path.with_name(path.name + "-wal")
    was_cut_off = log.exists() and log.stat().st_size > 0
    version = _version(path) if path.exists() else None
    if version is None:
        _create(path)
    elif version > SCHEMA_VERSION:
        raise newer(path)
    elif was_cut_off:
        _quick_check(path)
    if version is not None and version < SCHEMA_VERSION:
        # Alembic costs a quarter of a second; it is needed once in a version.
        from benchmeter.record.migrations.runner import migrate

        migrate(path, path.parent / "backups", version)
    engine = writing_engine(path)
    _use_write_ahead_log(engine)
    _write_something(engine)
    return engine


def open_for_reading(path: Path) -> tuple[Engine, int]:
    """The reading engine, and the version of the schema.

    One of an older version is read as it is; only who opens it for writing brings it up to date.

    Raises:
        StoreForeign: not ours.
    """
    version = _version(path)
    if version is None:
        return empty_engine(), SCHEMA_VERSION
    return reading_engine(path, AS_NOW.get(version, ())), version


def recovered_copy(path: Path) -> "TemporaryDirectory[str] | None":
    """A copy of what a crash left on a medium that takes no writing, for as long as it is read.

    SQLite reads what is in a log or a journal only where it may write beside it. None: it needs
    no copy.
    """
    log, shared, journal = (path.with_name(path.name + end) for end in ("-wal", "-shm", "-journal"))
    left = (log.exists() and log.stat().st_size and not shared.exists()) or journal.exists()
    if not left or os.access(path.parent, os.W_OK):
        return None
    folder = TemporaryDirectory(prefix="benchmeter-")
    for file in (path, log, journal):
        if file.exists():
            shutil.copyfile(file, Path(folder.name) / file.name)
    return folder


def empty_engine() -> Engine:
    """A record in which nothing is stored yet."""
    engine = create_engine(
        "sqlite+pysqlite://", poolclass=StaticPool, connect_args={"check_same_thread": False}
    )
    metadata.create_all(engine)
    return engine


def _version(path: Path) -> int | None:
    """The schema's version; None if nothing is in the file yet."""
    try:
        return _read_version(path)
    except OperationalError as error:
        if not is_read_only(error):
            raise
    # A crash left a journal, and who may not write cannot roll it back.
    roll_back(path)
    return _read_version(path)


def _read_version(path: Path) -> int | None:
    engine = reading_engine(path)
    try:
        with engine.begin() as connection:
            pragma = {
                name: connection.execute(text(f"PRAGMA {name}")).scalar_one()
                for name in ("application_id", "user_version")
            }
            has_tables = connection.execute(text("SELECT count(*) FROM sqlite_schema")).scalar_one()
            columns = connection.execute(_COLUMNS).scalars().all()
    finally:
        engine.dispose()
    if pragma["application_id"] == APPLICATION_ID:
        version: int = pragma["user_version"]
        if version < max((1, *(_SINCE.get(name, 1) for name in columns))):
            raise damaged(path, f"user_version {version}")  # else it were read as if it had none
        return version
    if pragma["application_id"] == 0 and not has_tables:
        return None  # also what a crash in the middle of `_create` leaves
    raise foreign(path, f"application_id {pragma['application_id']:#x}")


def _create(path: Path) -> None:
    private_file(path)
    engine = writing_engine(path, create=True)
    try:
        with engine.begin() as connection:
            metadata.create_all(connection)
            connection.execute(text(f"PRAGMA application_id = {APPLICATION_ID}"))
            connection.execute(text(f"PRAGMA user_version = {SCHEMA_VERSION}"))
    finally:
        engine.dispose()


def _use_write_ahead_log(engine: Engine) -> None:
    """Kept in the file, but not in a backup of it."""
    mode = run_outside_transaction(engine, "PRAGMA journal_mode = WAL")
    if mode != "wal":
        _log.warning("no write-ahead log on this disk (%s): readers may have to wait", mode)


def _write_something(engine: Engine) -> None:
    """SQLite opens what it may not write without a word: find out now, not at the first reading."""
    with engine.begin() as connection:
        connection.execute(text(f"PRAGMA user_version = {SCHEMA_VERSION}"))


def _quick_check(path: Path) -> None:
    engine = writing_engine(path)
    try:
        with engine.begin() as connection:
            found = connection.execute(text("PRAGMA quick_check(5)")).scalars().all()
    finally:
        engine.dispose()
    if found != ["ok"]:
        raise damaged(path, "; ".join(found))
