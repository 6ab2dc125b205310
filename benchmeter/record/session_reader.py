"""One stored session: its setup, stream, samples, events and verdicts."""

from collections.abc import Iterator

from benchmeter.errors import Message
from benchmeter.links.instruments.meter_identity import Meter
from benchmeter.links.instruments.setup import BenchSetup
from benchmeter.readings.events import Event
from benchmeter.readings.inputs import Input
from benchmeter.record import across, rows
from benchmeter.record.access import RecordAccess, number_of
from benchmeter.record.blocks import Samples
from benchmeter.record.integrity import database_findings, session_findings
from benchmeter.record.records import Overview, Revision, StoredVerdict
from benchmeter.record.store_faults import damaged
from benchmeter.record.stored_stream import inputs_in

__all__ = ["SessionReader"]


class SessionReader(RecordAccess):
    """What a session holds; `session` is its UUID as text. Every method may raise StoreError."""

    def setup(self, session: str) -> BenchSetup:
        """What the session measured with."""
        found = self._id(session)
        with self._reading() as connection, self._sound():
            return rows.setup_of(connection, found)

    def inputs(self, session: str) -> Iterator[Input]:
        """The session's stream, in the order in which it was taken."""
        found = self._id(session)
        number = 0
        while True:
            # One short transaction a pack: a long one keeps the log from being emptied.
            with self._reading() as connection:
                pack = rows.pack_with(connection, found, number)
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
            return rows.channels_of(connection, found)

    def samples(
        self,
        session: str,
        channel: str,
        start_ns: int | None = None,
        end_ns: int | None = None,
    ) -> Samples:
        """Samples of a channel with start_ns <= time < end_ns; all by default."""
        number = number_of(session)
        with self._reading() as connection, self._sound():
            found = rows.samples_of(connection, number, channel, start_ns, end_ns)
        if not len(found):
            self._id(session)
        return found

    def overview(self, session: str, channel: str) -> Overview:
        """A channel block by block, quick for any length."""
        found = self._id(session)
        with self._reading() as connection:
            return rows.overview_of(connection, found, channel)

    def events(self, session: str) -> tuple[Event, ...]:
        """Events in the order in which they were taken."""
        found = self._id(session)
        with self._reading() as connection, self._sound():
            return rows.events_of(connection, found)

    def verdicts(self, session: str) -> tuple[StoredVerdict, ...]:
        """Verdicts in the order in which they were given."""
        found = self._id(session)
        with self._reading() as connection, self._sound():
            return rows.verdicts_of(connection, found)

    def meter(self, session: str, channel: str) -> Meter:
        """Which meter a channel of a session is."""
        found = self._id(session)
        with self._reading() as connection, self._sound():
            return across.meter_in(connection, found, channel)

    def revisions(self, session: str) -> tuple[Revision, ...]:
        """Every name and remark that the session has had since its beginning."""
        found = self._id(session)
        with self._reading() as connection:
            return rows.revisions_of(connection, found)

    def check(self, session: str, *, database: bool = True) -> tuple[Message, ...]:
        """What is wrong with a stored session; empty if nothing is.

        Args:
            database: whether the pages of the whole database are checked as well.
        """
        found = self._id(session)
        with self._reading() as connection:
            pages = tuple(database_findings(connection)) if database else ()
            return pages + tuple(session_findings(connection, found))
