"""`record`, `sessions`, `show`, `recheck`, `report` as processes, on instruments not ours."""

import json
import random
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from operator import itemgetter
from pathlib import Path
from typing import Any

import pytest

from tests.commands.calls import call, document
from tests.fakes.programs import (
    PEERS,
    benchmeter,
    benchmeter_json,
    one_after_another,
    running,
)
from tests.links.ports.ptys import PtyInstrument

ELEMENT = """
title = "Heating element"
about = "Invented for this test: the resistance alone."
example = "240 V, 1500 W"
hazards = []
givens = [
    { name = "volts", title = "Rated volts", unit = "V" },
    { name = "watts", title = "Rated watts", unit = "W" },
]
[[measures]]
name = "element"
title = "Heating element"
subject = "part"
quantity = "resistance"
unit = "Ω"
leads = ["end", "other end"]
hazards = []
evidence = []
overload = "open"
limits = { by = "from power", volts = "volts", power = "watts", tolerance = "10 %" }
source = "V²/P"
too_low = "It draws too much."
too_high = "It does not heat as rated."
open = "It does not heat."
pass_leaves = "It may be wet."
"""
JUDGED = ("record", "--from", "serial:/dev/null?profile=scpi-meter&channel=capacitor")


def start_recording(link: str, data: str, length: str) -> subprocess.Popen[str]:
    command = [sys.executable, "-m", "benchmeter", "record", "--from", link, "--data", data]
    return subprocess.Popen([*command, "--for", length], text=True, stdout=subprocess.PIPE)


class Recording:
    """`record` until the test has seen what it waits for, however long a busy machine takes."""

    def __init__(self, link: str, data: str, *arguments: str, stderr: int | None = None) -> None:
        self._data = data
        command = [sys.executable, "-m", "benchmeter", "record", "--from", link, "--data", data]
        self.process = subprocess.Popen(
            [*command, *arguments],
            text=True,
            stdout=subprocess.PIPE,
            stderr=stderr,
            preexec_fn=_heed_signals,
        )
        self.told = ""

    def __enter__(self) -> "Recording":
        self.id = self.process.stdout.readline().strip()
        return self

    def __exit__(self, *_: object) -> None:
        self.process.kill()
        self.process.communicate()

    def until(
        self, seen: Callable[[Any], object], meanwhile: Callable[[], object] = lambda: None
    ) -> Any:
        """The record, as `show` gives it, once it is as asked; it is written each second."""
        until = time.monotonic() + 60
        while not seen(shown := document("show", self.id, "--data", self._data)):
            assert self.process.poll() is None, "it has ended"
            assert time.monotonic() < until, shown
            meanwhile()
            time.sleep(0.1)
        return shown

    def until_up(self, times: int = 1) -> None:
        """Wait for the line: it is told when the port has settled."""
        self.until(events("link up", times))

    def ended(self, by: signal.Signals = signal.SIGINT) -> Any:
        """End it and give what it has recorded."""
        self.process.send_signal(by)
        self.told = self.process.stdout.read()
        assert self.process.wait(30) == 0
        return document("show", self.id, "--data", self._data)


def _heed_signals() -> None:
    """`nohup`, or a shell that runs the tests in the background, has told us to ignore them."""
    for number in (signal.SIGINT, signal.SIGHUP):
        signal.signal(number, signal.SIG_DFL)


def readings(number: int) -> Callable[[Any], bool]:
    return lambda shown: sum(len(c["readings"]) for c in shown["channels"]) >= number


def events(kind: str, number: int = 1) -> Callable[[Any], bool]:
    return lambda shown: [e["kind"] for e in shown["events"]].count(kind) >= number


def any_value(channel: Any) -> bool:
    return any(r["value"] is not None for r in channel["readings"])


def test_a_scpi_meter_that_is_not_ours_is_recorded_to_the_last_digit(tmp_path: Path):
    """sinstruments answers +44101.0E-09, +44102.0E-09, …: NR3 of IEEE 488.2, in farads."""
    port, data = tmp_path / "meter", str(tmp_path / "data")
    link = f"serial:{port}?profile=scpi-meter&channel=capacitor"
    with (
        running(sys.executable, str(PEERS / "scpi_peer.py"), str(port), makes=[port]),
        Recording(link, data) as recording,
    ):
        recording.until(readings(4))
        shown = recording.ended()
    (channel,) = shown["channels"]
    values = [r["value"] for r in channel["readings"]]
    assert len(values) >= 4
    assert values == [(44101 + n) / 1000 for n in range(len(values))]
    assert channel["unit"] == "µF"
    assert channel["readings"][0]["si_value"] == 44101.0e-9
    assert document("recheck", shown["id"], "--data", data)["sessions"][0]["agrees"]


@pytest.mark.skipif(shutil.which("socat") is None, reason="needs socat, for a pair of ptys")
def test_a_modbus_server_that_is_not_ours_is_recorded_to_the_last_digit(tmp_path: Path):
    """pymodbus serves 235 and -40, tenths of a degree Celsius."""
    ours, theirs, data = tmp_path / "ours", tmp_path / "theirs", str(tmp_path / "data")
    cable = ("socat", f"pty,raw,echo=0,link={ours}", f"pty,raw,echo=0,link={theirs}")
    link = f"serial:{ours}?profile=modbus-two-probes&channel=discharge,outdoor"
    with (
        running(*cable, makes=[theirs]),
        running(sys.executable, str(PEERS / "modbus_peer.py"), str(theirs), makes=[theirs]),
        Recording(link, data) as recording,
    ):
        # What was asked before the server has its port is not answered.
        recording.until(lambda shown: all(any_value(c) for c in shown["channels"]))
        shown = recording.ended()
    by_name = {c["name"]: c for c in shown["channels"]}
    assert {r["value"] for r in by_name["discharge"]["readings"]} - {None} == {23.5}
    assert {r["value"] for r in by_name["outdoor"]["readings"]} - {None} == {-4.0}


def test_an_overload_is_a_status_and_a_pulled_plug_a_gap_in_the_same_session(tmp_path: Path):
    meter, data = PtyInstrument(tmp_path / "meter"), str(tmp_path / "data")
    link = f"serial:{meter.path}?profile=text-value-unit&channel=capacitor"
    with Recording(link, data) as recording:
        recording.until_up()
        for line in (b"44.1 uF\r\n", b"44.2 uF\r\n", b"OL uF\r\n", b"44.3"):
            meter.send(line)
        recording.until(readings(3))
        meter.unplug()
        lost_s = recording.until(events("link lost"))["duration_s"]
        recording.until(lambda shown: shown["duration_s"] > lost_s + 3.5)  # so long is a gap
        meter.plug()
        recording.until_up(2)
        for line in (b" uF\r\n", b"44.4 uF\r\n", b"44.5 uF\r\n"):
            meter.send(line)
        recording.until(readings(5))
        shown = recording.ended()
    (channel,) = shown["channels"]
    rows = [(r["value"], r["status"]) for r in channel["readings"]]
    assert rows == [(44.1, "ok"), (44.2, "ok"), (None, "overload"), (44.4, "ok"), (44.5, "ok")]
    kinds = [e["kind"] for e in shown["events"]]
    assert kinds.index("link lost") < kinds.index("gap")
    assert kinds.count("link up") == 2
    assert len(document("sessions", "--data", data)["sessions"]) == 1
    meter.unplug()


def test_a_silent_instrument_is_counted_with_no_readings_and_told_what_to_check(tmp_path: Path):
    meter, data = PtyInstrument(tmp_path / "meter"), str(tmp_path / "data")
    link = f"serial:{meter.path}?profile=text-two-probes&channel=discharge,outdoor"
    done = call("record", "--from", link, "--for", "1s", "--data", data, "--json")
    meter.unplug()
    assert done.status == 0
    assert json.loads(done.out)["readings"] == {"discharge": 0, "outdoor": 0}
    assert "No reading has come from discharge. Check" in done.err
    assert "No reading has come from outdoor. Check" in done.err


def test_what_stands_in_place_of_values_is_counted_by_its_reason(tmp_path: Path):
    meter, data = PtyInstrument(tmp_path / "meter"), str(tmp_path / "data")
    link = f"serial:{meter.path}?profile=text-value-unit"
    with Recording(link, data) as recording:
        recording.until_up()
        for line in (b"44.1 uF\r\n", b"OL uF\r\n", b"12 kOhm\r\n"):
            meter.send(line)
        recording.until(readings(3))
        recording.ended()
        told = recording.told
    meter.unplug()
    assert f"{meter.path}: 3 readings, 2 without a value (1 overload, 1 wrong function)" in told


def test_a_part_is_judged_with_the_accuracy_of_the_profile_of_its_meter(tmp_path: Path):
    """JCGM 106, 8.3.2: 42.35 is inside 42.3 to 47.7, but by less than 1 % of the reading."""
    profile = """
title = "Meter"
[format]
kind = "text"
pattern = '(?P<value>[0-9.]+)'
[[channels]]
quantity = "capacitance"
unit = "uF"
accuracy = "1 % + 1 x 0.01 uF"
"""
    meter, data = PtyInstrument(tmp_path / "meter"), tmp_path / "data"
    (data / "instruments").mkdir(parents=True)
    (data / "instruments" / "workshop.toml").write_text(profile)
    link = f"serial:{meter.path}?profile=workshop&channel=capacitor"
    with Recording(link, str(data), "--check", "45 uF ±6% 440 V") as recording:
        recording.until(itemgetter("verdicts"), lambda: meter.send(b"42.35\r\n"))
        shown = recording.ended()
    meter.unplug()
    assert [v["verdict"] for v in shown["verdicts"]] == ["conditional pass"]


def test_a_part_of_a_kind_is_judged_on_the_channel_of_the_bench_meter(tmp_path: Path):
    """38.4 Ω = 240² V² / 1500 W (CALC), ±10 % common practice; 30 Ω is below 34.56 Ω."""
    meter, data = PtyInstrument(tmp_path / "meter"), tmp_path / "data"
    (data / "parts").mkdir(parents=True)
    (data / "parts" / "element.toml").write_text(ELEMENT)
    link = f"serial:{meter.path}?profile=text-value-unit&channel=meter"
    check = ("--kind", "element", "--check", "240 V, 1500 W")
    with Recording(link, str(data), *check) as recording:
        recording.until(itemgetter("verdicts"), lambda: meter.send(b"30.0 Ohm\r\n"))
        shown = recording.ended()
    meter.unplug()
    assert [v["verdict"] for v in shown["verdicts"]] == ["fail"]


@pytest.mark.parametrize(
    ("channel", "kind", "says"),
    [
        ("capacitor", "valve-coil", "No channel is called “meter”"),
        ("meter", "heater", "“to case” of this kind is typed in"),
        ("meter", "sensor-ntc", "No channel is called “probe”"),
        ("meter", "unheard-of", "There is no kind of part “unheard-of”"),
        ("discharge", None, "No channel is called “meter” or “capacitor”"),
    ],
)
def test_what_cannot_be_judged_while_recording_is_said_before_it(channel, kind, says, tmp_path):
    labels = {"valve-coil": "24 V, 10 ohm", "heater": "240 V, 1500 W", "sensor-ntc": "type 2"}
    link = f"serial:/dev/null?profile=text-value-unit&channel={channel}"
    of_kind = () if kind is None else ("--kind", kind)
    check = ("--check", labels.get(kind, "45 uF 5%"))
    done = call("record", "--from", link, *of_kind, *check, "--data", str(tmp_path))
    assert (done.status, done.out) == (2, "")
    assert says in done.err


def test_a_terminal_that_has_gone_costs_no_reading(tmp_path: Path):
    meter, data = PtyInstrument(tmp_path / "meter"), str(tmp_path / "data")
    link = f"serial:{meter.path}?profile=text-value-unit&channel=capacitor"
    with Recording(link, data, stderr=subprocess.PIPE) as recording:
        recording.until_up()
        recording.process.stderr.close()
        meter.unplug()
        recording.until(events("link lost"))
        meter.plug()
        recording.until_up(2)

        def send() -> None:  # again: what comes right behind the opening may be dropped
            for line in (b"44.1 uF\r\n", b"nonsense\r\n", b"44.2 uF\r\n"):
                meter.send(line)

        recording.until(readings(2), send)
        shown = recording.ended(signal.SIGHUP)  # POSIX: the terminal was closed
    meter.unplug()
    assert shown["state"] == "ended"
    assert {r["value"] for r in shown["channels"][0]["readings"]} == {44.1, 44.2}


def test_a_port_that_is_not_there_says_so_and_exits_1(tmp_path: Path):
    link = f"serial:{tmp_path}/nothing?profile=text-value-unit&channel=capacitor"
    done = call("record", "--from", link, "--for", "30s", "--data", str(tmp_path / "d"))
    assert done.status == 1
    assert "nothing" in done.err


@pytest.mark.parametrize(
    "arguments",
    [
        ("record", "--from", "serial:/dev/null?profile=unheard-of"),
        ("record", "--from", "banana"),
        ("record", "--from", "simulated:unheard-of"),
        ("record", "--from", "simulated:short-visit", "--for", "soon"),
        ("record", "--from", "simulated:short-visit", "--pace", "0"),
        ("record", "--from", "serial:/dev/null?profile=scpi-meter", "--check", "45 uF 5%"),
        (*JUDGED, "--check", "banana"),
        (*JUDGED, "--check", ""),
        (*JUDGED, "--check", "45 uF"),
        (*JUDGED, "--check", "45 uF 5%", "--accuracy", "rubbish"),
        ("show", "0000"),
        ("unheard-of",),
        ("record", "--from", "simulated:short-visit", "--as", "no text: \udcff"),
    ],
)
def test_wrong_input_exits_2_with_one_sentence(arguments: tuple[str, ...], tmp_path: Path):
    done = call(*arguments, *(("--data", str(tmp_path)) if len(arguments) > 1 else ()))
    assert (done.status, done.err.count("\n"), done.out) == (2, 1, "")


@pytest.mark.parametrize("ways", [("--simulate", "\udcff"), ("report", "0000", "--to", "x.docx")])
def test_wrong_input_exits_2_where_qt_is_needed(ways: tuple[str, ...], tmp_path: Path):
    done = benchmeter(*ways, "--data", str(tmp_path))
    assert (done.returncode, done.stderr.count("\n"), done.stdout) == (2, 1, "")


def test_a_simulated_session_leaves_page_and_recheck_agrees(tmp_path: Path):
    data = str(tmp_path / "data")
    told = benchmeter_json(
        "record", "--from", "simulated:short-visit", "--pace", "max", "--data", data
    )
    assert [v["verdict"] for v in told["verdicts"]] == ["pass"]
    pages = pdf, html = tmp_path / "page.pdf", tmp_path / "page.html"
    report = ("report", told["id"], "--data", data, "--to")
    written = one_after_another((*report, str(page)) for page in pages)
    assert [done.status for done in written] == [0, 0]
    assert min(pdf.stat().st_size, html.stat().st_size) > 10_000
    assert pdf.read_bytes().startswith(b"%PDF-")
    assert document("recheck", "--data", data)["sessions"][0]["differences"] == []


def killed_recording(data: Path, rng: random.Random) -> tuple[str, float]:
    """A recording killed at a random moment: its id, and the seconds it had run then."""
    with start_recording("simulated:walk-in-cooler", str(data), "60s") as recording:
        session_id = recording.stdout.readline().strip()
        begun = time.monotonic()
        time.sleep(rng.uniform(0.0, 2.5))
        ran = time.monotonic() - begun
        recording.send_signal(signal.SIGKILL)
    return session_id, ran


@pytest.mark.parametrize("rounds", [4, pytest.param(40, marks=pytest.mark.slow)])
@pytest.mark.timeout(900)
def test_a_killed_recording_loses_its_last_second_at_most(tmp_path: Path, rounds: int):
    data = tmp_path / "data"
    rng = random.Random(rounds)
    killed = [killed_recording(data, rng) for _ in range(rounds)]
    with sqlite3.connect(data / "benchmeter.sqlite") as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    connection.close()
    listed = {s["id"]: s for s in document("sessions", "--data", str(data))["sessions"]}
    for session_id, ran in killed:
        assert listed[session_id]["state"] == "cut off"
        assert listed[session_id]["duration_s"] >= ran - 1.0
    rechecked = document("recheck", "--data", str(data))["sessions"]
    assert [r["differences"] for r in rechecked] == [[]] * rounds
