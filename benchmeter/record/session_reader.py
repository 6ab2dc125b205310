"""One stored session: its setup, stream, samples, events and verdicts."""

from collections.abc import Iterator, Mapping, Sequence

import msgspec

from benchmeter.errors import Message, NoSuchRecord
from benchmeter.links.instruments.meter_identity import Meter, meter_of
from benchmeter.links.instruments.setup import BenchSetup
from benchmeter.readings.events import Event, EventKind
from benchmeter.readings.inputs import Input
from benchmeter.record import rows
from benchmeter.record.access import RecordAccess, number_of
from benchmeter.record.blocks import Samples
from benchmeter.record.integrity import database_findings, session_findings
from benchmeter.record.records import Overview, Revision, StoredVerdict
from benchmeter.record.session_rows import session_row
from benchmeter.record.store_faults import damaged
from benchmeter.record.stored_stream import inputs_in, lines_in, running_digest
from benchmeter.record.structs.bench_setup import StoredSetup
from benchmeter.record.structs.stored_visit import visit_in
from benchmeter.session.visit import Visit

__all__ = ["SessionReader", "meter_in"]

_setup = msgspec.json.Decoder(StoredSetup)


class SessionReader(RecordAccess):
    """What a session holds; `session` is its UUID as text. Every method may raise StoreError."""

    def setup(self, session: str) -> BenchSetup:
        """What the session measured with."""
        with self._reading() as connection:
            row = self._row(connection, session)
        with self._decoding(row.holds()):
            return _setup.decode(row.setup).restored()

    def visit(self, session: str) -> Visit:
        """What was stated of the visit."""
        with self._reading() as connection:
            row = self._row(connection, session)
        with self._decoding(row.holds()):
            return visit_in(row.visit if isinstance(row.visit, str) else None)

    def inputs(self, session: str) -> Iterator[Input]:
        """The session's stream, in the order in which it was taken."""
        with self._reading() as connection:
            row = self._row(connection, session)
        digest = running_digest(row)
        number = 0
        while True:
            # One short transaction a pack: a long one keeps the log from being emptied.
            with self._reading() as connection:
                pack = rows.pack_with(connection, row.id, number)
            if pack is None:
                break
            with self._finding():
                # Packs merge while they are read: the first of its lines may be known already.
                lines = lines_in(pack.body).splitlines(keepends=True)[number - pack.first_input :]
            if pack.first_input > number or not lines:
                raise damaged(self._path, detail=f"input {number} is missing")
            fresh = b"".join(lines)
            digest.update(fresh)
            with self._decoding(digest.digest() == pack.digest):
                taken = tuple(inputs_in(fresh))
            yield from taken
            number += len(taken)
        self._require(number >= row.input_count)

    def channels(self, session: str) -> tuple[str, ...]:
        """Names of the channels with samples, in alphabetical order."""
        with self._reading() as connection, self._finding():
            return rows.channels_of(connection, self._row(connection, session).id)

    def samples(
        self,
        session: str,
        channel: str,
        start_ns: int | None = None,
        end_ns: int | None = None,
    ) -> Samples:
        """Samples of a channel with start_ns <= time < end_ns; all by default."""
        with self._reading() as connection, self._finding():
            row = self._row(connection, session)
            found, holds = rows.samples_of(connection, row, channel, start_ns, end_ns)
        self._require(holds)
        return found

    def all_samples(self, session: str) -> Mapping[str, Samples]:
        """The samples of every channel that has any."""
        with self._reading() as connection, self._finding():
            row = self._row(connection, session)
            found = {
                name: rows.samples_of(connection, row, name)
                for name in rows.channels_of(connection, row.id)
            }
        count = sum(len(samples) for samples, _ in found.values())
        # A channel that an index lists and that has no samples: the index has changed.
        whole = all(holds and len(samples) for samples, holds in found.values())
        self._require(whole and count == row.reading_count)
        return {name: samples for name, (samples, _) in found.items()}

    def overview(self, session: str, channel: str) -> Overview:
        """A channel block by block, quick for any length."""
        with self._reading() as connection, self._finding():
            return rows.overview_of(connection, self._row(connection, session).id, channel)

    def events(self, session: str) -> tuple[Event, ...]:
        """Events in the order in which they were taken."""
        with self._reading() as connection, self._finding():
            row = self._row(connection, session)
            found = rows.events_of(connection, row)
        with self._decoding(found.holds):
            return tuple(event.restored(row.form) for event in found.stored)

    def verdicts(self, session: str) -> tuple[StoredVerdict, ...]:
        """Verdicts in the order in which they were given."""
        with self._reading() as connection, self._finding():
            row = self._row(connection, session)
            found = rows.verdicts_of(connection, row)
        with self._decoding(found.holds):
            return tuple(rows.verdict_in(each, row.form) for each in found.stored)

    def meter(self, session: str, channel: str, time_ns: int = 2**63 - 1) -> Meter:
        """Which meter a channel of a session was at a moment; at the latest one by default."""
        return meter_in(self.setup(session), self.events(session), channel, time_ns)

    def revisions(self, session: str) -> tuple[Revision, ...]:
        """Every name and remark that the session has had since its beginning."""
        with self._reading() as connection, self._finding():
            return rows.revisions_of(connection, self._row(connection, session).id)

    def check(self, session: str, *, database: bool = True) -> tuple[Message, ...]:
        """What is wrong with a stored session; empty if nothing is.

        Args:
            database: whether the pages of the whole database are checked as well.

        Raises:
            StoreDamaged: it is damaged beyond telling where.
        """
        with self._reading() as connection, self._finding():
            row = session_row(connection, number_of(session))
            if row is None:
                raise NoSuchRecord("record.no_such_number", number=session)
            pages = tuple(database_findings(connection)) if database else ()
            return pages + tuple(session_findings(connection, row))


def meter_in(setup: BenchSetup, events: Sequence[Event], channel: str, time_ns: int) -> Meter:
    """Which meter a channel was at a moment."""
    link = next((c.link for c in setup.channels if c.name == channel), "")
    told = [
        event.text
        for event in events
        if event.kind is EventKind.LINK_UP and event.subject == link and event.time_ns <= time_ns
    ]
    return meter_of(setup, channel, told[-1] if told else "")
