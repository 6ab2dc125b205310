"""Sealing: from small rows that are quick to commit to large ones that are small to keep.

What tells whether anything was changed: a CRC-32 for each sample of the tail, a SHA-256 for each
block, and running ones over the stream, the events and the verdicts, which the session's row holds
under a digest of its own. A change that is found is sealed as one: no function here makes it good.

Each function runs in the caller's transaction and leaves the content as it was.
"""

import struct
from collections.abc import Iterator
from hashlib import sha256
from typing import NamedTuple
from uuid import UUID
from zlib import crc32

import msgspec
import numpy as np
from sqlalchemy import Connection, and_, bindparam, delete, insert, select

from benchmeter.record.blocks import BLOCK_SAMPLES, Block, Samples
from benchmeter.record.stored_stream import body_of, lines_in
from benchmeter.record.structs.stored_events import StoredEvent
from benchmeter.record.tables import events, packs, sample_blocks, sample_tail, sessions, verdicts

__all__ = [
    "Tail",
    "crc_of_sample",
    "event_line",
    "events_in",
    "merge_packs",
    "place_of_samples",
    "seal_channel",
    "seal_of",
    "tail_channels",
    "tail_samples",
    "verdict_line",
]

_MERGED_BYTES = 1 << 18
_SAMPLE = struct.Struct("<qqqdd")
_NAN = float("nan")

_TAIL = (
    select(
        sample_tail.c.number,
        sample_tail.c.time_ns,
        sample_tail.c.value,
        sample_tail.c.status,
        sample_tail.c.resolution,
        sample_tail.c.crc,
    )
    .where(
        sample_tail.c.session_id == bindparam("session"),
        sample_tail.c.channel == bindparam("wanted"),
    )
    .order_by(sample_tail.c.number)
    .limit(bindparam("most"))
)


class Tail(NamedTuple):
    """Samples that are not sealed. `first`: number of the first; `holds`: none was changed."""

    first: int
    samples: Samples
    holds: bool


def place_of_samples(session: UUID, channel: str) -> int:
    """What the CRC of each sample of a channel begins with."""
    return crc32(f"{session.hex} {channel}".encode())


def crc_of_sample(
    place: int,
    number: int,
    time_ns: int,
    value: float | None,
    status: int,
    resolution: float | None,
) -> int:
    """CRC-32 of a row of the tail. `place`: see `place_of_samples`."""
    bits = [_NAN if n is None else n + 0.0 for n in (value, resolution)]  # SQLite keeps no -0
    return crc32(_SAMPLE.pack(number, time_ns, status, *bits), place)


def tail_channels(connection: Connection, session: UUID) -> tuple[str, ...]:
    """Channels with samples that are not sealed."""
    rows = connection.execute(
        select(sample_tail.c.channel).where(sample_tail.c.session_id == session).distinct()
    )
    return tuple(rows.scalars())


def tail_samples(
    connection: Connection, session: UUID, channel: str, most: int = 2**63 - 1
) -> Tail:
    """The oldest unsealed samples of a channel.

    Raises:
        ValueError, OverflowError: they are damaged beyond reading.
    """
    place = {"session": session, "wanted": channel, "most": most}
    rows = connection.execute(_TAIL, place).all()
    first = rows[0].number if rows else 0
    samples = Samples(
        time_ns=np.array([row.time_ns for row in rows], np.int64),
        value=np.array([row.value for row in rows], np.float64),  # None becomes NaN
        status=np.array([row.status for row in rows], np.uint8),
        resolution=np.array([row.resolution for row in rows], np.float64),
    )
    begin = place_of_samples(session, channel)
    holds = all(
        row.number == number and row.crc in (None, crc_of_sample(begin, *row[:5]))
        for number, row in enumerate(rows, first)
    )
    return Tail(first, samples, holds)


def seal_channel(connection: Connection, session: UUID, channel: str) -> int:
    """Move up to a block's worth of a channel's tail into a block; how many that were."""
    first, samples, holds = tail_samples(connection, session, channel, BLOCK_SAMPLES)
    if not len(samples):
        return 0
    block = Block.of(channel, first, samples)
    connection.execute(
        insert(sample_blocks).values(
            session_id=session,
            channel=channel,
            first_number=first,
            sample_count=block.count,
            first_ns=block.first_ns,
            last_ns=block.last_ns,
            minimum=block.minimum,
            maximum=block.maximum,
            body=block.body,
            digest=block.digest(session) if holds else b"",
        )
    )
    tail = sample_tail.c
    connection.execute(
        delete(sample_tail).where(
            tail.session_id == session,
            tail.channel == channel,
            tail.number < first + block.count,
        )
    )
    return block.count


def merge_packs(connection: Connection, session: UUID, first_input: int) -> tuple[int, int]:
    """Merge small packs from `first_input` on into one.

    Returns:
        how many packs that were, and the first input after them.
    """
    columns = packs.c
    lines: list[bytes] = []
    size = 0
    taken = []
    for row in connection.execute(
        select(packs)
        .where(columns.session_id == session, columns.first_input >= first_input)
        .order_by(columns.first_input)
    ):
        lines.append(lines_in(row.body))
        size += len(lines[-1])
        taken.append(row)
        if size >= _MERGED_BYTES:
            break
    if not taken:
        return 0, first_input
    first, last = taken[0], taken[-1]
    after: int = last.first_input + last.input_count
    if len(taken) == 1:
        return 1, after
    connection.execute(
        delete(packs).where(
            columns.session_id == session,
            and_(columns.first_input >= first.first_input, columns.first_input < after),
        )
    )
    connection.execute(
        insert(packs).values(
            session_id=session,
            first_input=first.first_input,
            input_count=sum(row.input_count for row in taken),
            first_ns=min(row.first_ns for row in taken),
            last_ns=max(row.last_ns for row in taken),
            body=body_of(lines),
            digest=last.digest,
        )
    )
    return len(taken), after


def events_in(connection: Connection, session: UUID) -> Iterator[StoredEvent]:
    """Events as they lie, in the order in which they were taken."""
    columns = [events.c[name] for name in StoredEvent.__struct_fields__]
    query = select(*columns).where(events.c.session_id == session).order_by(events.c.id)
    return (StoredEvent(*row) for row in connection.execute(query))


def event_line(event: StoredEvent) -> bytes:
    """What the digest of the events takes in of one."""
    plain = (
        *(event.kind, event.time_ns, event.subject, event.text, event.until_ns),
        _bits(event.number),
    )
    later = (event.reason, event.quantity, _bits(event.resolution))
    line = msgspec.json.encode(plain)
    if any(value is not None for value in later):  # no session of an older form has them
        line += msgspec.json.encode(later)
    return line


def verdict_line(
    kind: str, number: int, time_ns: int, subject: str, word: str, body_digest: bytes | None
) -> bytes:
    """What the digest of the verdicts takes in of one; the list of sessions reads no bodies."""
    return msgspec.json.encode((kind, number, time_ns, subject, word, body_digest))


def _bits(number: float | None) -> str | None:
    return (number + 0.0).hex() if isinstance(number, float) else number  # SQLite keeps no -0


def seal_of(connection: Connection, session: UUID) -> bytes:
    """SHA-256 over the digests of stream and blocks, the events and the verdicts."""
    digest = sha256(
        connection.execute(
            select(sessions.c.stream_digest).where(sessions.c.id == session)
        ).scalar_one()
    )
    for part in _sealed_parts(connection, session):
        digest.update(part)
    return digest.digest()


def _sealed_parts(connection: Connection, session: UUID) -> Iterator[bytes]:
    block, verdict = sample_blocks.c, verdicts.c
    for row in connection.execute(
        select(block.digest)
        .where(block.session_id == session)
        .order_by(block.channel, block.first_number)
    ):
        yield row.digest
    yield from map(event_line, events_in(connection, session))
    for row in connection.execute(
        select(
            verdict.kind, verdict.number, verdict.time_ns, verdict.subject, verdict.word,
            verdict.body,
        )
        .where(verdict.session_id == session)
        .order_by(verdict.id)
    ):  # fmt: skip
        yield msgspec.json.encode(tuple(row))
