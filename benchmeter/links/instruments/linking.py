"""From what a session is set up with to the source that records it."""

import msgspec

from benchmeter.errors import InputError
from benchmeter.links.instruments.address import SerialAddress, parse_address
from benchmeter.links.instruments.building import conversation_for
from benchmeter.links.instruments.profile import LineSettings
from benchmeter.links.instruments.setup import BenchSetup, LinkSetup
from benchmeter.links.ports.serial_port import PortSettings
from benchmeter.links.ports.serial_source import SerialLink, SerialSource

__all__ = ["port_settings", "serial_link", "serial_source"]


def port_settings(line: LineSettings) -> PortSettings:
    """The line settings of a profile, as a port takes them."""
    return PortSettings(**msgspec.structs.asdict(line))


def serial_link(link: LinkSetup) -> SerialLink:
    """The serial link that a setup describes.

    Raises:
        InputError: its address is not a serial one.
    """
    address = parse_address(link.address)
    if not isinstance(address, SerialAddress):
        raise InputError("links.not_serial", link=link.address)
    return SerialLink(
        name=link.name,
        path=address.path,
        settings=port_settings(link.profile.line),
        conversation=conversation_for(link.profile),
        kind=address.kind,
    )


def serial_source(setup: BenchSetup) -> SerialSource:
    """The source of a setup whose links are all serial. The session starts now.

    Raises:
        InputError: a link is not serial, or two links use one port.
    """
    return SerialSource([serial_link(link) for link in setup.links])
