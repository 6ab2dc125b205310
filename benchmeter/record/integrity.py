"""Whether a stored session is still what was recorded."""

from collections.abc import Iterator

from sqlalchemy import Connection, func, select, text

from benchmeter.errors import Message
from benchmeter.record.blocks import unpack
from benchmeter.record.records import SessionState
from benchmeter.record.rows import block_of, events_of, verdicts_of
from benchmeter.record.sealing import seal_of, tail_channels, tail_samples
from benchmeter.record.store_faults import GARBAGE
from benchmeter.record.stored_stream import lines_in, running_digest
from benchmeter.record.structs.session import StoredSession
from benchmeter.record.tables import events, packs, sample_blocks, verdicts

__all__ = ["database_findings", "session_findings"]


def database_findings(connection: Connection) -> Iterator[Message]:
    """Pages, indexes and references of the whole database."""
    pages = connection.execute(text("PRAGMA integrity_check(5)")).scalars().all()
    if pages != ["ok"]:
        yield Message("record.pages_damaged", {"found": "; ".join(pages)})
    orphans = connection.execute(text("PRAGMA foreign_key_check")).all()
    if orphans:
        yield Message("record.orphans", {"count": len(orphans)})


def session_findings(connection: Connection, row: StoredSession) -> Iterator[Message]:
    """Row, stream, samples, events, verdicts and seal of one session."""
    if not row.holds():
        yield Message("record.row_changed")
    yield from _stream_findings(connection, row)
    yield from _sample_findings(connection, row)
    yield from _row_findings(connection, row)
    if row.seal is not None and seal_of(connection, row.id) != row.seal:
        yield Message("record.changed_after_sealing")
    if row.seal is None and row.state != SessionState.OPEN:
        yield Message("record.seal_missing")


def _stream_findings(connection: Connection, row: StoredSession) -> Iterator[Message]:
    digest = running_digest(row)
    expected = 0
    sound = True
    for pack in connection.execute(
        select(packs).where(packs.c.session_id == row.id).order_by(packs.c.first_input)
    ):
        if pack.first_input != expected:
            yield Message("record.stream_gap", {"time": _clock(pack.first_ns)})
            sound = False
        expected = pack.first_input + pack.input_count
        try:
            lines = lines_in(pack.body)
        except ValueError:
            yield Message("record.stream_unreadable", {"time": _clock(pack.first_ns)})
            sound = False
            continue
        digest.update(lines)
        if sound and (digest.digest() != pack.digest or lines.count(b"\n") != pack.input_count):
            yield Message("record.stream_changed", {"time": _clock(pack.first_ns)})
            sound = False
    if expected != row.input_count:
        yield Message("record.stream_end_missing")
    elif sound and digest.digest() != row.stream_digest:
        yield Message("record.stream_or_setup_changed")


def _sample_findings(connection: Connection, row: StoredSession) -> Iterator[Message]:
    block = sample_blocks.c
    total = 0
    channels: dict[str, int] = {}
    for found in connection.execute(
        select(sample_blocks)
        .where(block.session_id == row.id)
        .order_by(block.channel, block.first_number)
    ):
        where = {"channel": found.channel, "time": _clock(found.first_ns)}
        if found.first_number != channels.get(found.channel, 0):
            yield Message("record.readings_missing", where)
        channels[found.channel] = found.first_number + found.sample_count
        total += found.sample_count
        if block_of(found).digest(row.id) != found.digest:
            yield Message("record.readings_changed", where)
            continue
        try:
            unpack(found.body, found.sample_count)
        except ValueError:
            yield Message("record.readings_unreadable", where)
    for channel in tail_channels(connection, row.id):
        first, samples, holds = tail_samples(connection, row.id, channel)
        total += len(samples)
        where = {"channel": channel, "time": _clock(int(samples.time_ns[0]))}
        if first != channels.get(channel, 0):
            yield Message("record.readings_missing", where)
        if not holds:
            yield Message("record.readings_changed", where)
    if total != row.reading_count:
        counts = {"stored": total, "recorded": row.reading_count}
        yield Message("record.readings_miscounted", counts)


def _row_findings(connection: Connection, row: StoredSession) -> Iterator[Message]:
    for table, read, recorded, miscounted, changed in (
        (events, events_of, row.event_count, "record.events_miscounted", "record.events_changed"),
        (
            *(verdicts, verdicts_of, row.verdict_count),
            *("record.verdicts_miscounted", "record.verdicts_changed"),
        ),
    ):
        stored = connection.execute(
            select(func.count()).select_from(table).where(table.c.session_id == row.id)
        ).scalar_one()
        if stored != recorded:
            yield Message(miscounted, {"stored": stored, "recorded": recorded})
        try:
            holds = read(connection, row).holds
        except GARBAGE:
            holds = False
        if not holds:
            yield Message(changed)


def _clock(time_ns: int) -> str:
    """Time since the session's start: h:mm:ss."""
    minutes, seconds = divmod(time_ns // 1_000_000_000, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02}:{seconds:02}"
