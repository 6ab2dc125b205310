"""Serial ports: an adapter on USB, a port of the computer, a pty."""

from benchmeter.links.ports.kinds.port_kind import PortKind
from benchmeter.links.ports.serial_port import SerialPort

__all__ = ["PORT_KIND"]

PORT_KIND = PortKind("serial", SerialPort)
