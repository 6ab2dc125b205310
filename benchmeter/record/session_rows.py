"""The rows of sessions as they lie. Each function runs in the caller's transaction."""

from typing import Any
from uuid import UUID

from sqlalchemy import Connection, Select, bindparam, select, type_coerce, update
from sqlalchemy.types import NULLTYPE

from benchmeter.record.structs.session import StoredSession
from benchmeter.record.tables import sessions

__all__ = ["all_sessions", "session_row", "stamp"]

# Without the types of the columns: what was damaged is not to be interpreted before it is found.
_AS_IT_LIES: Select[*tuple[Any, ...]] = select(
    *(
        type_coerce(sessions.c[name], NULLTYPE).label(name)
        for name in StoredSession.__struct_fields__
    )
)
_ONE = _AS_IT_LIES.where(sessions.c.id == bindparam("session"))


def all_sessions() -> Select[*tuple[Any, ...]]:
    """Every session's row as it lies, newest first."""
    return _AS_IT_LIES.order_by(sessions.c.started.desc(), sessions.c.id.desc())


def session_row(connection: Connection, session: UUID) -> StoredSession | None:
    """The row of a session.

    Raises:
        ValueError: see `StoredSession.of`.
    """
    row = connection.execute(_ONE, {"session": session}).mappings().one_or_none()
    return None if row is None else StoredSession.of(row)


def stamp(connection: Connection, before: StoredSession, **changes: Any) -> None:
    """Change columns of a session's row, and its digest with them."""
    after = before.with_changes(**changes)
    connection.execute(
        update(sessions)
        .where(sessions.c.id == before.id)
        .values({**changes, "digest": after.digest})
    )
