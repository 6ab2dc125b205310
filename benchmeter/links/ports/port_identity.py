"""Which adapter is it? The name of a port may change at each plugging; its identity does not."""

import os
import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from serial.tools import list_ports
from serial.tools.list_ports_common import ListPortInfo

__all__ = ["PortIdentity", "PortList", "find_port", "identify", "like", "listed_ports", "same_port"]

PortList = Callable[[], Sequence[ListPortInfo]]

# Serial numbers that makers leave in every adapter of a lot: 0, 0000, 0001.
_NO_SERIAL = re.compile(r"\s*0*[01]?\s*")


@dataclass(frozen=True, slots=True)
class PortIdentity:
    """What stays the same when an adapter is unplugged and plugged in again.

    Attributes:
        vendor, product: USB numbers; None for a port that is not on USB.
        serial: serial number of the adapter; "" if it has none that tells it from its like.
        location: the USB socket, or the device itself for a port that is not on USB.
        by_location: whether only the socket tells it from its like.
    """

    vendor: int | None
    product: int | None
    serial: str
    location: str
    by_location: bool

    def text(self) -> str:
        """For people and records: "0403:6001:A50285BI", "1a86:7523@1-1.2", "/dev/ttyS0"."""
        if self.vendor is None or self.product is None:
            return self.location
        parts = [
            f"{self.vendor:04x}",
            f"{self.product:04x}",
            *([self.serial] if self.serial else []),
        ]
        return ":".join(parts) + (f"@{self.location}" if self.by_location else "")


def listed_ports() -> Sequence[ListPortInfo]:
    """The serial ports that the system knows of, in the order that people count in."""
    return sorted(list_ports.comports())


def identify(port: ListPortInfo, ports: Iterable[ListPortInfo]) -> PortIdentity:
    """The identity of a listed port among the others that are listed now."""
    if port.vid is None or port.pid is None:
        return PortIdentity(None, None, "", _location(port), by_location=True)
    serial = port.serial_number or ""
    twins = [p for p in ports if _numbers(p) == _numbers(port)]
    by_location = _NO_SERIAL.fullmatch(serial) is not None or len(twins) > 1
    return PortIdentity(port.vid, port.pid, serial, _location(port), by_location)


def find_port(identity: PortIdentity, ports: Sequence[ListPortInfo]) -> str | None:
    """The device that now has this identity; None if it is not plugged in."""
    found = like(identity, ports)
    if identity.by_location or len(found) > 1:
        found = [p for p in found if _location(p) == identity.location]
    return found[0].device if found else None


def like(identity: PortIdentity, ports: Iterable[ListPortInfo]) -> list[ListPortInfo]:
    """The ports that only their socket may tell from that one."""
    wanted = (identity.vendor, identity.product, identity.serial)
    return [p for p in ports if _numbers(p) == wanted]


def same_port(path: str, other: str) -> bool:
    """Whether two names mean one port, links resolved, letters' case as the system has it."""
    return os.path.normcase(Path(path).resolve()) == os.path.normcase(Path(other).resolve())


def _numbers(port: ListPortInfo) -> tuple[int | None, int | None, str]:
    return port.vid, port.pid, port.serial_number or ""


def _location(port: ListPortInfo) -> str:
    return (port.location or "") if port.vid is not None else port.device
