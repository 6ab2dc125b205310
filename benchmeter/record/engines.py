"""The two ways to the database: one connection that writes, and others that only read."""

import os
import sqlite3
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.pool import QueuePool

__all__ = ["reading_engine", "roll_back", "run_outside_transaction", "writing_engine"]

_BUSY_S = 5.0


def writing_engine(path: Path, *, create: bool = False, foreign_keys: bool = True) -> Engine:
    """The engine with the only connection that may write and checkpoint.

    SQLite before 3.51.3 can corrupt a database that two connections write to or checkpoint at
    the same moment.

    Args:
        create: whether a missing file is made. Not while recording: a file that has vanished
            must be noticed, not replaced.
        foreign_keys: off for migrations only.
    """
    engine = _engine(path, "rwc" if create else "rw", pool_size=1)

    @event.listens_for(engine, "connect")
    def _set_up(connection: sqlite3.Connection, _record: Any) -> None:
        for pragma in (
            "synchronous = FULL",
            "fullfsync = ON",  # macOS: through to the medium
            "checkpoint_fullfsync = ON",
            f"foreign_keys = {'ON' if foreign_keys else 'OFF'}",
            f"busy_timeout = {int(_BUSY_S * 1000)}",
            "trusted_schema = OFF",
        ):
            connection.execute(f"PRAGMA {pragma}")

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        connection.exec_driver_sql("BEGIN IMMEDIATE")

    return engine


def reading_engine(path: Path, views: Sequence[str] = ()) -> Engine:
    """An engine for any number of threads that can neither write nor checkpoint.

    Args:
        views: statements that make temporary views in the place of tables.
    """
    engine = _engine(path, _reading_mode(path), pool_size=5)

    @event.listens_for(engine, "connect")
    def _set_up(connection: sqlite3.Connection, _record: Any) -> None:
        for view in views:
            connection.execute(view)
        for pragma in (
            "query_only = ON",
            "wal_autocheckpoint = 0",
            f"busy_timeout = {int(_BUSY_S * 1000)}",
            "trusted_schema = OFF",
        ):
            connection.execute(f"PRAGMA {pragma}")

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        connection.exec_driver_sql("BEGIN")

    return engine


def roll_back(path: Path) -> None:
    """Let SQLite roll back what a crash left half done; any connection that may write does."""
    connection = sqlite3.connect(f"{path.absolute().as_uri()}?mode=rw", uri=True, timeout=_BUSY_S)
    try:
        connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()
    finally:
        connection.close()


def run_outside_transaction(engine: Engine, statement: str, *values: str) -> Any:
    """Run what SQLite refuses or ignores inside a transaction; its first value, if any."""
    connection = engine.raw_connection()
    try:
        row = connection.cursor().execute(statement, values).fetchone()
    finally:
        connection.close()
    return row[0] if row else None


def _reading_mode(path: Path) -> str:
    # Without a write-ahead log and without the right to make one, SQLite reads a file of this
    # journal mode only when told that nobody changes it.
    log = path.with_name(path.name + "-wal")
    if not log.exists() and not os.access(path.parent, os.W_OK):
        return "ro&immutable=1"
    return "ro"


def _engine(path: Path, mode: str, pool_size: int) -> Engine:
    address = f"{path.absolute().as_uri()}?mode={mode}"

    def connect() -> sqlite3.Connection:
        # isolation_level=None: the driver opens no transactions of its own; the "begin" event
        # does, so that CREATE and ALTER roll back as well.
        return sqlite3.connect(
            address, uri=True, isolation_level=None, check_same_thread=False, timeout=_BUSY_S
        )

    return create_engine(
        "sqlite+pysqlite://",
        creator=connect,
        poolclass=QueuePool,
        pool_size=pool_size,
        max_overflow=0 if pool_size == 1 else 10,
    )
