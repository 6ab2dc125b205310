"""Version 3: a session's row, its events, its verdicts and its latest readings carry digests."""

from contextlib import suppress
from hashlib import sha256
from typing import TYPE_CHECKING, Any

import sqlalchemy as sa

from benchmeter.record.sealing import (
    crc_of_sample,
    event_line,
    events_in,
    place_of_samples,
    seal_of,
    verdict_line,
)
from benchmeter.record.session_rows import stamp
from benchmeter.record.store_faults import GARBAGE
from benchmeter.record.structs.session import StoredSession
from benchmeter.record.tables import sample_tail, sessions, verdicts

if TYPE_CHECKING:
    from uuid import UUID

    from alembic.operations import Operations

__all__ = ["as_version_3", "digest_session", "upgrade"]

_AS_IT_WAS = sa.text("SELECT * FROM session WHERE id = :session")  # with its columns of that day


def as_version_3(*later: str) -> tuple[str, ...]:
    """What lets a record without digests be read as it is.

    Args:
        later: columns of a session that it lacks beside them.
    """
    lacking = ", ".join(
        f"NULL AS {c}" for c in (*later, "event_digest", "verdict_digest", "digest")
    )
    return (
        f"CREATE TEMP VIEW session AS SELECT *, {lacking} FROM main.session",
        "CREATE TEMP VIEW verdict AS SELECT *, NULL AS body_digest FROM main.verdict",
        "CREATE TEMP VIEW sample_tail AS SELECT *, NULL AS crc FROM main.sample_tail",
    )


def upgrade(op: "Operations") -> None:
    """Until now only the seal told of a change, and only to who rechecked the session.

    A session whose seal does not hold gets no digests: its seal goes on telling.
    """
    for column in ("event_digest", "verdict_digest", "digest"):
        op.add_column("session", sa.Column(column, sa.LargeBinary))
    op.add_column("verdict", sa.Column("body_digest", sa.LargeBinary))
    op.add_column("sample_tail", sa.Column("crc", sa.BigInteger))
    connection = op.get_bind()
    for session in connection.execute(sa.select(sessions.c.id)).scalars().all():
        with suppress(*GARBAGE):  # whoever reads it is told
            row = StoredSession.of(
                connection.execute(_AS_IT_WAS, {"session": session.hex}).mappings().one()
            )
            if row.seal in (None, seal_of(connection, session)):
                digest_session(connection, row)


def digest_session(connection: sa.Connection, row: StoredSession) -> None:
    """Give a session the digests of what lies there."""
    _check_samples(connection, row.id)
    events = sha256()
    for event in events_in(connection, row.id):
        events.update(event_line(event))
    verdict_digest = _digest_verdicts(connection, row.id)
    stamp(connection, row, event_digest=events.digest(), verdict_digest=verdict_digest)


def _digest_verdicts(connection: sa.Connection, session: "UUID") -> bytes:
    digest, column = sha256(), verdicts.c
    named = (column.kind, column.number, column.time_ns, column.subject, column.word)
    given = sa.select(column.id, *named).where(column.session_id == session).order_by(column.id)
    for row in connection.execute(given).all():
        body = connection.execute(sa.select(column.body).where(column.id == row.id)).scalar_one()
        of_body = sha256(body).digest()
        connection.execute(
            sa.update(verdicts).where(column.id == row.id).values(body_digest=of_body)
        )
        digest.update(verdict_line(*row[1:], of_body))
    return digest.digest()


def _check_samples(connection: sa.Connection, session: "UUID") -> None:
    column = sample_tail.c
    for row in connection.execute(sa.select(sample_tail).where(column.session_id == session)).all():
        sample: tuple[Any, ...] = (row.number, row.time_ns, row.value, row.status, row.resolution)
        connection.execute(
            sa.update(sample_tail)
            .where(
                column.session_id == session,
                column.channel == row.channel,
                column.number == row.number,
            )
            .values(crc=crc_of_sample(place_of_samples(session, row.channel), *sample))
        )
