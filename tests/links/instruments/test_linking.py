"""A whole link: profile, port, talk and decoder, with an instrument that is not ours."""

import os
import shutil
import sys
import time
from pathlib import Path

import pytest

from benchmeter.errors import InputError
from benchmeter.files.folders import Folders
from benchmeter.links.instruments.address import SerialAddress, link_setup, parse_address
from benchmeter.links.instruments.building import decoder_for
from benchmeter.links.instruments.linking import port_settings, serial_link, serial_source
from benchmeter.links.instruments.profile import LineSettings
from benchmeter.links.instruments.setup import BenchSetup, LinkSetup
from benchmeter.links.ports.serial_port import PortSettings
from benchmeter.readings.inputs import Chunk
from benchmeter.readings.reading import Garbled, Indication
from tests.fakes.programs import PEERS, running
from tests.fakes.refusals import refused


def record(text: str, folders: Folders, count: int) -> list[Indication | Garbled]:
    """What the first so many frames of a link tell."""
    address = parse_address(text)
    assert isinstance(address, SerialAddress)
    link, channels = link_setup(address, folders, "link")
    decoder = decoder_for(link.profile)
    found: list[Indication | Garbled] = []
    source = serial_source(BenchSetup(origin="serial", links=(link,), channels=channels))
    until = time.monotonic() + 20
    for item in source.inputs():
        assert time.monotonic() < until, found
        match item:
            case Chunk(sent=True):
                decoder.sent(item.data)
            case Chunk():
                found += decoder.feed(item.data)
        if len(found) >= count:
            source.close()
    return found


def test_line_settings_reach_the_port_whole() -> None:
    line = LineSettings(
        baud=2400,
        data_bits=7,
        parity="odd",
        stop_bits=2,
        flow="rts/cts",
        dtr=True,
        rts=False,
        settle_ms=5,
    )
    assert port_settings(line) == PortSettings(2400, 7, "odd", 2, "rts/cts", True, False, 5)
    assert port_settings(LineSettings()) == PortSettings()


def test_only_a_serial_address_makes_a_serial_link(folders: Folders) -> None:
    link, _ = link_setup(SerialAddress("x", "COM3", "scpi-capacitance"), folders, "a")
    with refused(InputError, match="not a serial link"):
        serial_link(LinkSetup(name="a", address="simulated:x", profile=link.profile))


def test_a_scpi_meter_of_sinstruments_is_read(tmp_path: Path, folders: Folders) -> None:
    """It answers +44101.0E-09, then +44102.0E-09: IEEE 488.2 NR3 numbers, in farads."""
    port = tmp_path / "meter"
    text = f"serial:{port}?profile=scpi-capacitance&channel=capacitor"
    with running(sys.executable, str(PEERS / "scpi_peer.py"), str(port), makes=[port]):
        found = record(text, folders, 4)
    values = [i.value for i in found if isinstance(i, Indication)]
    assert not [g for g in found if isinstance(g, Garbled)]
    assert values[:4] == [44101.0e-9, 44102.0e-9, 44103.0e-9, 44104.0e-9]


@pytest.mark.skipif(shutil.which("socat") is None, reason="needs socat, for a pair of ptys")
def test_a_modbus_thermometer_of_pymodbus_is_read(tmp_path: Path, folders: Folders) -> None:
    """It holds 235 and -40 in tenths of a degree: 23.5 °C = 296.65 K, -4.0 °C = 269.15 K."""
    ours, theirs = tmp_path / "ours", tmp_path / "theirs"
    cable = ("socat", f"pty,raw,echo=0,link={ours}", f"pty,raw,echo=0,link={theirs}")
    text = f"serial:{ours}?profile=modbus-two-probes&channel=discharge,outdoor"
    with (
        running(*cable, makes=[theirs]),
        running(sys.executable, str(PEERS / "modbus_peer.py"), str(theirs), makes=[theirs]),
    ):
        found = record(text, folders, 4)
    values = {i.field: i.value for i in found if isinstance(i, Indication)}
    assert values == {"T1": pytest.approx(296.65), "T2": pytest.approx(269.15)}


def test_two_links_on_one_port_are_refused(folders: Folders) -> None:
    master, slave = os.openpty()
    device = os.ttyname(slave)
    link, _ = link_setup(SerialAddress("x", device, "scpi-capacitance"), folders, "one")
    links = tuple(
        LinkSetup(name=n, address=f"serial:{device}?profile=scpi-capacitance", profile=link.profile)
        for n in ("one", "other")
    )
    with refused(InputError, match="both use the port"):
        serial_source(BenchSetup(origin="serial", links=links, channels=()))
    os.close(slave)
    os.close(master)
