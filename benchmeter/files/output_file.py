"""Files that the program writes: whole or not at all, and never over what nobody gave up.

Here and nowhere else a file is written for a person, or a file of the data folder anew.
"""

import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO
from unicodedata import category

from benchmeter.errors import InputError, WorldError
from benchmeter.files.folders import Folders

__all__ = ["OutputFile", "writing_whole"]

_NEW: int = (
    os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0) | getattr(os, "O_NOFOLLOW", 0)
)


_STEERING = ("Cc", "Cf", "Cs", "Zl", "Zp")  # a terminal or a list of files would obey them


@contextmanager
def writing_whole(path: Path, *, replace: bool = True, mode: int = 0o600) -> Iterator[BinaryIO]:
    """Write a file beside `path` that takes its place when the block ends well.

    Args:
        replace: whether a file that is there gives way; the new one has its permissions.
        mode: permissions of a file that was not there.

    Raises:
        FileExistsError: there is one, and it does not give way.
        OSError: it cannot be written; what was there is as it was.
    """
    fresh = path.with_name(f".{os.urandom(6).hex()}.new")
    number = os.open(fresh, _NEW, mode)
    try:
        with os.fdopen(number, "wb") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        if replace:
            with suppress(FileNotFoundError):
                fresh.chmod(stat.S_IMODE(path.stat().st_mode))
            fresh.replace(path)
        else:
            _give_name(fresh, path)
    finally:
        fresh.unlink(missing_ok=True)


def _give_name(fresh: Path, path: Path) -> None:
    try:
        path.hardlink_to(fresh)  # the one way that never takes the place of another file
    except FileExistsError:
        raise
    except (OSError, NotImplementedError):  # a file system without hard links
        os.close(os.open(path, _NEW))
        fresh.replace(path)


@dataclass(frozen=True, slots=True)
class OutputFile:
    """A file that a person asked for.

    Attributes:
        replace: whether the person gave up the file that is there.
        kept: folders into which nothing is written.
    """

    path: Path
    replace: bool = False
    kept: tuple[Path, ...] = ()

    @classmethod
    def beside(cls, folders: Folders, path: Path, *, replace: bool = False) -> "OutputFile":
        """One that lies neither in the data folder that is in use nor in the user's."""
        return cls(path, replace, (folders.data, Folders.of_user().data))

    def check(self) -> None:
        """Refuse a path before the work is done.

        Raises:
            InputError: there is a file already, or nobody should write there.
        """
        if any(category(sign) in _STEERING for sign in self.path.name):
            raise InputError("files.name_not_printable", name=ascii(self.path.name))
        if any(_holds(folder, self.path) for folder in self.kept):
            raise InputError("files.in_data_folder", file=self.path)
        with self._telling():
            there = self.path.lstat() if os.path.lexists(self.path) else None
        if there is not None and not stat.S_ISREG(there.st_mode):
            raise InputError("files.not_replaceable", file=self.path)
        if there is not None and not self.replace:
            raise InputError("files.exists", file=self.path)

    @contextmanager
    def writing(self) -> Iterator[BinaryIO]:
        """The file, to be written; it has its name when the block ends well.

        Raises:
            InputError: as `check` does.
            WorldError: it cannot be written.
        """
        self.check()
        with (
            self._telling(),
            writing_whole(self.path, replace=self.replace, mode=0o666) as file,
        ):
            yield file

    @contextmanager
    def _telling(self) -> Iterator[None]:
        try:
            yield
        except FileExistsError as fault:
            raise InputError("files.exists", file=self.path) from fault
        except OSError as fault:
            why = fault.strerror or str(fault)
            raise WorldError("files.not_written", file=self.path, why=why) from fault


def _holds(folder: Path, path: Path) -> bool:
    """Whether a file of that path would lie in the folder, by whatever way one comes there."""
    if not folder.exists():
        return False
    parent = path.parent.resolve()
    return any(p.exists() and p.samefile(folder) for p in (parent, *parent.parents))
