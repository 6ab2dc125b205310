"""Reading from the record: one transaction each time, and its faults in codes."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from uuid import UUID

from sqlalchemy import Connection, Engine, bindparam, select

from benchmeter.errors import NoSuchRecord, StoreDamaged
from benchmeter.record.store_faults import telling
from benchmeter.record.tables import sessions

__all__ = ["RecordAccess", "number_of"]

_SESSION = select(sessions.c.id).where(sessions.c.id == bindparam("session"))


class RecordAccess:
    """The way to what is stored, from any thread, also while sessions are recorded.

    Args:
        path: the database.
        of_newer: whether a newer benchmeter made it.
    """

    def __init__(self, path: Path, engine: Engine, of_newer: bool) -> None:
        self._path = path
        self._reader = engine
        self._of_newer = of_newer

    @contextmanager
    def _reading(self) -> Iterator[Connection]:
        with telling(self._path, of_newer=self._of_newer), self._reader.begin() as connection:
            yield connection

    @contextmanager
    def _sound(self) -> Iterator[None]:
        """What is stored does not decode: it was damaged."""
        try:
            yield
        except ValueError as error:
            raise StoreDamaged(
                "record.session_damaged", detail=repr(error), file=self._path
            ) from error

    def _id(self, session: str) -> UUID:
        wanted = number_of(session)
        with self._reading() as connection:
            if connection.execute(_SESSION, {"session": wanted}).one_or_none() is None:
                raise NoSuchRecord("record.no_such_number", number=session)
        return wanted


def number_of(session: str) -> UUID:
    """The number of a session; one that no session has, if that is none."""
    try:
        return UUID(session)
    except ValueError:
        return UUID(int=0)
