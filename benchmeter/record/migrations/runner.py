"""Runs migrations: backup first, one transaction, checked before it is committed."""

import os
from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path

from alembic.migration import MigrationContext
from alembic.operations import Operations
from sqlalchemy import Connection, Engine

from benchmeter.files.privacy import private_file
from benchmeter.record.engines import run_outside_transaction, writing_engine
from benchmeter.record.migrations import STEPS, Step
from benchmeter.record.store_faults import damaged
from benchmeter.record.tables import SCHEMA_VERSION

__all__ = ["migrate"]


def migrate(
    path: Path,
    backups: Path,
    version: int,
    *,
    steps: Mapping[int, Step] = STEPS,
    target: int = SCHEMA_VERSION,
) -> Path:
    """Bring a database from `version` to `target`.

    Foreign keys are off: with them on, altering a table in batch mode deletes its children.

    Returns:
        the backup.

    Raises:
        StoreDamaged: the database does not hold together before or after; nothing was changed.
    """
    engine = writing_engine(path, foreign_keys=False)
    try:
        backup = _back_up(engine, backups, version)
        with engine.begin() as connection:
            before = _row_counts(connection)
            operations = Operations(
                MigrationContext.configure(connection, opts={"transactional_ddl": True})
            )
            for number in range(version + 1, target + 1):
                steps[number](operations)
            _check(connection, path, before)
            connection.exec_driver_sql(f"PRAGMA user_version = {target}")
    finally:
        engine.dispose()
    return backup


def _back_up(engine: Engine, backups: Path, version: int) -> Path:
    backups.mkdir(mode=0o700, exist_ok=True)
    stamp = datetime.now(UTC).strftime("%Y%m%dT%H%M%S%fZ")
    backup = backups / f"benchmeter-version-{version}-{stamp}.sqlite"
    private_file(backup)
    run_outside_transaction(engine, "VACUUM INTO ?", str(backup))
    with backup.open("rb+") as copy:  # VACUUM INTO does not wait for the disk
        os.fsync(copy.fileno())
    return backup


def _row_counts(connection: Connection) -> dict[str, int]:
    names = connection.exec_driver_sql(
        "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%'"
    ).scalars()
    return {
        name: connection.exec_driver_sql(f'SELECT count(*) FROM "{name}"').scalar_one()
        for name in list(names)
    }


def _check(connection: Connection, path: Path, before: Mapping[str, int]) -> None:
    orphans = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
    pages = connection.exec_driver_sql("PRAGMA integrity_check").scalars().all()
    after = _row_counts(connection)
    lost = {n: (before[n], after[n]) for n in before if after.get(n, before[n]) != before[n]}
    if orphans or pages != ["ok"] or lost:
        raise damaged(path, detail=f"orphans {orphans[:5]}, pages {pages[:5]}, rows {lost}")
