"""Reading from the record: one transaction each time, and its faults in codes."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from uuid import UUID

from sqlalchemy import Connection, Engine

from benchmeter.errors import NoSuchRecord
from benchmeter.record.session_rows import session_row
from benchmeter.record.store_faults import GARBAGE, session_damaged, telling, unknown
from benchmeter.record.structs.session import StoredSession
from benchmeter.record.tables import SCHEMA_VERSION

__all__ = ["RecordAccess", "number_of"]


class RecordAccess:
    """The way to what is stored, from any thread, also while sessions are recorded.

    Whatever is read is compared with its digest before it is decoded: what was changed is refused,
    and what holds but is not known was stored by a newer benchmeter.

    Args:
        path: the database.
        version: of the schema that it is stored in.
    """

    def __init__(self, path: Path, engine: Engine, version: int) -> None:
        self._path = path
        self._reader = engine
        self.version = version
        self._trusting = False  # see `Store.as_it_lies`

    @contextmanager
    def _reading(self) -> Iterator[Connection]:
        with (
            telling(self._path, of_newer=self.version > SCHEMA_VERSION),
            self._reader.begin() as connection,
        ):
            yield connection

    @contextmanager
    def _decoding(self, holds: bool) -> Iterator[None]:
        """Decode what is stored.

        Args:
            holds: whether it is what was stored, by its digest.
        """
        self._require(holds)
        try:
            yield
        except GARBAGE as error:
            told = unknown if holds else session_damaged
            raise told(self._path, repr(error)) from error

    def _require(self, holds: bool) -> None:
        if not (holds or self._trusting):
            raise session_damaged(self._path, detail="a digest differs")

    @contextmanager
    def _finding(self) -> Iterator[None]:
        """Compare what is stored with its digest: what does not let itself be compared differs."""
        try:
            yield
        except GARBAGE as error:
            raise session_damaged(self._path, repr(error)) from error

    def _row(self, connection: Connection, session: str) -> StoredSession:
        """The row of a session."""
        with self._finding():
            row = session_row(connection, number_of(session))
            if row is None:
                raise NoSuchRecord("record.no_such_number", number=session)
            self._require(row.holds())
        return row


def number_of(session: str) -> UUID:
    """The number of a session; one that no session has, if that is none."""
    try:
        return UUID(session)
    except ValueError:
        return UUID(int=0)
