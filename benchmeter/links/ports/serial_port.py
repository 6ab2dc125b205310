"""The one adapter around pyserial: whatever a port does wrong becomes a LinkError here."""

import contextlib
import errno
import os
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import serial

from benchmeter.errors import LinkError, LinkLost, Message, PortBusy, PortForbidden, PortGone

try:
    import fcntl
    import termios
except ImportError:  # Windows: ports are exclusive there, and there is no terminal layer
    _TERMINAL_ERROR: type[Exception] = OSError
    _TERMINALS = False
else:
    _TERMINAL_ERROR = termios.error
    _TERMINALS = True

__all__ = ["LARGEST_CHUNK", "PortSettings", "SerialPort", "how_to_get_access"]

LARGEST_CHUNK = 4096
"""No read returns more bytes than this."""

_READ_TIMEOUT_S = 0.02  # fixed: pyserial sets the whole port up anew at each change
_WRITE_TIMEOUT_S = 0.2
_DRAIN_S = 0.1

_FAULTS = (serial.SerialException, OSError, _TERMINAL_ERROR, TypeError, ValueError, OverflowError)
_GONE = {errno.ENOENT, errno.ENXIO, errno.ENODEV, errno.EIO, errno.ENOTDIR}
_BUSY = {errno.EBUSY, errno.EAGAIN, errno.EWOULDBLOCK}
_FORBIDDEN = {errno.EACCES, errno.EPERM, errno.EROFS}
_NOT_A_PORT = {errno.ENOTTY, errno.EISDIR}

_PARITY = {
    "none": serial.PARITY_NONE,
    "even": serial.PARITY_EVEN,
    "odd": serial.PARITY_ODD,
}


@dataclass(frozen=True, slots=True)
class PortSettings:
    """How a port is set up.

    Attributes:
        dtr, rts: level of the two lines, set before opening; None leaves the system's own.
        settle_ms: wait after opening, then drop what came.
    """

    baud: int = 9600
    data_bits: Literal[5, 6, 7, 8] = 8
    parity: Literal["none", "even", "odd"] = "none"
    stop_bits: Literal[1, 2] = 1
    flow: Literal["none", "xon/xoff", "rts/cts", "dtr/dsr"] = "none"
    dtr: bool | None = None
    rts: bool | None = None
    settle_ms: int = 0


class SerialPort:
    """An open serial port, for one thread only: the one that opened it also reads and closes it.

    Args:
        path: device path, or the name of a port on Windows.
        wait: waits so many seconds while the instrument settles; may return early.

    Raises:
        PortGone, PortBusy, PortForbidden: it cannot be opened.
        LinkError: it refuses these settings.
    """

    def __init__(
        self,
        path: str,
        settings: PortSettings,
        wait: Callable[[float], object] = time.sleep,
    ) -> None:
        self.path = path
        port = serial.Serial()
        try:
            _set_up(port, path, settings)
            port.open()
            _claim(port, taken=True)
            if settings.settle_ms:
                wait(settings.settle_ms / 1000)
            port.reset_input_buffer()
        except _FAULTS as fault:
            _close_quietly(port)
            raise _why_not_opened(path, settings, fault) from fault
        except BaseException:
            _close_quietly(port)
            raise
        self._port = port

    def read(self) -> bytes:
        """What has come, at most LARGEST_CHUNK bytes; b"" after 0.02 s without a byte.

        Raises:
            LinkLost: the port has gone.
        """
        # One byte first: pyserial would lose what it had read when the port goes in mid-read.
        try:
            first = self._port.read(1)
        except _FAULTS as fault:
            raise _why_lost(self.path, fault) from fault
        if not first:
            return b""
        try:
            rest = self._port.read(min(self._port.in_waiting, LARGEST_CHUNK - 1))
        except _FAULTS:
            return first  # the next read tells
        return first + rest

    def write(self, data: bytes) -> None:
        """Send; returns when the system has taken all of it.

        Raises:
            LinkLost: the port has gone, or takes nothing for 0.2 s.
        """
        try:
            self._port.write(data)
        except serial.SerialTimeoutException as fault:
            raise _why_it_takes_nothing(self.path, fault) from fault
        except _FAULTS as fault:
            raise _why_lost(self.path, fault) from fault

    def close(self) -> None:
        """Send what the system still holds, for 0.1 s at most, and close. Never raises."""
        with contextlib.suppress(*_FAULTS):
            until = time.monotonic() + _DRAIN_S
            while self._port.out_waiting and time.monotonic() < until:
                time.sleep(0.005)
            if self._port.out_waiting:
                # A driver may wait half a minute in close() for bytes that nobody takes.
                self._port.reset_output_buffer()
        _close_quietly(self._port)


def how_to_get_access(path: str) -> Message:
    """What to do when the user may not open a port."""
    if os.name == "nt":
        return Message("links.access_administrator", {"port": path})
    return Message("links.access_group")


def _set_up(port: serial.Serial, path: str, settings: PortSettings) -> None:
    if settings.baud < 1:
        raise ValueError("0 baud hangs up")
    port.port = path
    port.baudrate = settings.baud
    port.bytesize = settings.data_bits
    port.parity = _PARITY[settings.parity]
    port.stopbits = settings.stop_bits
    port.xonxoff = settings.flow == "xon/xoff"
    port.rtscts = settings.flow == "rts/cts"
    port.dsrdtr = settings.flow == "dtr/dsr"
    port.timeout = _READ_TIMEOUT_S
    port.write_timeout = _WRITE_TIMEOUT_S
    port.exclusive = True
    # Only before opening: where there are no such lines (a pty), pyserial passes over it there.
    if settings.dtr is not None:
        port.dtr = settings.dtr
    if settings.rts is not None:
        port.rts = settings.rts


def _claim(port: serial.Serial, *, taken: bool) -> None:
    """Keep out programs that do not ask for the lock, or let them in again.

    The lock that pyserial takes binds only those who ask for it. The claim outlives the closing
    of a pty's slave, hence it is given back.
    """
    if _TERMINALS:
        with contextlib.suppress(OSError, _TERMINAL_ERROR):
            fcntl.ioctl(port.fileno(), termios.TIOCEXCL if taken else termios.TIOCNXCL)


def _close_quietly(port: serial.Serial) -> None:
    with contextlib.suppress(*_FAULTS):
        _claim(port, taken=False)
    with contextlib.suppress(*_FAULTS):
        port.close()


def _why_not_opened(path: str, settings: PortSettings, fault: BaseException) -> LinkError:
    number, words = _error_number(fault), str(fault)
    # Windows gives no number, but the name of the error inside the text.
    if number in _FORBIDDEN and os.name != "nt":
        access = how_to_get_access(path)
        return PortForbidden("links.forbidden", port=path, access=access, detail=words)
    if number in _BUSY or "PermissionError" in words:
        return PortBusy("links.busy", port=path, detail=words)
    if number in _NOT_A_PORT:
        return PortGone("links.not_serial_port", port=path, detail=words)
    if number in _GONE or "FileNotFoundError" in words:
        return PortGone("links.no_port", port=path, detail=words)
    return LinkError(
        "links.settings_refused",
        port=path,
        baud=settings.baud,
        data_bits=settings.data_bits,
        parity=settings.parity,
        stop_bits=settings.stop_bits,
        detail=words,
    )


def _why_lost(path: str, fault: BaseException) -> LinkLost:
    return LinkLost("links.lost", port=path, detail=str(fault))


def _why_it_takes_nothing(path: str, fault: BaseException) -> LinkLost:
    return LinkLost("links.takes_nothing", port=path, detail=str(fault))


def _error_number(fault: BaseException | None) -> int | None:
    """The system's error number, from whatever pyserial has wrapped round it."""
    while fault is not None:
        if isinstance(fault, OSError) and fault.errno is not None:
            return fault.errno
        if isinstance(fault, _TERMINAL_ERROR) and fault.args and isinstance(fault.args[0], int):
            return fault.args[0]
        fault = fault.__cause__ or fault.__context__
    return None
