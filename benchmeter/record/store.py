"""The record of one data folder: opened, written and edited."""

from collections.abc import Iterator
from contextlib import contextmanager
from copy import copy
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory
from uuid import UUID

import msgspec
import uuid6
from sqlalchemy import Connection, Engine, insert, select

from benchmeter import __version__
from benchmeter.errors import StoreError, StoreNewer, StoreReadOnly
from benchmeter.files.folders import Folders
from benchmeter.links.instruments.setup import BenchSetup
from benchmeter.record.access import number_of
from benchmeter.record.engines import reading_engine
from benchmeter.record.ledger import Ledger, end_session
from benchmeter.record.lock import WriterLock
from benchmeter.record.recorder import Recorder, TroubleListener
from benchmeter.record.records import SessionState
from benchmeter.record.session_catalogue import Catalogue
from benchmeter.record.session_rows import stamp
from benchmeter.record.store_faults import foreign, telling
from benchmeter.record.store_opening import (
    empty_engine,
    open_for_reading,
    open_for_writing,
    recovered_copy,
)
from benchmeter.record.stored_stream import running_digest
from benchmeter.record.structs.bench_setup import StoredSetup
from benchmeter.record.structs.findings import FORM
from benchmeter.record.structs.session import StoredSession
from benchmeter.record.structs.stored_visit import visit_text
from benchmeter.record.tables import EPOCH, SCHEMA_VERSION, UtcMicroseconds, revisions, sessions
from benchmeter.session.visit import Visit

__all__ = ["Store"]


class Store(Catalogue):
    """The record: what it is opened, written and edited by. `session` is the UUID as text.

    Every method may raise StoreError.
    """

    def __init__(
        self,
        path: Path,
        lock: WriterLock,
        reader: Engine,
        version: int = SCHEMA_VERSION,
        writer: Engine | None = None,
    ) -> None:
        super().__init__(path, reader, version)
        self.refused: StoreError | None = None
        """Why it may only be read, where it should have been written; see `open_or_view`."""
        self._lock = lock
        self._writer = writer
        self._copied: TemporaryDirectory[str] | None = None
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
                if not path.exists():
                    return cls(path, lock, empty_engine())
                copied = recovered_copy(path)
                found = path if copied is None else Path(copied.name) / path.name
                store = cls(path, lock, *open_for_reading(found))
                store._copied = copied
                return store
            folders.make()
            lock.take()
            try:
                writer = open_for_writing(path)
                return cls(path, lock, reading_engine(path), writer=writer)
            except BaseException:
                lock.free()
                raise

    @classmethod
    def open_or_view(cls, folders: Folders) -> "Store":
        """Open the record for writing; where that is refused for good, to be read only.

        Raises:
            StoreLocked, StoreFull, StoreForeign, StoreDamaged.
        """
        try:
            return cls.open(folders, write=True)
        except (StoreNewer, StoreReadOnly) as refused:
            if not folders.database.exists():
                raise
            store = cls.open(folders, write=False)
            store.refused = refused
            return store

    def as_it_lies(self) -> "Store":
        """The same record without a comparison of digests: for who compares everything else.

        What it gives may be anything. It ends with the store that it came from.
        """
        other = copy(self)
        other._trusting = True
        return other

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
        if self._copied is not None:
            self._copied.cleanup()
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
        begun = StoredSession(
            id=session,
            name=name,
            remark="",
            origin=setup.origin,
            started=UtcMicroseconds.number(started),
            zone=zone,
            app_version=__version__,
            setup=msgspec.json.encode(StoredSetup.of(setup)).decode(),
            state=SessionState.OPEN.value,
            form=FORM.value,
            event_digest=sha256().digest(),
            verdict_digest=sha256().digest(),
        )
        digest = running_digest(begun)
        begun = begun.with_changes(stream_digest=digest.digest())
        with self._writing() as connection:
            columns = msgspec.structs.asdict(begun)
            connection.execute(insert(sessions).values(columns | {"started": started}))
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
        if number_of(session) in self._recorders:
            raise RuntimeError("the session is being recorded")
        with self._reading() as connection:
            row = self._row(connection, session)
        if row.state == SessionState.OPEN:
            with telling(self._path), self._finding():
                end_session(self._writing_engine(), row.id, SessionState.CUT_OFF)

    def rename(self, session: str, name: str) -> None:
        """Give a session another name; the old one is kept among its revisions."""
        self._revise(session, "name", name)

    def remark(self, session: str, text: str) -> None:
        """Replace the remark on a session; the old one is kept among its revisions."""
        self._revise(session, "remark", text)

    def describe(self, session: str, visit: Visit) -> None:
        """Replace what is stated of the visit; what was stated is kept among the revisions."""
        self._revise(session, "visit", visit_text(visit))

    def remove(self, session: str) -> None:
        """Hide a session; nothing is deleted."""
        self._revise(session, "removed", 1)

    def restore(self, session: str) -> None:
        """Show a removed session again."""
        self._revise(session, "removed", 0)

    def _forget(self, session: UUID) -> None:
        self._recorders.pop(session, None)

    def _live(self) -> frozenset[UUID] | None:
        if self._writer is not None:
            return frozenset(self._recorders)
        return None if self._lock.is_held() else frozenset()

    def _revise(self, session: str, field: str, value: str | int | None) -> None:
        with self._writing() as connection:
            row = self._row(connection, session)
            if not connection.execute(
                select(revisions.c.id).where(
                    revisions.c.session_id == row.id, revisions.c.field == field
                )
            ).first():
                started = EPOCH + timedelta(microseconds=row.started)
                _note(connection, row.id, field, getattr(row, field), started)
            _note(connection, row.id, field, value, datetime.now(UTC))
            stamp(connection, row, **{field: value})

    def _writing_engine(self) -> Engine:
        if self._writer is None:
            if self.refused is not None:
                raise self.refused
            raise RuntimeError("the record was opened for reading")
        return self._writer

    @contextmanager
    def _writing(self) -> Iterator[Connection]:
        engine = self._writing_engine()
        with telling(self._path), engine.begin() as connection:
            yield connection


def _note(
    connection: Connection, session: UUID, field: str, value: str | int | None, made: datetime
) -> None:
    text = str(bool(value)).lower() if isinstance(value, int) else value or ""
    connection.execute(
        insert(revisions).values(session_id=session, made=made, field=field, text=text)
    )
