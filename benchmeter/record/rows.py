"""Reading back what is stored, compared with its digests but not yet decoded.

Each function runs in the caller's transaction.
"""

from collections import defaultdict
from datetime import timedelta
from hashlib import sha256
from typing import TYPE_CHECKING, Any, Generic, NamedTuple, TypeVar
from uuid import UUID

import numpy as np
from sqlalchemy import Connection, Row, Select, bindparam, func, select, type_coerce
from sqlalchemy.types import NULLTYPE

from benchmeter.record.blocks import Block, Samples, unpack_into
from benchmeter.record.records import (
    LastVerdict,
    Overview,
    Revision,
    SessionState,
    SessionSummary,
    StoredVerdict,
    VerdictKind,
)
from benchmeter.record.sealing import (
    event_line,
    events_in,
    seal_of,
    tail_channels,
    tail_samples,
    verdict_line,
)
from benchmeter.record.structs.findings import part_check_in, recovery_in
from benchmeter.record.structs.session import StoredSession
from benchmeter.record.structs.stored_events import StoredEvent
from benchmeter.record.tables import EPOCH, packs, revisions, sample_blocks, verdicts

if TYPE_CHECKING:
    from hashlib import _Hash

__all__ = [
    "Compared",
    "Findings",
    "block_of",
    "channels_of",
    "events_of",
    "findings_in",
    "holds_by_seal",
    "overview_of",
    "pack_with",
    "revisions_of",
    "samples_of",
    "summary_of",
    "verdict_in",
    "verdicts_of",
]

Findings = dict[tuple[str, int], tuple[str, str]]
"""Subject and word of the last verdict, by kind and number of the check."""

_T = TypeVar("_T")

_EARLIEST, _LATEST = -(2**63), 2**63 - 1

_OF_SPAN = (
    sample_blocks.c.session_id == bindparam("session"),
    sample_blocks.c.channel == bindparam("wanted"),
    sample_blocks.c.last_ns >= bindparam("start"),
    sample_blocks.c.first_ns <= bindparam("last"),
)
_BLOCKS = (
    select(
        sample_blocks,
        select(func.sum(sample_blocks.c.sample_count))
        .where(*_OF_SPAN)
        .scalar_subquery()
        .label("total"),
    )
    .where(*_OF_SPAN)
    .order_by(sample_blocks.c.first_number)
)


class Compared(NamedTuple, Generic[_T]):
    """What is stored, and whether it is what was stored, by its digest."""

    stored: tuple[_T, ...]
    holds: bool


def pack_with(connection: Connection, session: UUID, number: int) -> Row[Any] | None:
    """The pack that holds an input, or the next one; packs merge while they are read."""
    columns = packs.c
    query: Select[Any] = (
        select(packs)
        .where(columns.session_id == session, columns.first_input + columns.input_count > number)
        .order_by(columns.first_input)
        .limit(1)
    )
    return connection.execute(query).one_or_none()


def channels_of(connection: Connection, session: UUID) -> tuple[str, ...]:
    """Channels with samples."""
    sealed = connection.execute(
        select(sample_blocks.c.channel).where(sample_blocks.c.session_id == session).distinct()
    ).scalars()
    return tuple(sorted({*sealed, *tail_channels(connection, session)}))


def samples_of(
    connection: Connection,
    session: StoredSession,
    channel: str,
    start_ns: int | None = None,
    end_ns: int | None = None,
) -> tuple[Samples, bool]:
    """Samples with start_ns <= time < end_ns, and whether they are what was stored.

    Raises:
        ValueError: they are damaged beyond reading.
    """
    start = _EARLIEST if start_ns is None else start_ns
    last = _LATEST if end_ns is None else end_ns - 1
    place = {"session": session.id, "wanted": channel, "start": start, "last": last}
    span = None if start_ns is None and end_ns is None else (start, last)
    tail = tail_samples(connection, session.id, channel)
    rest, holds = tail.samples.between(start, last), tail.holds
    found, end, next_number = Samples.room_for(len(rest)), 0, None
    for row in connection.execute(_BLOCKS, place):  # one body in memory at a time
        if next_number is None:
            if row.total > session.reading_count:
                raise ValueError(f"blocks of {row.total} samples")
            found = Samples.room_for(row.total + len(rest))
            next_number = row.first_number if span else 0
        holds &= row.first_number == next_number and block_of(row).digest(session.id) == row.digest
        next_number += row.sample_count
        end += unpack_into(found.part(end, end + row.sample_count), row.body, span)
    holds &= next_number is None or not len(tail.samples) or tail.first == next_number
    return found.part(0, found.put(end, rest)), holds


def block_of(row: Row[Any]) -> Block:
    """The block in a row."""
    return Block(
        *(row.channel, row.first_number, row.sample_count, row.first_ns, row.last_ns),
        *(row.minimum, row.maximum, row.body),
    )


def overview_of(connection: Connection, session: UUID, channel: str) -> Overview:
    block = sample_blocks.c
    rows = [
        tuple(row)
        for row in connection.execute(
            select(block.first_ns, block.last_ns, block.minimum, block.maximum, block.sample_count)
            .where(block.session_id == session, block.channel == channel)
            .order_by(block.first_number)
        )
    ]
    tail = tail_samples(connection, session, channel).samples
    if len(tail):
        shown = tail.value[~np.isnan(tail.value)]
        extremes = (shown.min(), shown.max()) if len(shown) else (None, None)
        rows.append((tail.time_ns.min(), tail.time_ns.max(), *extremes, len(tail)))
    columns = list(zip(*rows, strict=True)) or [(), (), (), (), ()]
    return Overview(
        first_ns=np.array(columns[0], np.int64),
        last_ns=np.array(columns[1], np.int64),
        minimum=np.array(columns[2], np.float64),
        maximum=np.array(columns[3], np.float64),
        count=np.array(columns[4], np.int64),
    )


def events_of(connection: Connection, session: StoredSession) -> Compared[StoredEvent]:
    """Events in the order in which they were taken."""
    found = tuple(events_in(connection, session.id))
    if session.event_digest is None:
        return Compared(found, holds_by_seal(connection, session))
    digest = sha256(b"".join(map(event_line, found))).digest()
    return Compared(found, digest == session.event_digest)


def verdicts_of(connection: Connection, session: StoredSession) -> Compared[Row[Any]]:
    """Rows of verdicts in the order in which they were given."""
    rows = tuple(
        connection.execute(
            select(verdicts).where(verdicts.c.session_id == session.id).order_by(verdicts.c.id)
        )
    )
    if session.verdict_digest is None:
        return Compared(rows, holds_by_seal(connection, session))
    digest = sha256()
    for row in rows:
        digest.update(
            verdict_line(
                *(row.kind, row.number, row.time_ns, row.subject, row.word),
                sha256(row.body).digest(),
            )
        )
    return Compared(rows, digest.digest() == session.verdict_digest)


def verdict_in(row: Row[Any], form: int | None) -> StoredVerdict:
    """The verdict in a row.

    Raises:
        ValueError: of no kind or form that is known.
    """
    kind = VerdictKind(row.kind)
    read = recovery_in if kind is VerdictKind.RECOVERY else part_check_in
    stored = read(row.body, form)
    return StoredVerdict(kind, row.time_ns, row.subject, row.word, stored.restored(), stored)


def holds_by_seal(connection: Connection, session: StoredSession) -> bool:
    """Of a session without digests: whether its seal holds. One that is open has none yet."""
    if session.seal is None:
        return session.state == SessionState.OPEN
    return session.seal == seal_of(connection, session.id)


def revisions_of(connection: Connection, session: UUID) -> tuple[Revision, ...]:
    rows = connection.execute(
        select(revisions).where(revisions.c.session_id == session).order_by(revisions.c.id)
    )
    return tuple(Revision(row.made, row.field, row.text) for row in rows)


def findings_in(connection: Connection) -> "dict[str, tuple[Findings, bytes]]":
    """By the number of each session with verdicts: the last on each, and the digest of all."""
    columns = verdicts.c
    last: dict[str, Findings] = defaultdict(dict)
    digests: dict[str, _Hash] = defaultdict(sha256)
    query = select(
        *(type_coerce(columns.session_id, NULLTYPE), columns.kind, columns.number),
        *(columns.time_ns, columns.subject, columns.word, columns.body_digest),
    )
    for session, *line in connection.execute(query.order_by(columns.id)):
        kind, number, _, subject, word, _ = line
        last[session][kind, number] = subject, word
        digests[session].update(verdict_line(*line))
    return {session: (found, digests[session].digest()) for session, found in last.items()}


def summary_of(
    row: StoredSession, findings: Findings, live: frozenset[UUID] | None
) -> SessionSummary:
    """The session without its content.

    Args:
        live: sessions that are being recorded; None: all open ones are, by another benchmeter.
    """
    state = SessionState.of(row.state)
    if state is SessionState.OPEN and live is not None and row.id not in live:
        state = SessionState.CUT_OFF
    return SessionSummary(
        id=str(row.id),
        name=row.name,
        remark=row.remark,
        origin=row.origin,
        started=EPOCH + timedelta(microseconds=row.started),
        zone=row.zone,
        duration_ns=row.last_ns,
        state=state,
        removed=bool(row.removed),
        app_version=row.app_version,
        input_count=row.input_count,
        reading_count=row.reading_count,
        event_count=row.event_count,
        verdict_count=row.verdict_count,
        findings=tuple(
            LastVerdict(VerdictKind.of(kind), *findings[kind, number])
            for kind, number in sorted(findings)
        ),
        form=row.form,
    )
