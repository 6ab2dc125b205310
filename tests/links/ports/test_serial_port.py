"""The adapter round the serial library. Ptys stand for adapters: closing the master is a pull.

What an unplugged pty raises, and that the lock binds only those who ask for it: measured with
pyserial 3.5 on Linux. The texts of Windows are quoted from public reports of pyserial's users
(pyserial issues 446 and 219).
"""

import array
import fcntl
import os
import sys
import termios
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
import serial

from benchmeter.errors import LinkError, LinkLost, PortBusy, PortForbidden, PortGone
from benchmeter.links.ports.serial_port import LARGEST_CHUNK, PortSettings, SerialPort
from tests.fakes.refusals import advised, refused, said
from tests.links.ports.ptys import PtyInstrument


@pytest.fixture
def line(tmp_path: Path) -> Iterator[PtyInstrument]:
    made = PtyInstrument(tmp_path / "port")
    yield made
    if made.path.is_symlink():
        made.unplug()


def open_port(line: PtyInstrument, settings: PortSettings | None = None) -> SerialPort:
    return SerialPort(str(line.path), settings or PortSettings())


def read_all(port: SerialPort, count: int) -> bytes:
    data = b""
    until = time.monotonic() + 5
    while len(data) < count and time.monotonic() < until:
        data += port.read()
    return data


def test_bytes_go_both_ways_unchanged(line: PtyInstrument) -> None:
    port = open_port(line)
    every_byte = bytes(range(256))
    line.send(every_byte)
    assert read_all(port, 256) == every_byte
    port.write(every_byte)
    assert line.hear(256) == every_byte
    port.close()


def test_a_read_ends_within_a_tenth_of_a_second_without_a_byte(line: PtyInstrument) -> None:
    port = open_port(line)
    begin = time.monotonic()
    assert port.read() == b""
    assert time.monotonic() - begin < 0.1
    port.close()


def test_a_read_gives_what_has_come_and_no_more_than_the_largest_chunk(line: PtyInstrument) -> None:
    port = open_port(line)
    line.send(b"12.3")
    time.sleep(0.01)
    assert port.read() == b"12.3"
    line.send(bytes(3 * 1024))
    line.send(bytes(900))
    assert max(len(port.read()) for _ in range(10)) <= LARGEST_CHUNK
    port.close()


def test_bytes_from_before_the_opening_are_dropped(line: PtyInstrument) -> None:
    """A half frame in the buffer would be read as a whole one."""
    line.send(b"stale")
    port = SerialPort(
        str(line.path), PortSettings(settle_ms=10), wait=lambda _s: line.send(b"reset garbage")
    )
    assert port.read() == b""
    port.close()


def test_line_control_is_passed_over_where_there_are_no_such_lines(line: PtyInstrument) -> None:
    """A pty has neither DTR nor RTS: setting them raises errno 25 once it is open."""
    port = open_port(line, PortSettings(dtr=True, rts=False))
    line.send(b"x")
    assert read_all(port, 1) == b"x"
    port.close()


def test_line_control_is_set_before_the_port_is_opened(
    line: PtyInstrument, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An optical cable lives on these lines, and some adapters reset on a wrong level."""
    at_opening: list[tuple[bool, bool]] = []

    class Watched(serial.Serial):
        def open(self) -> None:
            at_opening.append((self.dtr, self.rts))
            super().open()

    monkeypatch.setattr(serial, "Serial", Watched)
    open_port(line, PortSettings(dtr=False, rts=True)).close()
    assert at_opening == [(False, True)]


def test_unplugging_under_a_read_is_a_lost_link_that_names_both_causes(line: PtyInstrument) -> None:
    port = open_port(line)
    line.unplug()
    with pytest.raises(LinkLost) as lost:
        for _ in range(3):
            port.read()
    assert "unplugged" in said(lost.value)
    assert "another program reads it too" in said(lost.value)
    assert advised(lost.value)
    port.close()


def test_unplugging_under_a_write_is_a_lost_link(line: PtyInstrument) -> None:
    port = open_port(line)
    line.unplug()
    with pytest.raises(LinkLost):
        port.write(b"READ?\n")
    port.close()


def test_an_instrument_that_takes_nothing_is_told_within_half_a_second(line: PtyInstrument) -> None:
    port = open_port(line)
    begin = time.monotonic()
    with refused(LinkLost, match="does not take"):
        port.write(bytes(200_000))
    port.close()
    assert time.monotonic() - begin < 0.5


def test_a_second_opening_finds_the_port_busy(line: PtyInstrument) -> None:
    port = open_port(line)
    with pytest.raises(PortBusy) as busy:
        open_port(line)
    assert "another program" in said(busy.value)
    assert "10 s" in advised(busy.value)
    port.close()
    open_port(line).close()


@pytest.mark.skipif(sys.platform != "linux", reason="TIOCGEXCL is Linux")
def test_programs_that_ask_for_no_lock_are_kept_out_only_while_the_port_is_open(
    line: PtyInstrument,
) -> None:
    """ioctl_tty(2): TIOCEXCL makes further opens fail with EBUSY, except for root."""

    def exclusive() -> bool:
        answer = array.array("i", [0])
        fcntl.ioctl(line.slave, 0x80045440, answer)  # TIOCGEXCL, asm-generic/ioctls.h
        return bool(answer[0])

    port = open_port(line)
    assert exclusive()
    port.close()
    assert not exclusive()


@pytest.mark.skipif(sys.platform == "win32", reason="rights of files are POSIX")
def test_a_port_of_someone_else_gives_the_very_command_that_mends_it(line: PtyInstrument) -> None:
    Path(line.device).chmod(0)
    own = os.geteuid()
    with pytest.raises(PortForbidden) as forbidden:
        try:
            if own == 0:
                os.seteuid(65534)  # root may open anything
            SerialPort(line.device, PortSettings())
        finally:
            os.seteuid(own)
    assert "not allowed" in said(forbidden.value)
    assert "sudo usermod -aG dialout $USER" in advised(forbidden.value)
    assert "log out and in" in advised(forbidden.value)


def test_a_missing_port_says_to_plug_it_in(tmp_path: Path) -> None:
    with pytest.raises(PortGone) as gone:
        SerialPort(str(tmp_path / "ttyUSB0"), PortSettings())
    assert "Plug the adapter in" in advised(gone.value)


def test_what_is_no_serial_port_is_told_so(tmp_path: Path) -> None:
    file = tmp_path / "notes.txt"
    file.write_text("not a port")
    for path in (file, tmp_path, Path("/dev/null")):
        with refused(PortGone, match="not a serial port"):
            SerialPort(str(path), PortSettings())


@pytest.mark.parametrize("baud", [0, -9600, 2**40])
def test_line_settings_that_the_port_refuses_are_told(line: PtyInstrument, baud: int) -> None:
    with refused(LinkError, match="baud"):
        open_port(line, PortSettings(baud=baud))


@pytest.mark.parametrize(
    ("raised", "expected"),
    [
        # pyserial 3.5, serialwin32.py: could not open port {!r}: {!r} of ctypes.WinError
        ("could not open port 'COM5': PermissionError(13, 'Access is denied.', None, 5)", PortBusy),
        ("could not open port 'COM5': FileNotFoundError(2, 'No file.', None, 2)", PortGone),
        ("could not open port 'COM5': OSError(22, 'Wrong parameter.', None, 87)", LinkError),
    ],
)
def test_windows_texts_without_a_number_are_understood(
    monkeypatch: pytest.MonkeyPatch, raised: str, expected: type[LinkError]
) -> None:
    def fail(_self: serial.Serial) -> None:
        raise serial.SerialException(raised)

    monkeypatch.setattr(serial.Serial, "open", fail)
    with pytest.raises(LinkError) as error:
        SerialPort("COM5", PortSettings())
    assert type(error.value) is expected
    assert error.value.detail == raised


@pytest.mark.parametrize(
    "fault",
    [
        serial.SerialException("ClearCommError failed (PermissionError(13, 'x', None, 5))"),
        OSError(5, "Input/output error"),
        OSError(6, "Device not configured"),
        termios.error(5, "Input/output error"),
        TypeError("'NoneType' object cannot be interpreted as an integer"),
        ValueError("filedescriptor out of range in select()"),
    ],
)
def test_whatever_an_unplugged_port_raises_is_a_lost_link(
    line: PtyInstrument, monkeypatch: pytest.MonkeyPatch, fault: Exception
) -> None:
    """The kinds that were seen on Linux, macOS and Windows for one and the same pull."""

    def fail(_self: serial.Serial, _size: int) -> bytes:
        raise fault

    port = open_port(line)
    monkeypatch.setattr(serial.Serial, "read", fail)
    with pytest.raises(LinkLost):
        port.read()
    port.close()


def test_the_byte_before_a_pull_is_not_lost(
    line: PtyInstrument, monkeypatch: pytest.MonkeyPatch
) -> None:
    port = open_port(line)
    line.send(b"4")

    def gone(_self: serial.Serial) -> int:
        raise OSError(5, "Input/output error")

    monkeypatch.setattr(serial.Serial, "in_waiting", property(gone))
    assert port.read() == b"4"
    port.close()
