"""One writer for a data folder, also across processes and after crashes."""

import sqlite3
from pathlib import Path

from benchmeter.files.privacy import private_file
from benchmeter.record.store_faults import locked

__all__ = ["WriterLock"]

_PATIENCE_S = 0.5  # longer than a reader's probe


class WriterLock:
    """Held by the one benchmeter that writes; the system frees it when the process dies.

    An exclusive transaction on an empty database of its own, `path`: SQLite has the right lock for
    every system.
    """

    def __init__(self, database: Path) -> None:
        self.path = database.with_suffix(".lock")
        self._database = database
        self._connection: sqlite3.Connection | None = None

    def take(self) -> None:
        """Take the lock.

        Raises:
            StoreLocked: another one holds it.
        """
        private_file(self.path)
        connection = sqlite3.connect(
            self.path, isolation_level=None, timeout=_PATIENCE_S, check_same_thread=False
        )
        try:
            connection.execute("BEGIN EXCLUSIVE")
        except sqlite3.OperationalError as error:
            connection.close()
            if error.sqlite_errorcode & 0xFF == sqlite3.SQLITE_BUSY:
                raise locked(self._database) from error
            raise
        self._connection = connection

    def free(self) -> None:
        if self._connection is not None:
            self._connection.close()
            self._connection = None

    def is_held(self) -> bool:
        """Whether anyone holds it, this one included."""
        if self._connection is not None:
            return True
        if not self.path.exists():
            return False
        probe = sqlite3.connect(
            f"{self.path.absolute().as_uri()}?mode=ro", uri=True, isolation_level=None, timeout=0
        )
        try:
            probe.execute("SELECT count(*) FROM sqlite_master").fetchone()
        except sqlite3.OperationalError as error:
            return error.sqlite_errorcode & 0xFF == sqlite3.SQLITE_BUSY
        finally:
            probe.close()
        return False
