"""The ledger of one session: what is appended to it, each time in one durable transaction."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any
from uuid import UUID

import msgspec
from sqlalchemy import Connection, Engine, bindparam, insert, select, update
from sqlalchemy.dialects import sqlite

from benchmeter.checking.check import PartCheck
from benchmeter.cooling.recovery import Recovery
from benchmeter.errors import StoreDamaged
from benchmeter.readings.events import Event
from benchmeter.readings.inputs import Input
from benchmeter.readings.reading import Reading
from benchmeter.record.blocks import BLOCK_SAMPLES, code_of_status
from benchmeter.record.records import SessionState, StoredVerdict
from benchmeter.record.sealing import merge_packs, seal_channel, seal_of, tail_channels
from benchmeter.record.stored_stream import body_of, line_of
from benchmeter.record.structs.events import StoredEvent
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
_INPUT_COUNT = select(sessions.c.input_count).where(_OF_SESSION)
_NOTE = (
    update(sessions)
    .where(_OF_SESSION)
    .values(
        {
            name: bindparam(name)
            for name in (
                *("last_ns", "input_count", "reading_count", "event_count", "verdict_count"),
                "stream_digest",
            )
        }
    )
)

_encode = msgspec.msgpack.Encoder().encode


@dataclass(frozen=True, slots=True)
class Entry:
    """One input, encoded, with all that it led to."""

    time_ns: int
    line: bytes
    readings: tuple[Reading, ...]
    event_rows: tuple[dict[str, Any], ...]
    verdict_rows: tuple[dict[str, Any], ...]

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
        return cls(
            taken.time_ns,
            line_of(taken),
            readings,
            tuple(_event_row(session, event) for event in events),
            tuple(_verdict_row(session, taken.time_ns, verdict) for verdict in verdicts),
        )


class Ledger:
    """Writes one session. One thread at a time."""

    def __init__(self, engine: Engine, session: UUID, digest: "_Hash") -> None:
        self._engine = engine
        self._session = session
        self._digest = digest
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
        for entry in entries:
            digest.update(entry.line)
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
        with self._engine.begin() as connection:
            if self._is_new(connection, inputs):
                connection.execute(_INSERT_PACK, [self._pack_row(entries, digest.digest())])
                if samples:
                    connection.exec_driver_sql(_INSERT_SAMPLES, samples)
                for statement, rows in (
                    (_INSERT_EVENTS, event_rows),
                    (_INSERT_VERDICTS, verdict_rows),
                ):
                    if rows:
                        connection.execute(statement, rows)
                connection.execute(
                    _NOTE,
                    {
                        "session": self._session,
                        "last_ns": last_ns,
                        "input_count": inputs,
                        "reading_count": counts["reading"],
                        "event_count": counts["event"],
                        "verdict_count": counts["verdict"],
                        "stream_digest": digest.digest(),
                    },
                )
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

    def _is_new(self, connection: Connection, inputs: int) -> bool:
        place = {"session": self._session}
        stored = connection.execute(_INPUT_COUNT, place).scalar_one_or_none()
        if stored == inputs:
            return False
        if stored != self._inputs:
            raise StoreDamaged(
                "record.changed_by_another", detail=f"{stored} inputs instead of {self._inputs}"
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
        rows = []
        for entry in entries:
            for reading in entry.readings:
                channel = reading.channel
                number = numbers.get(channel, self._numbers.get(channel, 0))
                numbers[channel] = number + 1
                rows.append(
                    (
                        session,
                        channel,
                        number,
                        reading.time_ns,
                        reading.value,
                        code_of_status[reading.status],
                        reading.resolution,
                    )
                )
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
        connection.execute(
            update(sessions)
            .where(sessions.c.id == session)
            .values(state=state.value, seal=seal_of(connection, session))
        )


def _event_row(session: UUID, event: Event) -> dict[str, Any]:
    return {"session_id": session, **msgspec.structs.asdict(StoredEvent.of(event))}


def _verdict_row(session: UUID, time_ns: int, found: PartCheck | Recovery) -> dict[str, Any]:
    given = StoredVerdict.of(time_ns, found)
    return {
        "session_id": session,
        "kind": given.kind.value,
        "number": found.number if isinstance(found, PartCheck) else 0,
        "time_ns": given.time_ns,
        "subject": given.subject,
        "word": given.word,
        "body": _encode(given.stored),
    }
