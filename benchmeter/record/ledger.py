"""The ledger of one session: what is appended to it, each time in one durable transaction."""

from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import sha256
from typing import TYPE_CHECKING, Any, TypeGuard
from uuid import UUID

import msgspec
from sqlalchemy import Engine, bindparam, insert, update
from sqlalchemy.dialects import sqlite

from benchmeter.checking.check import PartCheck
from benchmeter.cooling.recovery import Recovery
from benchmeter.errors import StoreDamaged
from benchmeter.readings.events import Event
from benchmeter.readings.inputs import Input
from benchmeter.readings.reading import Reading
from benchmeter.record.blocks import BLOCK_SAMPLES, code_of_status
from benchmeter.record.records import SessionState, StoredVerdict
from benchmeter.record.sealing import (
    crc_of_sample,
    event_line,
    merge_packs,
    place_of_samples,
    seal_channel,
    seal_of,
    tail_channels,
    verdict_line,
)
from benchmeter.record.session_rows import session_row, stamp
from benchmeter.record.stored_stream import body_of, line_of
from benchmeter.record.structs.session import StoredSession
from benchmeter.record.structs.stored_events import StoredEvent
from benchmeter.record.tables import events, packs, sample_tail, sessions, verdicts

if TYPE_CHECKING:
    from hashlib import _Hash

__all__ = ["Entry", "Ledger", "end_session"]

_PACKS_TO_MERGE = 240

# Made once: a statement made anew takes longer than what it does.
_INSERT_PACK, _INSERT_EVENTS, _INSERT_VERDICTS = insert(packs), insert(events), insert(verdicts)
# As the driver takes it: of the many rows of each second every other way takes twice as long.
_INSERT_SAMPLES = str(insert(sample_tail).compile(dialect=sqlite.dialect()))
_OF_SESSION = sessions.c.id == bindparam("session")
_NOTE = (
    update(sessions)
    .where(_OF_SESSION)
    .values(
        {
            name: bindparam(name)
            for name in (
                *("last_ns", "input_count", "reading_count", "event_count", "verdict_count"),
                *("stream_digest", "event_digest", "verdict_digest", "digest"),
            )
        }
    )
)

_encode = msgspec.msgpack.Encoder().encode


@dataclass(frozen=True, slots=True)
class Entry:
    """One input, encoded, with all that it led to. `…_line`: see `sealing`."""

    time_ns: int
    line: bytes
    readings: tuple[Reading, ...]
    event_rows: tuple[dict[str, Any], ...]
    verdict_rows: tuple[dict[str, Any], ...]
    event_lines: bytes
    verdict_lines: bytes

    @classmethod
    def of(
        cls,
        session: UUID,
        taken: Input,
        readings: tuple[Reading, ...],
        events: tuple[Event, ...],
        verdicts: tuple[PartCheck | Recovery, ...],
    ) -> "Entry":
        """Encode at once: what cannot be encoded is refused before anything is stored."""
        stored = tuple(map(StoredEvent.of, events))
        rows = tuple(_verdict_row(taken.time_ns, verdict) for verdict in verdicts)
        place = {"session_id": session}
        return cls(
            taken.time_ns,
            line_of(taken),
            readings,
            tuple(place | msgspec.structs.asdict(event) for event in stored),
            tuple(place | row for row in rows),
            b"".join(map(event_line, stored)),
            b"".join(_line_of_verdict(**row) for row in rows),
        )


class Ledger:
    """Writes one session. One thread at a time."""

    def __init__(self, engine: Engine, session: UUID, digest: "_Hash") -> None:
        self._engine = engine
        self._session = session
        self._digest = digest
        self._event_digest, self._verdict_digest = sha256(), sha256()
        self._inputs = 0
        self._last_ns = 0
        self._counts = {"reading": 0, "event": 0, "verdict": 0}
        self._numbers: dict[str, int] = {}  # the next sample's, by channel
        self._unsealed: dict[str, int] = {}
        self._merged = 0  # inputs in packs that are merged
        self._packs = 0  # others

    def append(self, entries: Sequence[Entry]) -> None:
        """Append entries (at least one) durably; on an error nothing has changed.

        Safe to repeat after an error that left open whether the entries reached the disk.
        """
        digest = self._digest.copy()
        event_digest, verdict_digest = self._event_digest.copy(), self._verdict_digest.copy()
        for entry in entries:
            digest.update(entry.line)
            event_digest.update(entry.event_lines)
            verdict_digest.update(entry.verdict_lines)
        numbers, samples = self._sample_rows(entries)
        event_rows = [row for entry in entries for row in entry.event_rows]
        verdict_rows = [row for entry in entries for row in entry.verdict_rows]
        counts = {
            "reading": self._counts["reading"] + len(samples),
            "event": self._counts["event"] + len(event_rows),
            "verdict": self._counts["verdict"] + len(verdict_rows),
        }
        inputs = self._inputs + len(entries)
        last_ns = max(self._last_ns, *(entry.time_ns for entry in entries))
        changes = {
            "last_ns": last_ns,
            "input_count": inputs,
            "reading_count": counts["reading"],
            "event_count": counts["event"],
            "verdict_count": counts["verdict"],
            "stream_digest": digest.digest(),
            "event_digest": event_digest.digest(),
            "verdict_digest": verdict_digest.digest(),
        }
        with self._engine.begin() as connection:
            before = session_row(connection, self._session)
            if self._is_new(before, inputs):
                connection.execute(_INSERT_PACK, [self._pack_row(entries, digest.digest())])
                if samples:
                    connection.exec_driver_sql(_INSERT_SAMPLES, samples)
                for statement, rows in (
                    (_INSERT_EVENTS, event_rows),
                    (_INSERT_VERDICTS, verdict_rows),
                ):
                    if rows:
                        connection.execute(statement, rows)
                after = before.with_changes(**changes)
                place = {"session": self._session, "digest": after.digest}
                connection.execute(_NOTE, changes | place)
        self._event_digest, self._verdict_digest = event_digest, verdict_digest
        self._digest, self._inputs, self._last_ns, self._counts = digest, inputs, last_ns, counts
        for channel, number in numbers.items():
            added = number - self._numbers.get(channel, 0)
            self._unsealed[channel] = self._unsealed.get(channel, 0) + added
        self._numbers.update(numbers)
        self._packs += 1

    def has_chore(self) -> bool:
        """Whether enough has gathered to be sealed."""
        return self._packs >= _PACKS_TO_MERGE or self._full_channel() is not None

    def do_chore(self) -> None:
        """Seal one channel or merge some packs: some 20 ms."""
        channel = self._full_channel()
        with self._engine.begin() as connection:
            if channel is not None:
                sealed = seal_channel(connection, self._session, channel)
            else:
                merged, after = merge_packs(connection, self._session, self._merged)
        if channel is not None:
            # Fewer than a block: the tail is empty, also where a commit that seemed to fail had
            # sealed it.
            left = self._unsealed[channel] - sealed if sealed == BLOCK_SAMPLES else 0
            self._unsealed[channel] = left
        else:
            self._packs -= merged
            self._merged = after

    def _full_channel(self) -> str | None:
        return next((c for c, n in self._unsealed.items() if n >= BLOCK_SAMPLES), None)

    def _is_new(self, stored: StoredSession | None, inputs: int) -> TypeGuard[StoredSession]:
        count = None if stored is None else stored.input_count
        if count == inputs:
            return False
        if count != self._inputs:
            raise StoreDamaged(
                "record.changed_by_another", detail=f"{count} inputs instead of {self._inputs}"
            )
        return True

    def _pack_row(self, entries: Sequence[Entry], digest: bytes) -> dict[str, Any]:
        times = [entry.time_ns for entry in entries]
        return {
            "session_id": self._session,
            "first_input": self._inputs,
            "input_count": len(entries),
            "first_ns": min(times),
            "last_ns": max(times),
            "body": body_of(entry.line for entry in entries),
            "digest": digest,
        }

    def _sample_rows(
        self, entries: Sequence[Entry]
    ) -> tuple[dict[str, int], list[tuple[Any, ...]]]:
        """The next numbers, and rows in the order of the table's columns."""
        numbers: dict[str, int] = {}
        session = self._session.hex
        places: dict[str, int] = {}
        rows = []
        for entry in entries:
            for reading in entry.readings:
                channel = reading.channel
                number = numbers.get(channel, self._numbers.get(channel, 0))
                numbers[channel] = number + 1
                place = places.get(channel)
                if place is None:
                    place = places[channel] = place_of_samples(self._session, channel)
                status = code_of_status[reading.status]
                sample = (number, reading.time_ns, reading.value, status, reading.resolution)
                rows.append((session, channel, *sample, crc_of_sample(place, *sample)))
        return numbers, rows


def end_session(engine: Engine, session: UUID, state: SessionState) -> None:
    """Seal what is left of a session, channel by channel, and close it for good."""
    with engine.begin() as connection:
        channels = tail_channels(connection, session)
    for channel in channels:
        sealed = BLOCK_SAMPLES
        while sealed == BLOCK_SAMPLES:
            with engine.begin() as connection:
                sealed = seal_channel(connection, session, channel)
    merged, after = 1, 0
    while merged:
        with engine.begin() as connection:
            merged, after = merge_packs(connection, session, after)
    with engine.begin() as connection:
        before = session_row(connection, session)
        assert before is not None
        stamp(connection, before, state=state.value, seal=seal_of(connection, session))


def _verdict_row(time_ns: int, found: PartCheck | Recovery) -> dict[str, Any]:
    given = StoredVerdict.of(time_ns, found)
    body = _encode(given.stored)
    return {
        "kind": given.kind.value,
        "number": found.number if isinstance(found, PartCheck) else 0,
        "time_ns": given.time_ns,
        "subject": given.subject,
        "word": given.word,
        "body": body,
        "body_digest": sha256(body).digest(),
    }


def _line_of_verdict(*, body: bytes, **columns: Any) -> bytes:
    return verdict_line(**columns)
