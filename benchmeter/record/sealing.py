"""Sealing: from small rows that are quick to commit to large ones that are small to keep.

Each function runs in the caller's transaction and leaves the content as it was.
"""

from collections.abc import Iterator
from hashlib import sha256
from uuid import UUID

import msgspec
import numpy as np
from sqlalchemy import Connection, and_, bindparam, delete, insert, select

from benchmeter.record.blocks import BLOCK_SAMPLES, Block, Samples
from benchmeter.record.stored_stream import body_of, lines_in
from benchmeter.record.tables import events, packs, sample_blocks, sample_tail, sessions, verdicts

__all__ = ["merge_packs", "seal_channel", "seal_of", "tail_channels", "tail_samples"]

_MERGED_BYTES = 1 << 18

_TAIL = (
    select(
        sample_tail.c.number,
        sample_tail.c.time_ns,
        sample_tail.c.value,
        sample_tail.c.status,
        sample_tail.c.resolution,
    )
    .where(
        sample_tail.c.session_id == bindparam("session"),
        sample_tail.c.channel == bindparam("wanted"),
    )
    .order_by(sample_tail.c.number)
    .limit(bindparam("most"))
)


def tail_channels(connection: Connection, session: UUID) -> tuple[str, ...]:
    """Channels with samples that are not sealed."""
    rows = connection.execute(
        select(sample_tail.c.channel).where(sample_tail.c.session_id == session).distinct()
    )
    return tuple(rows.scalars())


def tail_samples(
    connection: Connection, session: UUID, channel: str, most: int = 2**63 - 1
) -> tuple[int, Samples]:
    """The oldest unsealed samples of a channel, and the number of the first."""
    place = {"session": session, "wanted": channel, "most": most}
    rows = connection.execute(_TAIL, place).all()
    first = rows[0].number if rows else 0
    return first, Samples(
        time_ns=np.array([row.time_ns for row in rows], np.int64),
        value=np.array([row.value for row in rows], np.float64),  # None becomes NaN
        status=np.array([row.status for row in rows], np.uint8),
        resolution=np.array([row.resolution for row in rows], np.float64),
    )


def seal_channel(connection: Connection, session: UUID, channel: str) -> int:
    """Move up to a block's worth of a channel's tail into a block; how many that were."""
    first, samples = tail_samples(connection, session, channel, BLOCK_SAMPLES)
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
            digest=block.digest(session),
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
    block, event, verdict = sample_blocks.c, events.c, verdicts.c
    for row in connection.execute(
        select(block.digest)
        .where(block.session_id == session)
        .order_by(block.channel, block.first_number)
    ):
        yield row.digest
    for row in connection.execute(
        select(
            event.kind, event.time_ns, event.subject, event.text, event.until_ns, event.number,
            event.reason, event.quantity, event.resolution,
        )
        .where(event.session_id == session)
        .order_by(event.id)
    ):  # fmt: skip
        number = None if row.number is None else row.number.hex()
        yield msgspec.json.encode((*row[:5], number))
        if any(value is not None for value in row[6:]):  # no session of an older form has them
            resolution = None if row.resolution is None else row.resolution.hex()
            yield msgspec.json.encode((row.reason, row.quantity, resolution))
    for row in connection.execute(
        select(
            verdict.kind, verdict.number, verdict.time_ns, verdict.subject, verdict.word,
            verdict.body,
        )
        .where(verdict.session_id == session)
        .order_by(verdict.id)
    ):  # fmt: skip
        yield msgspec.json.encode(tuple(row))
