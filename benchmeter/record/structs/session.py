"""The stored form of a session's own row, with the digest that tells whether it was changed."""

from collections.abc import Mapping
from hashlib import sha256
from typing import Any
from uuid import UUID

import msgspec

__all__ = ["StoredSession"]


class StoredSession(msgspec.Struct, frozen=True, kw_only=True):
    """Its fields are the columns of the table, as the driver gives them.

    Attributes:
        started: microseconds since 1970-01-01 UTC.
        seal: None while the session is open.
        form, event_digest, verdict_digest, digest: None: stored before there were such.
        visit: see `stored_visit`; None: nothing was stated.
    """

    id: UUID
    name: str
    remark: str
    origin: str
    started: int
    zone: str
    app_version: str
    setup: str
    state: str
    removed: int = 0
    last_ns: int = 0
    input_count: int = 0
    reading_count: int = 0
    event_count: int = 0
    verdict_count: int = 0
    stream_digest: bytes = b""
    seal: bytes | None = None
    form: int | None = None
    event_digest: bytes | None = None
    verdict_digest: bytes | None = None
    digest: bytes | None = None
    visit: str | msgspec.UnsetType | None = None

    @classmethod
    def of(cls, row: Mapping[Any, Any]) -> "StoredSession":
        """The session in a row.

        Raises:
            ValueError: a value is of another type: the row was changed.
        """
        return msgspec.convert(dict(row), cls)

    def own_digest(self) -> bytes:
        """SHA-256 over all other columns; of a visit only where something was stated.

        So the digests of version 3, which knew of no visits, hold as they are.
        """
        visit = msgspec.UNSET if self.visit is None else self.visit
        told = msgspec.structs.replace(self, digest=None, visit=visit)
        return sha256(msgspec.json.encode(told)).digest()

    def holds(self) -> bool:
        """Whether the row is as it was written, as far as it can tell."""
        return self.digest is None or self.digest == self.own_digest()

    def with_changes(self, **changes: Any) -> "StoredSession":
        """The row with these columns changed. One that did not hold will not hold afterwards."""
        changed = msgspec.structs.replace(self, **changes)
        if not self.holds():
            return changed
        return msgspec.structs.replace(changed, digest=changed.own_digest())
