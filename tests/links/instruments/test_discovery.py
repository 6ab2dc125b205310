"""Ports are listed with what stays the same when they are plugged in again, and opened never.

The port lists are made of the serial library's own ListPortInfo objects; vendor and product
numbers are examples without a claim. What stands in /dev/serial is made by udev (60-serial.rules).
"""

import fcntl
import os
import subprocess
import sys
import tty
from collections.abc import Iterator
from pathlib import Path

import pytest
from serial.tools.list_ports_common import ListPortInfo

from benchmeter.links.instruments.discovery import PortFound, PortState, list_ports
from benchmeter.links.instruments.formats.lcd14_format import LcdFormat
from benchmeter.links.instruments.profile import ChannelOfProfile, Profile, UsbIdentity
from tests.fakes.refusals import advised, in_english

NO_LINKS = Path("/nonexistent")


def usb(
    device: str,
    vendor: int = 0x0403,
    product: int = 0x6001,
    serial: str | None = "A50285BI",
    location: str | None = "1-1",
    text: str = "Serial adapter",
) -> ListPortInfo:
    port = ListPortInfo(device)
    port.vid, port.pid = vendor, product
    port.serial_number, port.location, port.product = serial, location, text
    port.apply_usb_info()
    return port


def profile(name: str, *usb: UsbIdentity) -> Profile:
    return Profile(
        name=name, title=name, format=LcdFormat(), channels=(ChannelOfProfile(),), usb=usb
    )


def listed(*ports: ListPortInfo, profiles: tuple[Profile, ...] = ()) -> tuple[PortFound, ...]:
    return list_ports(profiles, ports=lambda: ports, links=NO_LINKS)


@pytest.fixture
def pty() -> Iterator[str]:
    master, slave = os.openpty()
    tty.setraw(slave)
    device = os.ttyname(slave)
    os.close(slave)
    yield device
    os.close(master)


def test_the_identity_is_vendor_product_and_serial_number() -> None:
    (found,) = listed(usb("/dev/ttyUSB0"))
    assert found.identity == "0403:6001:A50285BI"
    assert found.description == "Serial adapter"


def test_the_identity_does_not_change_with_the_device_name() -> None:
    (one,), (other,) = listed(usb("/dev/ttyUSB0")), listed(usb("/dev/ttyUSB7", location="2-3"))
    assert one.identity == other.identity


@pytest.mark.parametrize("serial", [None, "", "0", "0000", "0001", "00000001"])
def test_without_a_serial_number_of_its_own_the_socket_tells(serial: str | None) -> None:
    """Makers of cheap adapters leave the number out, or give all the same (common practice)."""
    (found,) = listed(usb("/dev/ttyUSB0", serial=serial))
    assert found.identity.endswith("@1-1")


def test_two_adapters_with_the_same_serial_number_are_told_apart_by_their_socket() -> None:
    one, other = listed(
        usb("/dev/ttyUSB0", serial="SAME", location="1-1"),
        usb("/dev/ttyUSB1", serial="SAME", location="1-2"),
    )
    assert (one.identity, other.identity) == ("0403:6001:SAME@1-1", "0403:6001:SAME@1-2")


def test_a_port_that_is_not_on_usb_is_its_own_identity() -> None:
    (found,) = listed(ListPortInfo("/dev/ttyS0"))
    assert found.identity == "/dev/ttyS0"
    assert found.description == "ttyS0"


@pytest.mark.parametrize(
    ("hint", "fits"),
    [
        (UsbIdentity(vendor="0403"), True),
        (UsbIdentity(vendor="0403", product="6001"), True),
        (UsbIdentity(vendor="403", product="6001", text="ADAPTER"), True),
        (UsbIdentity(vendor="0403", product="6010"), False),
        (UsbIdentity(vendor="10C4"), False),
        (UsbIdentity(vendor="0403", text="optical"), False),
    ],
)
def test_a_profile_fits_by_what_the_system_tells_of_the_adapter(
    hint: UsbIdentity, fits: bool
) -> None:
    (found,) = listed(
        usb("/dev/ttyUSB0"), profiles=(profile("meter", hint), profile("no hint at all"))
    )
    assert found.profiles == (("meter",) if fits else ())


def test_no_profile_fits_a_port_of_which_nothing_is_known() -> None:
    (found,) = listed(ListPortInfo("/dev/ttyS0"), profiles=(profile("m", UsbIdentity(vendor="0")),))
    assert found.profiles == ()


def test_the_stable_path_follows_the_adapter(tmp_path: Path, pty: str) -> None:
    by_id, by_path = tmp_path / "by-id", tmp_path / "by-path"
    by_id.mkdir()
    by_path.mkdir()
    (by_id / "usb-adapter-A50285BI-if00-port0").symlink_to(pty)
    (by_path / "pci-usb-0:1:1.0-port0").symlink_to(pty)
    (by_id / "usb-another").symlink_to("/dev/null")
    (found,) = list_ports((), ports=lambda: [usb(pty)], links=tmp_path)
    assert found.stable_path == str(by_id / "usb-adapter-A50285BI-if00-port0")


def test_the_stable_path_of_one_without_serial_number_names_the_socket(
    tmp_path: Path, pty: str
) -> None:
    """Two of them would share one name in by-id, and the last one plugged in takes it."""
    for folder in ("by-id", "by-path"):
        (tmp_path / folder).mkdir()
        (tmp_path / folder / "name").symlink_to(pty)
    (found,) = list_ports((), ports=lambda: [usb(pty, serial=None)], links=tmp_path)
    assert found.stable_path == str(tmp_path / "by-path" / "name")


def test_a_free_port_needs_no_words(pty: str) -> None:
    (found,) = listed(usb(pty))
    assert (found.state, found.reason) == (PortState.FREE, None)


def test_looking_at_a_port_leaves_what_waits_in_it_alone() -> None:
    """Opening would drop it, and resets some adapters."""
    master, slave = os.openpty()
    tty.setraw(slave)
    os.write(master, b"44.1\n")
    listed(usb(os.ttyname(slave)))
    assert os.read(slave, 100) == b"44.1\n"
    os.close(slave)
    os.close(master)


@pytest.mark.skipif(sys.platform != "linux", reason="seen in /proc")
def test_a_port_that_another_program_has_open_is_busy_and_the_program_named(pty: str) -> None:
    script = "import os, sys; os.open(sys.argv[1], os.O_RDWR | os.O_NOCTTY); print(); input()"
    with subprocess.Popen(
        [sys.executable, "-c", script, pty], stdin=subprocess.PIPE, stdout=subprocess.PIPE
    ) as other:
        assert other.stdout is not None
        other.stdout.readline()
        (found,) = listed(usb(pty))
        other.communicate(b"\n")
    assert found.state is PortState.BUSY
    assert f"python (process {other.pid})" in in_english(found.reason).replace("python3", "python")
    assert "Close that program" in advised(found.reason)
    assert listed(usb(pty))[0].state is PortState.FREE


@pytest.mark.skipif(sys.platform != "linux", reason="seen in /proc")
def test_a_port_that_is_locked_is_busy(pty: str) -> None:
    """/proc/locks tells of every user's locks, /proc/PID/fd only of one's own programs."""
    handle = os.open(pty, os.O_RDWR | os.O_NOCTTY)
    fcntl.flock(handle, fcntl.LOCK_EX)
    (found,) = listed(usb(pty))
    os.close(handle)
    assert found.state is PortState.BUSY
    assert found.reason.code == "links.busy_here", "it is this very program"


@pytest.mark.skipif(sys.platform == "win32", reason="rights of files are POSIX")
def test_a_port_that_may_not_be_opened_gives_the_command_that_mends_it(
    pty: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    Path(pty).chmod(0)
    if os.geteuid() == 0:  # root may open anything; access(2) asks for the real user
        monkeypatch.setattr(os, "access", lambda *_: False)
    (found,) = listed(usb(pty))
    assert found.state is PortState.FORBIDDEN
    assert "sudo usermod -aG dialout $USER" in advised(found.reason)


def test_the_ports_of_this_computer_can_be_listed() -> None:
    assert isinstance(list_ports(()), tuple)
