"""The record of one data folder: opened, written and edited."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from uuid import UUID

import msgspec
import uuid6
from sqlalchemy import Connection, Engine, insert, select, update

from benchmeter import __version__
from benchmeter.files.folders import Folders
from benchmeter.links.instruments.setup import BenchSetup
from benchmeter.record.catalogue import Catalogue
from benchmeter.record.engines import reading_engine
from benchmeter.record.ledger import Ledger, end_session
from benchmeter.record.lock import WriterLock
from benchmeter.record.recorder import Recorder, TroubleListener
from benchmeter.record.records import (
    SessionState,
)
from benchmeter.record.session_reader import SessionReader
from benchmeter.record.store_faults import foreign, telling
from benchmeter.record.store_opening import empty_engine, open_for_reading, open_for_writing
from benchmeter.record.stored_stream import running_digest
from benchmeter.record.structs.bench_setup import StoredSetup
from benchmeter.record.structs.findings import FORM
from benchmeter.record.tables import UtcMicroseconds, revisions, sessions

__all__ = ["Store"]


class Store(Catalogue, SessionReader):
    """The record: what it is opened, written and edited by. `session` is the UUID as text.

    Every method may raise StoreError.
    """

    def __init__(
        self, path: Path, lock: WriterLock, reader: Engine, writer: Engine | None, of_newer: bool
    ) -> None:
        super().__init__(path, reader, of_newer)
        self._lock = lock
        self._writer = writer
        self._recorders: dict[UUID, Recorder] = {}

    @classmethod
    def open(cls, folders: Folders, *, write: bool) -> "Store":
        """Open the record of a data folder.

        Args:
            write: make it if there is none, bring it up to date, and lock out other writers.

        Raises:
            StoreLocked, StoreReadOnly, StoreFull, StoreNewer, StoreForeign, StoreDamaged.
        """
        path = folders.database
        lock = WriterLock(path)
        with telling(path):
            for each in (path, lock.path):
                if each.exists() and not each.is_file():  # a pipe: who reads it waits for ever
                    raise foreign(each)
            if not write:
                engine, of_newer = (
                    open_for_reading(path) if path.exists() else (empty_engine(), False)
                )
                return cls(path, lock, engine, None, of_newer)
            folders.make()
            lock.take()
            try:
                writer = open_for_writing(path)
                return cls(path, lock, reading_engine(path), writer, False)
            except BaseException:
                lock.free()
                raise

    def close(self) -> None:
        """Close the database. A session that is still recorded is left open, all written.

        Raises:
            StoreError: what is left in memory cannot be written now.
        """
        for recorder in tuple(self._recorders.values()):
            recorder.close(ended=False)
        self._reader.dispose()  # before the writer: who closes last cleans up
        if self._writer is not None:
            with telling(self._path):
                self._writer.dispose()
        self._lock.free()

    def __enter__(self) -> "Store":
        return self

    def __exit__(self, *_error: object) -> None:
        self.close()

    def begin(
        self,
        setup: BenchSetup,
        *,
        name: str,
        started: datetime,
        zone: str,
        on_trouble: TroubleListener | None = None,
    ) -> Recorder:
        """Begin a session.

        Args:
            started: aware; the stream's times count from here.
            zone: IANA name of the local time zone.
            on_trouble: see TroubleListener.
        """
        session = uuid6.uuid7()
        setup_text = msgspec.json.encode(StoredSetup.of(setup)).decode()
        started_us = UtcMicroseconds().process_bind_param(started, self._reader.dialect)
        assert started_us is not None
        digest = running_digest(session, started_us, zone, __version__, setup_text)
        with self._writing() as connection:
            connection.execute(
                insert(sessions).values(
                    id=session,
                    name=name,
                    remark="",
                    origin=setup.origin,
                    started=started,
                    zone=zone,
                    app_version=__version__,
                    setup=setup_text,
                    state=SessionState.OPEN.value,
                    removed=False,
                    last_ns=0,
                    input_count=0,
                    reading_count=0,
                    event_count=0,
                    verdict_count=0,
                    stream_digest=digest.digest(),
                    form=FORM.value,
                )
            )
        engine = self._writing_engine()
        recorder = Recorder(
            engine,
            self._path,
            session,
            Ledger(engine, session, digest),
            on_trouble,
            self._forget,
        )
        self._recorders[session] = recorder
        return recorder

    def finish(self, session: str) -> None:
        """Seal a session that was cut off; nothing of it is lost. Harmless if it has ended."""
        found = self._id(session)
        if found in self._recorders:
            raise RuntimeError("the session is being recorded")
        with self._reading() as connection:
            state = connection.execute(
                select(sessions.c.state).where(sessions.c.id == found)
            ).scalar_one()
        if state == SessionState.OPEN:
            with telling(self._path), self._sound():
                end_session(self._writing_engine(), found, SessionState.CUT_OFF)

    def rename(self, session: str, name: str) -> None:
        """Give a session another name; the old one is kept among its revisions."""
        self._revise(session, "name", name)

    def remark(self, session: str, text: str) -> None:
        """Replace the remark on a session; the old one is kept among its revisions."""
        self._revise(session, "remark", text)

    def remove(self, session: str) -> None:
        """Hide a session; nothing is deleted."""
        self._revise(session, "removed", True)

    def restore(self, session: str) -> None:
        """Show a removed session again."""
        self._revise(session, "removed", False)

    def _forget(self, session: UUID) -> None:
        self._recorders.pop(session, None)

    def _live(self) -> frozenset[UUID] | None:
        if self._writer is not None:
            return frozenset(self._recorders)
        return None if self._lock.is_held() else frozenset()

    def _revise(self, session: str, field: str, value: str | bool) -> None:
        found = self._id(session)
        with self._writing() as connection:
            if not connection.execute(
                select(revisions.c.id).where(
                    revisions.c.session_id == found, revisions.c.field == field
                )
            ).first():
                first = connection.execute(
                    select(sessions.c[field], sessions.c.started).where(sessions.c.id == found)
                ).one()
                _note(connection, found, field, first[0], first.started)
            _note(connection, found, field, value, datetime.now(UTC))
            connection.execute(
                update(sessions).where(sessions.c.id == found).values({field: value})
            )

    def _writing_engine(self) -> Engine:
        if self._writer is None:
            raise RuntimeError("the record was opened for reading")
        return self._writer

    @contextmanager
    def _writing(self) -> Iterator[Connection]:
        engine = self._writing_engine()
        with telling(self._path), engine.begin() as connection:
            yield connection


def _note(
    connection: Connection, session: UUID, field: str, value: str | bool, made: datetime
) -> None:
    text = value if isinstance(value, str) else str(value).lower()
    connection.execute(
        insert(revisions).values(session_id=session, made=made, field=field, text=text)
    )
