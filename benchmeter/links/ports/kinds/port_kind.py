"""What every kind of port is."""

from collections.abc import Callable
from dataclasses import dataclass

from benchmeter.links.ports.serial_port import PortSettings
from benchmeter.links.ports.source import Port

__all__ = ["OpenPort", "PortKind"]

OpenPort = Callable[[str, PortSettings, Callable[[float], object]], Port]
"""Opens a port: path, line settings, and what waits while the instrument settles.

Raises:
    LinkError: it cannot be opened.
"""


@dataclass(frozen=True, slots=True)
class PortKind:
    """A kind of port as the program knows it.

    Attributes:
        scheme: begins its link texts: "serial" in serial:PATH?profile=NAME.
        open: see OpenPort.
    """

    scheme: str
    open: OpenPort
