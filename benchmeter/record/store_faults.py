"""What the database or the disk reports, as codes of ours. The only place that knows theirs."""

import errno
import sqlite3
import struct
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy.exc import DBAPIError

from benchmeter.errors import (
    StoreDamaged,
    StoreError,
    StoreForeign,
    StoreFull,
    StoreLocked,
    StoreNewer,
    StoreReadOnly,
)

__all__ = [
    "GARBAGE",
    "damaged",
    "fault_of_ours",
    "foreign",
    "is_read_only",
    "locked",
    "newer",
    "read_only",
    "session_damaged",
    "telling",
    "unknown",
    "vanished",
]

GARBAGE = (ArithmeticError, AttributeError, LookupError, TypeError, ValueError, struct.error)
"""What Python raises at values that nobody would have stored."""


@contextmanager
def telling(path: Path, *, of_newer: bool = False) -> Iterator[None]:
    """Turn what the database or the disk reports inside into a StoreError.

    What only a fault of ours can cause, a broken constraint or a misused connection, passes.

    Args:
        path: the database.
        of_newer: the database was made by a newer benchmeter: what is missing there is no damage.
    """
    try:
        yield
    except (DBAPIError, sqlite3.Error, OSError, UnicodeDecodeError) as error:
        told = _told(getattr(error, "orig", error), path, of_newer)
        if told is None:
            raise
        raise told from error


def is_read_only(error: DBAPIError) -> bool:
    """Whether SQLite would have had to write and may not."""
    code = getattr(error.orig, "sqlite_errorcode", sqlite3.SQLITE_OK)
    return bool(code & 0xFF == sqlite3.SQLITE_READONLY)


def locked(path: Path) -> StoreLocked:
    """Another benchmeter writes there."""
    return StoreLocked("record.locked", folder=path.parent)


def newer(path: Path, detail: str = "") -> StoreNewer:
    return StoreNewer("record.newer", detail=detail, file=path)


def foreign(path: Path, detail: str = "") -> StoreForeign:
    return StoreForeign("record.foreign", detail=detail, file=path)


def damaged(path: Path, detail: str = "") -> StoreDamaged:
    return StoreDamaged("record.damaged", detail=detail, file=path)


def session_damaged(path: Path, detail: str = "") -> StoreDamaged:
    return StoreDamaged("record.session_damaged", detail=detail, file=path)


def unknown(path: Path, detail: str = "") -> StoreNewer:
    """What is stored holds, and is not known here."""
    return StoreNewer("record.unknown", detail=detail, file=path)


def read_only(path: Path, detail: str = "") -> StoreReadOnly:
    return StoreReadOnly("record.read_only", detail=detail, file=path)


def vanished(path: Path) -> StoreError:
    return StoreError("record.vanished", file=path)


def fault_of_ours(path: Path, detail: str) -> StoreError:
    return StoreError("record.fault_of_ours", detail=detail, file=path)


def _told(error: BaseException, path: Path, of_newer: bool) -> StoreError | None:
    detail = f"{type(error).__name__}: {error}"
    if isinstance(error, OSError):
        return _told_of_os(error, path, detail)
    if _is_broken_text(error):
        return damaged(path, detail)
    code = getattr(error, "sqlite_errorcode", sqlite3.SQLITE_MISUSE)
    match code & 0xFF:
        case sqlite3.SQLITE_FULL:
            return StoreFull("record.full", detail=detail, file=path)
        case sqlite3.SQLITE_READONLY | sqlite3.SQLITE_PERM | sqlite3.SQLITE_CANTOPEN:
            return read_only(path, detail)
        case sqlite3.SQLITE_BUSY | sqlite3.SQLITE_LOCKED | sqlite3.SQLITE_PROTOCOL:
            return StoreLocked("record.held", detail=detail, file=path)
        case sqlite3.SQLITE_CORRUPT:
            return damaged(path, detail)
        case sqlite3.SQLITE_NOTADB:
            return foreign(path, detail)
        case sqlite3.SQLITE_IOERR:
            return StoreError("record.disk_lost", detail=detail, file=path)
        case sqlite3.SQLITE_ERROR:  # no such table, no such column
            return newer(path, detail) if of_newer else damaged(path, detail)
        case sqlite3.SQLITE_CONSTRAINT | sqlite3.SQLITE_MISUSE | sqlite3.SQLITE_MISMATCH:
            return None
    return StoreError("record.refused", detail=detail, file=path)


def _is_broken_text(error: BaseException) -> bool:
    """Text that is no UTF-8: the driver says so without a code of SQLite's."""
    if isinstance(error, sqlite3.OperationalError):
        return not hasattr(error, "sqlite_errorcode")
    return isinstance(error, UnicodeDecodeError)


def _told_of_os(error: OSError, path: Path, detail: str) -> StoreError:
    match error.errno:
        case errno.ENOSPC | errno.EDQUOT:
            return StoreFull("record.full", detail=detail, file=path)
        case errno.EIO | errno.ENODEV | errno.ENXIO:
            return StoreError("record.disk_lost", detail=detail, file=path)
    return read_only(path, detail)
