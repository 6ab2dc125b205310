"""What the database or the disk reports, in the user's words. The only place that translates."""

import errno
import sqlite3
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
    "damaged",
    "fault_of_ours",
    "foreign",
    "is_read_only",
    "locked",
    "newer",
    "read_only",
    "telling",
    "vanished",
]


@contextmanager
def telling(path: Path, *, of_newer: bool = False) -> Iterator[None]:
    """Turn what the database or the disk reports inside into a StoreError.

    What only a fault of ours can cause, a broken constraint or a misused connection, passes.

    Args:
        path: the database, for the text.
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
    return StoreLocked(
        f"Another benchmeter is open on the data folder {path.parent}, so nothing can be "
        "recorded or changed from here.",
        "Go on in the one that is open, or close it first; stored sessions can still be viewed.",
    )


def newer(path: Path, detail: str = "") -> StoreNewer:
    return StoreNewer(
        f"The record {path} was made by a newer benchmeter; this one must not write to it.",
        "Update benchmeter, or choose another data folder.",
        detail,
    )


def foreign(path: Path, detail: str = "") -> StoreForeign:
    return StoreForeign(
        f"The file {path} is not a benchmeter record, or its beginning is destroyed; it was left "
        "as it is.",
        "Choose another data folder, or put back a backup of the record.",
        detail,
    )


def damaged(path: Path, detail: str = "") -> StoreDamaged:
    return StoreDamaged(
        f"The record {path} is damaged, so it cannot be trusted; it was left as it is.",
        "Copy the whole data folder to a safe place, then put back the last backup.",
        detail,
    )


def read_only(path: Path, detail: str = "") -> StoreReadOnly:
    return StoreReadOnly(
        f"The record {path} cannot be written, so nothing can be saved there.",
        "Make the folder writable, or choose another data folder.",
        detail,
    )


def vanished(path: Path) -> StoreError:
    return StoreError(
        f"The record {path} has been moved or deleted while benchmeter was writing to it.",
        "Put the file back where it was.",
    )


def fault_of_ours(path: Path, detail: str) -> StoreError:
    return StoreError(
        f"A fault in benchmeter keeps it from writing to {path}.",
        "Note down what was measured and send the log file with a description.",
        detail,
    )


def _full(path: Path, detail: str) -> StoreFull:
    return StoreFull(
        f"No space is left on the disk that holds {path}, so nothing new can be saved there.",
        "Free some space: delete or move other files.",
        detail,
    )


def _lost(path: Path, detail: str) -> StoreError:
    return StoreError(
        f"The disk that holds {path} does not answer, so nothing new can be saved there.",
        "Check that the drive is plugged in and sound.",
        detail,
    )


def _told(error: BaseException, path: Path, of_newer: bool) -> StoreError | None:
    detail = f"{type(error).__name__}: {error}"
    if isinstance(error, OSError):
        return _told_of_os(error, path, detail)
    if _is_broken_text(error):
        return damaged(path, detail)
    code = getattr(error, "sqlite_errorcode", sqlite3.SQLITE_MISUSE)
    match code & 0xFF:
        case sqlite3.SQLITE_FULL:
            return _full(path, detail)
        case sqlite3.SQLITE_READONLY | sqlite3.SQLITE_PERM | sqlite3.SQLITE_CANTOPEN:
            return read_only(path, detail)
        case sqlite3.SQLITE_BUSY | sqlite3.SQLITE_LOCKED | sqlite3.SQLITE_PROTOCOL:
            return StoreLocked(
                f"Another program holds the record {path}, so nothing can be saved there.",
                "Close the other program.",
                detail,
            )
        case sqlite3.SQLITE_CORRUPT:
            return damaged(path, detail)
        case sqlite3.SQLITE_NOTADB:
            return foreign(path, detail)
        case sqlite3.SQLITE_IOERR:
            return _lost(path, detail)
        case sqlite3.SQLITE_ERROR:  # no such table, no such column
            return newer(path, detail) if of_newer else damaged(path, detail)
        case sqlite3.SQLITE_CONSTRAINT | sqlite3.SQLITE_MISUSE | sqlite3.SQLITE_MISMATCH:
            return None
    return StoreError(f"The record {path} refused what should be saved.", "", detail)


def _is_broken_text(error: BaseException) -> bool:
    """Text that is no UTF-8: the driver says so without a code of SQLite's."""
    if isinstance(error, sqlite3.OperationalError):
        return not hasattr(error, "sqlite_errorcode")
    return isinstance(error, UnicodeDecodeError)


def _told_of_os(error: OSError, path: Path, detail: str) -> StoreError:
    match error.errno:
        case errno.ENOSPC | errno.EDQUOT:
            return _full(path, detail)
        case errno.EIO | errno.ENODEV | errno.ENXIO:
            return _lost(path, detail)
    return read_only(path, detail)
