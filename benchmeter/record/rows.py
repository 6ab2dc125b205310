"""Reading back what is stored. Each function runs in the caller's transaction."""

from typing import Any
from uuid import UUID

import msgspec
import numpy as np
from sqlalchemy import Connection, Row, Select, bindparam, func, select

from benchmeter.links.instruments.setup import BenchSetup
from benchmeter.readings.events import Event
from benchmeter.record.blocks import Samples, unpack_into
from benchmeter.record.records import (
    Finding,
    Overview,
    Revision,
    SessionState,
    SessionSummary,
    StoredVerdict,
    VerdictKind,
)
from benchmeter.record.sealing import tail_channels, tail_samples
from benchmeter.record.structs.bench_setup import StoredSetup
from benchmeter.record.structs.events import StoredEvent
from benchmeter.record.structs.findings import part_check_in, recovery_in
from benchmeter.record.tables import (
    events,
    packs,
    revisions,
    sample_blocks,
    sessions,
    verdicts,
)

__all__ = [
    "channels_of",
    "events_of",
    "overview_of",
    "pack_with",
    "revisions_of",
    "samples_of",
    "setup_of",
    "summaries",
    "verdicts_of",
]

_EARLIEST, _LATEST = -(2**63), 2**63 - 1

_OF_SPAN = (
    sample_blocks.c.session_id == bindparam("session"),
    sample_blocks.c.channel == bindparam("wanted"),
    sample_blocks.c.last_ns >= bindparam("start"),
    sample_blocks.c.first_ns <= bindparam("last"),
)
_BLOCKS = (
    select(
        sample_blocks.c.sample_count,
        sample_blocks.c.body,
        select(func.sum(sample_blocks.c.sample_count))
        .where(*_OF_SPAN)
        .scalar_subquery()
        .label("total"),
    )
    .where(*_OF_SPAN)
    .order_by(sample_blocks.c.first_number)
)

_setup = msgspec.json.Decoder(StoredSetup)


def summaries(
    connection: Connection, *, removed: bool, live: frozenset[UUID] | None
) -> tuple[SessionSummary, ...]:
    """All sessions, newest first.

    Args:
        removed: whether removed ones are among them.
        live: sessions that are being recorded; None: all open ones are, by another benchmeter.
    """
    query = select(sessions).order_by(sessions.c.started.desc(), sessions.c.id.desc())
    if not removed:
        query = query.where(~sessions.c.removed)
    findings = _findings(connection)
    return tuple(_summary(row, findings.get(row.id, ()), live) for row in connection.execute(query))


def setup_of(connection: Connection, session: UUID) -> BenchSetup:
    text = connection.execute(select(sessions.c.setup).where(sessions.c.id == session))
    return _setup.decode(text.scalar_one()).restored()


def pack_with(connection: Connection, session: UUID, number: int) -> Row[Any] | None:
    """The pack that holds an input, or the next one; packs merge while they are read."""
    columns = packs.c
    query: Select[Any] = (
        select(columns.first_input, columns.input_count, columns.body)
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
    session: UUID,
    channel: str,
    start_ns: int | None,
    end_ns: int | None,
) -> Samples:
    """Samples with start_ns <= time < end_ns."""
    start = _EARLIEST if start_ns is None else start_ns
    last = _LATEST if end_ns is None else end_ns - 1
    place = {"session": session, "wanted": channel, "start": start, "last": last}
    span = None if start_ns is None and end_ns is None else (start, last)
    tail = tail_samples(connection, session, channel)[1].between(start, last)
    found, end = Samples.room_for(len(tail)), 0
    for count, body, total in connection.execute(_BLOCKS, place):  # one body in memory at a time
        if not end:
            found = Samples.room_for(total + len(tail))
        end += unpack_into(found.part(end, end + count), body, span)
    return found.part(0, found.put(end, tail))


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
    _, tail = tail_samples(connection, session, channel)
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


def events_of(connection: Connection, session: UUID) -> tuple[Event, ...]:
    rows = connection.execute(
        select(events, sessions.c.form)
        .join(sessions, sessions.c.id == events.c.session_id)
        .where(events.c.session_id == session)
        .order_by(events.c.id)
    )
    names = StoredEvent.__struct_fields__
    return tuple(
        StoredEvent(**{n: row._mapping[n] for n in names}).restored(row.form) for row in rows
    )


def verdicts_of(connection: Connection, session: UUID) -> tuple[StoredVerdict, ...]:
    rows = connection.execute(
        select(verdicts, sessions.c.form)
        .join(sessions, sessions.c.id == verdicts.c.session_id)
        .where(verdicts.c.session_id == session)
        .order_by(verdicts.c.id)
    )
    return tuple(_verdict(row) for row in rows)


def _verdict(row: Row[Any]) -> StoredVerdict:
    kind = VerdictKind(row.kind)
    read = recovery_in if kind is VerdictKind.RECOVERY else part_check_in
    stored = read(row.body, row.form)
    return StoredVerdict(kind, row.time_ns, row.subject, row.word, stored.restored(), stored)


def revisions_of(connection: Connection, session: UUID) -> tuple[Revision, ...]:
    rows = connection.execute(
        select(revisions).where(revisions.c.session_id == session).order_by(revisions.c.id)
    )
    return tuple(Revision(row.made, row.field, row.text) for row in rows)


def _findings(connection: Connection) -> dict[UUID, tuple[Finding, ...]]:
    columns = verdicts.c
    last = (
        select(func.max(columns.id))
        .group_by(columns.session_id, columns.kind, columns.number)
        .scalar_subquery()
    )
    found: dict[UUID, tuple[Finding, ...]] = {}
    for row in connection.execute(
        select(columns.session_id, columns.kind, columns.subject, columns.word)
        .where(columns.id.in_(last))
        .order_by(columns.kind, columns.number)  # "part", "recovery", "reference"
    ):
        finding = Finding(VerdictKind(row.kind), row.subject, row.word)
        found[row.session_id] = (*found.get(row.session_id, ()), finding)
    return found


def _summary(
    row: Row[Any], findings: tuple[Finding, ...], live: frozenset[UUID] | None
) -> SessionSummary:
    state = SessionState(row.state)
    if state is SessionState.OPEN and live is not None and row.id not in live:
        state = SessionState.CUT_OFF
    return SessionSummary(
        id=str(row.id),
        name=row.name,
        remark=row.remark,
        origin=row.origin,
        started=row.started,
        zone=row.zone,
        duration_ns=row.last_ns,
        state=state,
        removed=row.removed,
        app_version=row.app_version,
        input_count=row.input_count,
        reading_count=row.reading_count,
        event_count=row.event_count,
        verdict_count=row.verdict_count,
        findings=findings,
        form=row.form,
    )
