"""Instruments that are not ours, in processes of their own, recorded through a serial source."""

import re
import shutil
import sys
from pathlib import Path

import pytest
from pymodbus.framer.rtu import FramerRTU

from benchmeter.links.ports.serial_port import PortSettings
from benchmeter.links.ports.serial_source import SerialLink, SerialSource
from benchmeter.readings.inputs import Chunk
from tests.fakes.programs import PEERS, running
from tests.links.ports.ptys import Listener
from tests.links.ports.talks import Asking


def test_a_scpi_meter_is_recorded_without_a_lost_or_doubled_answer(tmp_path: Path) -> None:
    """sinstruments 1.5 plays the meter; its answers count up by one."""
    port = tmp_path / "meter"
    peer = (sys.executable, str(PEERS / "scpi_peer.py"), str(port))
    talk = Asking(b"READ?\n", ends=b"\n")
    with (
        running(*peer, makes=[port]),
        Listener(SerialSource([SerialLink("meter", str(port), PortSettings(), talk)])) as heard,
    ):
        heard.wait_for(lambda: heard.data("meter").count(b"\n") >= 50, 10)
    answers = [int(n) for n in re.findall(rb"\+(\d+)\.0E-09\n", heard.data("meter"))]
    assert answers == list(range(44_101, 44_101 + len(answers)))
    assert heard.data("meter", sent=True).count(b"READ?\n") - len(answers) in (0, 1)


@pytest.mark.skipif(shutil.which("socat") is None, reason="needs socat, for a pair of ptys")
def test_a_modbus_thermometer_is_recorded_and_found_again_after_a_pull(tmp_path: Path) -> None:
    """pymodbus 3.16 serves; its own check sum judges every recorded answer.

    Request: device 1, function 4, address 0, 2 registers (Modbus application protocol V1.1b3,
    6.4), CRC low byte first (serial line V1.02, 2.5.1.2).
    """
    ours, theirs = tmp_path / "ours", tmp_path / "theirs"
    cable = ("socat", f"pty,raw,echo=0,link={ours}", f"pty,raw,echo=0,link={theirs}")
    peer = (sys.executable, str(PEERS / "modbus_peer.py"), str(theirs))
    request = bytes([1, 4, 0, 0, 0, 2])
    request += FramerRTU.compute_CRC(request).to_bytes(2, "big")
    expected = bytes([1, 4, 4]) + (235).to_bytes(2, "big") + (-40).to_bytes(2, "big", signed=True)
    expected += FramerRTU.compute_CRC(expected).to_bytes(2, "big")

    talk = Asking(request, length=len(expected))
    source = SerialSource([SerialLink("thermometer", str(ours), PortSettings(), talk)])
    with Listener(source) as heard:
        for round_ in (1, 2):  # kill the cable: a pull; start it again: the same names
            with running(*cable, makes=[ours, theirs]), running(*peer, makes=[theirs]):
                heard.wait_for(lambda n=round_: answers_in_round(heard, n) >= 2 * len(expected), 20)
            ours.unlink(missing_ok=True)
            theirs.unlink(missing_ok=True)
            heard.wait_for(lambda n=round_: len([c for c in heard.changes() if not c.up]) >= n, 20)
    data = heard.data("thermometer")
    whole = data.count(expected)
    assert whole >= 4
    assert len(data) - whole * len(expected) < 2 * len(expected), "answers cut by the pull at most"
    assert [c.up for c in heard.changes() if c.up] == [True, True]


def answers_in_round(heard: Listener, number: int) -> int:
    """Bytes received since the link came up for that time."""
    items = tuple(heard.items)
    ups = [n for n, i in enumerate(items) if getattr(i, "up", False)]
    if len(ups) < number:
        return 0
    since = items[ups[number - 1] :]
    return sum(len(i.data) for i in since if isinstance(i, Chunk) and not i.sent)
