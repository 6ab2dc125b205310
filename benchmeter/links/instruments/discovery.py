"""Which serial ports there are, what hangs on them, and which profiles may fit."""

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from serial.tools.list_ports_common import ListPortInfo

from benchmeter.errors import Message
from benchmeter.links.instruments.profile import Profile, UsbIdentity
from benchmeter.links.ports.port_identity import PortList, identify, listed_ports, same_port
from benchmeter.links.ports.port_state import PortState, port_condition

__all__ = ["PortFound", "PortState", "list_ports"]

_LINKS = Path("/dev/serial")


@dataclass(frozen=True, slots=True)
class PortFound:
    """One serial port of this computer.

    Attributes:
        device: what to open now; may change when it is plugged in again.
        identity: stays the same: USB vendor, product and serial number, with the socket where
            the serial number does not tell it from its like; the device itself for other ports.
        description: what the adapter says of itself.
        stable_path: a link in the file system that follows the adapter; "" if there is none.
        profiles: names of the profiles that hint at this adapter.
        state, reason: whether it could be opened; see `PortCondition`.
    """

    device: str
    identity: str
    description: str
    stable_path: str
    profiles: tuple[str, ...]
    state: PortState
    reason: Message | None


def list_ports(
    profiles: Iterable[Profile], *, ports: PortList = listed_ports, links: Path = _LINKS
) -> tuple[PortFound, ...]:
    """The serial ports, in the order in which people count. Opens none of them.

    Args:
        profiles: those whose hints are looked at.
        ports: lists the ports of the system.
        links: folder with `by-id` and `by-path`, kept by the system.
    """
    profiles = tuple(profiles)
    listed = ports()
    found = []
    for port in listed:
        identity = identify(port, listed)
        condition = port_condition(port.device)
        found.append(
            PortFound(
                device=port.device,
                identity=identity.text(),
                description=_description(port),
                # Adapters without a serial number share one name in by-id.
                stable_path=_link_to(
                    port, links / ("by-path" if identity.by_location else "by-id")
                ),
                profiles=tuple(p.name for p in profiles if _fits(port, p)),
                state=condition.state,
                reason=condition.reason,
            )
        )
    return tuple(found)


def _description(port: ListPortInfo) -> str:
    said = port.product or port.description or ""
    return said if said and said != "n/a" else port.name


def _link_to(port: ListPortInfo, folder: Path) -> str:
    if not folder.is_dir():
        return ""
    return next(
        (str(link) for link in sorted(folder.iterdir()) if same_port(str(link), port.device)), ""
    )


def _fits(port: ListPortInfo, profile: Profile) -> bool:
    return any(_is(port, hint) for hint in profile.usb)


def _is(port: ListPortInfo, hint: UsbIdentity) -> bool:
    if port.vid is None or port.vid != int(hint.vendor, 16):
        return False
    if hint.product and port.pid != int(hint.product, 16):
        return False
    said = f"{port.product or ''} {port.description or ''}".casefold()
    return hint.text.casefold() in said
