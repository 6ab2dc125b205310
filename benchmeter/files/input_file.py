"""Files that people give: opened here and nowhere else, so that none can hold up a command."""

import os
import stat
from contextlib import suppress
from pathlib import Path
from typing import BinaryIO

from benchmeter.errors import WorldError

__all__ = ["LARGEST", "LARGEST_STREAM", "open_input", "read_input"]

_AT_ONCE: int = getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)

LARGEST = 1_000_000
"""Bytes of a file that is held whole: what a person writes, a reading each second of a day."""


LARGEST_STREAM = 1_000_000_000
"""Bytes of a table that is read row by row."""


def open_input(path: Path, most: int, error: type[WorldError]) -> BinaryIO:
    """Open a file to be read.

    Args:
        most: bytes that it may hold.
        error: raised where it cannot be used.

    Raises:
        WorldError: of that class: no such file, no right to read it, not an ordinary file (a pipe
            or a device may never end, or never begin), or larger.
    """
    try:
        # A device may do something when it is opened; a pipe would wait for who writes to it.
        ordinary = stat.S_ISREG(path.stat().st_mode)
        number = os.open(path, os.O_RDONLY | _AT_ONCE) if ordinary else -1
    except (OSError, ValueError) as fault:
        raise error("files.unreadable", path=path, why=_why(fault)) from fault
    if not ordinary:
        raise error("files.not_ordinary", path=path)
    try:
        found = os.fstat(number)
        if found.st_size > most:
            raise error("files.too_large", path=path, megabytes=most // 1_000_000)
        return os.fdopen(number, "rb")
    except BaseException:
        with suppress(OSError):
            os.close(number)
        raise


def read_input(path: Path, error: type[WorldError]) -> bytes:
    """All bytes of a file, LARGEST at most; raises as `open_input` does."""
    with open_input(path, LARGEST, error) as file:
        try:
            return file.read(LARGEST)
        except OSError as fault:
            raise error("files.unreadable", path=path, why=_why(fault)) from fault


def _why(fault: OSError | ValueError) -> str:
    return (isinstance(fault, OSError) and fault.strerror) or str(fault)
