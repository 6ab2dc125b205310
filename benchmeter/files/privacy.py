"""Files and folders that are for this user alone, where the system can say so."""

import os
import stat
from contextlib import suppress
from pathlib import Path

__all__ = ["make_private", "private_file"]


def private_file(path: Path) -> None:
    """Make the file if it is missing, and keep all others from it.

    Raises:
        OSError: it cannot be made.
    """
    os.close(os.open(path, os.O_RDONLY | os.O_CREAT | getattr(os, "O_NONBLOCK", 0), 0o600))
    make_private(path)


def make_private(path: Path) -> None:
    """Keep all others from a file or folder that is there; where that cannot be, it stays."""
    with suppress(OSError):
        mode = stat.S_IMODE(path.stat().st_mode)
        if mode & 0o077:
            path.chmod(mode & ~0o077)
