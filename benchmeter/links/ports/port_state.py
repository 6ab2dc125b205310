"""Whether a port could be opened, found out without opening it: opening resets some adapters."""

import contextlib
import os
import re
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from benchmeter.errors import Message
from benchmeter.links.ports.serial_port import how_to_get_access

__all__ = ["PortCondition", "PortState", "port_condition"]

_PROC = Path("/proc")
_LOCK = re.compile(r"FLOCK\s+\S+\s+\S+\s+(\d+)\s+([0-9a-f]+):([0-9a-f]+):(\d+)\s")


class PortState(StrEnum):
    """Whether a port could be opened now, as far as can be told from outside."""

    FREE = "free"
    BUSY = "busy"
    FORBIDDEN = "forbidden"


@dataclass(frozen=True, slots=True)
class PortCondition:
    """State of a port, and why it is not free."""

    state: PortState
    reason: Message | None = None


def port_condition(device: str) -> PortCondition:
    """Look at the rights, the locks and the open files of the system.

    A program of another user that takes no lock cannot be seen; on other systems than Linux only
    the rights can.
    """
    if not os.access(device, os.R_OK | os.W_OK) and Path(device).exists():
        access = how_to_get_access(device)
        why = Message("links.forbidden_now", {"port": device, "access": access})
        return PortCondition(PortState.FORBIDDEN, why)
    holder = _locked_by(device) or _opened_by(device)
    if holder is None:
        return PortCondition(PortState.FREE)
    if holder == os.getpid():
        return PortCondition(PortState.BUSY, Message("links.busy_here", {"port": device}))
    program = _name_of(holder)
    held = Message("links.busy_by", {"port": device, "program": program, "process": holder})
    return PortCondition(PortState.BUSY, held)


def _locked_by(device: str) -> int | None:
    """The process that holds the lock which careful programs take (flock), of any user."""
    try:
        node = Path(device).stat()
        locks = (_PROC / "locks").read_text(encoding="ascii", errors="replace")
    except OSError:
        return None
    wanted = (os.major(node.st_dev), os.minor(node.st_dev), node.st_ino)
    for pid, major, minor, inode in _LOCK.findall(locks):
        if (int(major, 16), int(minor, 16), int(inode)) == wanted and int(pid) > 0:
            return int(pid)
    return None


def _opened_by(device: str) -> int | None:
    """A process that has the port open, among those that we may look into."""
    wanted = Path(device).resolve()
    for process in _PROC.glob("[0-9]*"):
        if wanted in _open_files(process):
            return int(process.name)
    return None


def _open_files(process: Path) -> Iterator[Path]:
    try:
        for handle in (process / "fd").iterdir():
            with contextlib.suppress(OSError):  # closed by now
                yield handle.readlink()
    except OSError:
        return  # not ours to look into, or over by now


def _name_of(process: int) -> str | Message:
    try:
        return (_PROC / str(process) / "comm").read_text(encoding="utf-8", errors="replace").strip()
    except OSError:
        return Message("links.another_program")
