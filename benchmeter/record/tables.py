"""The tables of the record. They run on SQLite and, for a shop's shared store, on PostgreSQL.

Readings, inputs, events and verdicts are append only. Names, remarks and visits keep every
revision.
Nothing is ever deleted by a user: a removed session is hidden.
"""

from datetime import UTC, datetime, timedelta
from typing import Any

from sqlalchemy import (
    BigInteger,
    Boolean,
    Column,
    Float,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    SmallInteger,
    String,
    Table,
    Text,
    UniqueConstraint,
    Uuid,
)
from sqlalchemy.engine import Dialect
from sqlalchemy.types import TypeDecorator

__all__ = [
    "APPLICATION_ID",
    "EPOCH",
    "SCHEMA_VERSION",
    "UtcMicroseconds",
    "events",
    "metadata",
    "packs",
    "revisions",
    "sample_blocks",
    "sample_tail",
    "sessions",
    "verdicts",
]

APPLICATION_ID = 0x424D5452  # "BMTR", in the file's header
SCHEMA_VERSION = 4  # the header's user_version

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_MICROSECOND = timedelta(microseconds=1)


class UtcMicroseconds(TypeDecorator[datetime]):
    """A moment as integer microseconds since 1970-01-01 UTC.

    The dialects' own type drops the zone without a word.

    Raises:
        ValueError: the datetime is naive.
    """

    impl = BigInteger
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> int | None:
        return None if value is None else self.number(value)

    @staticmethod
    def number(moment: datetime) -> int:
        """Microseconds since 1970-01-01 UTC."""
        if moment.tzinfo is None:
            raise ValueError(f"a moment without a time zone: {moment!r}")
        return (moment - EPOCH) // _MICROSECOND

    def process_result_value(self, value: Any | None, dialect: Dialect) -> datetime | None:
        return None if value is None else EPOCH + value * _MICROSECOND


metadata = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
        "pk": "pk_%(table_name)s",
    }
)

_RowId = BigInteger().with_variant(Integer, "sqlite")  # only INTEGER is SQLite's rowid


def _of_session() -> Column[Any]:
    return Column("session_id", Uuid, ForeignKey("session.id"), nullable=False)


sessions = Table(
    "session",
    metadata,
    Column("id", Uuid, primary_key=True),  # version 7, made by the client
    Column("name", Text, nullable=False),
    Column("remark", Text, nullable=False),
    Column("origin", Text, nullable=False),
    Column("started", UtcMicroseconds, nullable=False),
    Column("zone", Text, nullable=False),  # IANA
    Column("app_version", Text, nullable=False),
    Column("setup", Text, nullable=False),  # JSON of BenchSetup
    Column("state", String(16), nullable=False),  # open, ended, cut off
    Column("removed", Boolean, nullable=False),
    Column("last_ns", BigInteger, nullable=False),  # the latest time in the stream
    Column("input_count", BigInteger, nullable=False),
    Column("reading_count", BigInteger, nullable=False),
    Column("event_count", BigInteger, nullable=False),
    Column("verdict_count", BigInteger, nullable=False),
    Column("stream_digest", LargeBinary, nullable=False),  # see `stream`
    Column("seal", LargeBinary),  # see `sealing`; none while it is open
    Column("form", SmallInteger, nullable=False),  # SessionForm; None in a record of version 1
    # None in what an older benchmeter stored and whose seal does not hold.
    Column("event_digest", LargeBinary),  # SHA-256 over the events, see `sealing`
    Column("verdict_digest", LargeBinary),  # likewise
    Column("digest", LargeBinary),  # SHA-256 over this row, see `StoredSession`
    Column("visit", Text),  # JSON, see `stored_visit`; None: nothing was stated
)
Index(None, sessions.c.started)

packs = Table(
    "raw_pack",
    metadata,
    Column("id", _RowId, primary_key=True),
    _of_session(),
    Column("first_input", BigInteger, nullable=False),
    Column("input_count", BigInteger, nullable=False),
    Column("first_ns", BigInteger, nullable=False),
    Column("last_ns", BigInteger, nullable=False),
    Column("body", LargeBinary, nullable=False),  # zlib of JSON lines
    Column("digest", LargeBinary, nullable=False),  # SHA-256 of the stream up to its end
    UniqueConstraint("session_id", "first_input"),
)

# Two readings of a channel may share a time: two frames in one chunk.
sample_tail = Table(
    "sample_tail",
    metadata,
    Column("session_id", Uuid, ForeignKey("session.id"), primary_key=True),
    Column("channel", Text, primary_key=True),
    Column("number", BigInteger, primary_key=True, autoincrement=False),
    Column("time_ns", BigInteger, nullable=False),
    Column("value", Float(53)),
    Column("status", SmallInteger, nullable=False),
    Column("resolution", Float(53)),
    Column("crc", BigInteger),  # see `sealing`; None: of an older benchmeter
    sqlite_with_rowid=False,
)

sample_blocks = Table(
    "sample_block",
    metadata,
    Column("id", _RowId, primary_key=True),
    _of_session(),
    Column("channel", Text, nullable=False),
    Column("first_number", BigInteger, nullable=False),
    Column("sample_count", BigInteger, nullable=False),
    Column("first_ns", BigInteger, nullable=False),
    Column("last_ns", BigInteger, nullable=False),
    Column("minimum", Float(53)),
    Column("maximum", Float(53)),
    Column("body", LargeBinary, nullable=False),  # see `blocks`
    Column("digest", LargeBinary, nullable=False),
    UniqueConstraint("session_id", "channel", "first_number"),
)

events = Table(
    "event",
    metadata,
    Column("id", _RowId, primary_key=True),
    _of_session(),
    Column("kind", Text, nullable=False),
    Column("time_ns", BigInteger, nullable=False),
    Column("subject", Text, nullable=False),
    Column("text", Text, nullable=False),
    Column("until_ns", BigInteger),
    Column("number", Float(53)),
    Column("reason", Text),  # JSON of a message
    Column("quantity", Text),
    Column("resolution", Float(53)),
)
Index(None, events.c.session_id)

verdicts = Table(
    "verdict",
    metadata,
    Column("id", _RowId, primary_key=True),
    _of_session(),
    Column("kind", String(16), nullable=False),  # part, recovery, reference
    Column("number", Integer, nullable=False),  # of the check; 0 for a recovery
    Column("time_ns", BigInteger, nullable=False),
    Column("subject", Text, nullable=False),
    Column("word", Text, nullable=False),
    Column("body", LargeBinary, nullable=False),  # MessagePack: JSON has no infinity
    Column("body_digest", LargeBinary),  # SHA-256; None: of an older benchmeter
)
Index(None, verdicts.c.session_id, verdicts.c.kind, verdicts.c.number)

revisions = Table(
    "revision",
    metadata,
    Column("id", _RowId, primary_key=True),
    _of_session(),
    Column("made", UtcMicroseconds, nullable=False),
    Column("field", String(16), nullable=False),  # name, remark, visit, removed
    Column("text", Text, nullable=False),
)
Index(None, revisions.c.session_id)
