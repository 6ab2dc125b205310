"""The record of one data folder: begins sessions and gives them back."""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from uuid import UUID

import msgspec
import uuid6
from sqlalchemy import Connection, Engine, bindparam, insert, select, update

from benchmeter import __version__
from benchmeter.checking.part_check import PartCheck
from benchmeter.errors import Message, NoSuchRecord, StoreDamaged
from benchmeter.files.folders import Folders
from benchmeter.links.instruments.meter_identity import Meter
from benchmeter.links.instruments.setup import BenchSetup
from benchmeter.readings.events import Event
from benchmeter.readings.inputs import Input
from benchmeter.record import across, session_reader
from benchmeter.record.blocks import Samples
from benchmeter.record.engines import reading_engine
from benchmeter.record.integrity import database_findings, session_findings
from benchmeter.record.ledger import Ledger, end_session
from benchmeter.record.lock import WriterLock
from benchmeter.record.recorder import Recorder, TroubleListener
from benchmeter.record.records import (
    Overview,
    ReferenceReading,
    Revision,
    SessionState,
    SessionSummary,
    StoredVerdict,
)
from benchmeter.record.store_faults import damaged, telling
from benchmeter.record.store_opening import empty_engine, open_for_reading, open_for_writing
from benchmeter.record.stored_stream import inputs_in, running_digest
from benchmeter.record.structs.bench_setup import StoredSetup
from benchmeter.record.structs.findings import SessionForm
from benchmeter.record.tables import UtcMicroseconds, revisions, sessions

__all__ = ["Store"]

_SESSION = select(sessions.c.id).where(sessions.c.id == bindparam("session"))


class Store:
    """The record. Reading is possible from any thread, also while sessions are recorded.

    Every method may raise StoreError. `session` arguments are the UUID as text.
    """

    def __init__(
        self, path: Path, lock: WriterLock, reader: Engine, writer: Engine | None, of_newer: bool
    ) -> None:
        self._path = path
        self._lock = lock
        self._reader = reader
        self._writer = writer
        self._of_newer = of_newer
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

    # Writing

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
                    form=SessionForm.SI.value,
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

    def cut_off(self) -> tuple[SessionSummary, ...]:
        """Sessions that a crash or a power cut left open; `finish` closes them."""
        with self._reading() as connection, self._sound():
            rows = connection.execute(
                select(sessions.c.id).where(sessions.c.state == SessionState.OPEN.value)
            )
            unfinished = {str(found) for found in rows.scalars()}
        return tuple(
            summary
            for summary in self.sessions()
            if summary.id in unfinished and summary.state is SessionState.CUT_OFF
        )

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

    # Reading

    def sessions(self, *, removed: bool = False) -> tuple[SessionSummary, ...]:
        """All sessions, newest first; removed ones only if asked for."""
        live = self._live()
        with self._reading() as connection, self._sound():
            return session_reader.summaries(connection, removed=removed, live=live)

    def session(self, wanted: str) -> SessionSummary:
        """One session, by its id, the beginning or end of its id, or its name.

        Raises:
            NoSuchRecord: none or several fit.
        """
        text = wanted.strip()
        number = text.replace("-", "").lower()
        known = self.sessions(removed=True)
        fitting = [s for s in known if s.id == text.lower()] or [
            s
            for s in known
            if (number and _is_end_of(number, s.id.replace("-", "")))
            or (text and s.name == text and not s.removed)
        ]
        if len(fitting) == 1:
            return fitting[0]
        if fitting:
            raise NoSuchRecord(
                "record.several_fit", count=len(fitting), wanted=text, example=fitting[0].id
            )
        raise NoSuchRecord("record.none_fits", wanted=text)

    def setup(self, session: str) -> BenchSetup:
        """What the session measured with."""
        found = self._id(session)
        with self._reading() as connection, self._sound():
            return session_reader.setup_of(connection, found)

    def inputs(self, session: str) -> Iterator[Input]:
        """The session's stream, in the order in which it was taken."""
        found = self._id(session)
        number = 0
        while True:
            # One short transaction a pack: a long one keeps the log from being emptied.
            with self._reading() as connection:
                pack = session_reader.pack_with(connection, found, number)
            if pack is None:
                return
            if pack.first_input > number:
                raise damaged(self._path, detail=f"input {number} is missing")
            with self._sound():
                taken = tuple(inputs_in(pack.body))[number - pack.first_input :]
            yield from taken
            number = pack.first_input + pack.input_count

    def channels(self, session: str) -> tuple[str, ...]:
        """Names of the channels with samples, in alphabetical order."""
        found = self._id(session)
        with self._reading() as connection:
            return session_reader.channels_of(connection, found)

    def samples(
        self,
        session: str,
        channel: str,
        start_ns: int | None = None,
        end_ns: int | None = None,
    ) -> Samples:
        """Samples of a channel with start_ns <= time < end_ns; all by default."""
        number = _number(session)
        with self._reading() as connection, self._sound():
            found = session_reader.samples_of(connection, number, channel, start_ns, end_ns)
        if not len(found):
            self._id(session)
        return found

    def overview(self, session: str, channel: str) -> Overview:
        """A channel block by block, quick for any length."""
        found = self._id(session)
        with self._reading() as connection:
            return session_reader.overview_of(connection, found, channel)

    def events(self, session: str) -> tuple[Event, ...]:
        """Events in the order in which they were taken."""
        found = self._id(session)
        with self._reading() as connection, self._sound():
            return session_reader.events_of(connection, found)

    def verdicts(self, session: str) -> tuple[StoredVerdict, ...]:
        """Verdicts in the order in which they were given."""
        found = self._id(session)
        with self._reading() as connection, self._sound():
            return session_reader.verdicts_of(connection, found)

    def checks_of_parts(self, names: Iterable[str]) -> tuple[PartCheck, ...]:
        """Every verdict on parts of these names in all sessions, oldest first."""
        with self._reading() as connection, self._sound():
            return across.checks_of_parts(connection, names)

    def reference_readings(self) -> tuple[ReferenceReading, ...]:
        """The last reading of every check of a reference part in all sessions, oldest first."""
        with self._reading() as connection, self._sound():
            return across.reference_readings(connection)

    def meter(self, session: str, channel: str) -> Meter:
        """Which meter a channel of a session is."""
        found = self._id(session)
        with self._reading() as connection, self._sound():
            return across.meter_in(connection, found, channel)

    def revisions(self, session: str) -> tuple[Revision, ...]:
        """Every name and remark that the session has had since its beginning."""
        found = self._id(session)
        with self._reading() as connection:
            return session_reader.revisions_of(connection, found)

    def check(self, session: str, *, database: bool = True) -> tuple[Message, ...]:
        """What is wrong with a stored session; empty if nothing is.

        Args:
            database: whether the pages of the whole database are checked as well.
        """
        found = self._id(session)
        with self._reading() as connection:
            pages = tuple(database_findings(connection)) if database else ()
            return pages + tuple(session_findings(connection, found))

    # Inside

    def _forget(self, session: UUID) -> None:
        self._recorders.pop(session, None)

    def _live(self) -> frozenset[UUID] | None:
        if self._writer is not None:
            return frozenset(self._recorders)
        return None if self._lock.is_held() else frozenset()

    def _id(self, session: str) -> UUID:
        wanted = _number(session)
        with self._reading() as connection:
            if connection.execute(_SESSION, {"session": wanted}).one_or_none() is None:
                raise NoSuchRecord("record.no_such_number", number=session)
        return wanted

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


def _number(session: str) -> UUID:
    """The number of a session; one that no session has, if that is none."""
    try:
        return UUID(session)
    except ValueError:
        return UUID(int=0)


def _is_end_of(number: str, whole: str) -> bool:
    return whole.startswith(number) or whole.endswith(number)


def _note(
    connection: Connection, session: UUID, field: str, value: str | bool, made: datetime
) -> None:
    text = value if isinstance(value, str) else str(value).lower()
    connection.execute(
        insert(revisions).values(session_id=session, made=made, field=field, text=text)
    )
