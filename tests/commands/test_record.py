"""`record`, `sessions`, `show`, `recheck`, `report` as processes, on instruments not ours."""

import json
import random
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.commands.calls import document
from tests.fakes.programs import PEERS, benchmeter, benchmeter_json, running
from tests.links.ports.ptys import PtyInstrument

ELEMENT = """
title = "Heating element"
about = "Invented for this test: the resistance alone."
example = "240 V, 1500 W"
givens = [
    { name = "volts", title = "Rated volts", unit = "V" },
    { name = "watts", title = "Rated watts", unit = "W" },
]
[[measures]]
name = "element"
title = "Heating element"
quantity = "resistance"
unit = "Ω"
leads = ["end", "other end"]
overload = "open"
failure = "It does not heat as rated."
source = "V²/P"
limits = { by = "from power", volts = "volts", power = "watts", tolerance = "10 %" }
"""
JUDGED = ("record", "--from", "serial:/dev/null?profile=scpi-meter&channel=capacitor")


def test_a_scpi_meter_that_is_not_ours_is_recorded_to_the_last_digit(tmp_path: Path):
    """sinstruments answers +44101.0E-09, +44102.0E-09, …: NR3 of IEEE 488.2, in farads."""
    port, data = tmp_path / "meter", str(tmp_path / "data")
    link = f"serial:{port}?profile=scpi-meter&channel=capacitor"
    with running(sys.executable, str(PEERS / "scpi_peer.py"), str(port), makes=[port]):
        told = benchmeter_json("record", "--from", link, "--for", "2s", "--data", data)
    shown = benchmeter_json("show", told["id"], "--data", data)
    (channel,) = shown["channels"]
    values = [r["value"] for r in channel["readings"]]
    assert len(values) >= 4
    assert values == [(44101 + n) / 1000 for n in range(len(values))]
    assert channel["unit"] == "µF"
    assert channel["readings"][0]["si_value"] == 44101.0e-9
    assert benchmeter_json("recheck", told["id"], "--data", data)["sessions"][0]["agrees"]


@pytest.mark.skipif(shutil.which("socat") is None, reason="needs socat, for a pair of ptys")
def test_a_modbus_server_that_is_not_ours_is_recorded_to_the_last_digit(tmp_path: Path):
    """pymodbus serves 235 and -40, tenths of a degree Celsius."""
    ours, theirs, data = tmp_path / "ours", tmp_path / "theirs", str(tmp_path / "data")
    cable = ("socat", f"pty,raw,echo=0,link={ours}", f"pty,raw,echo=0,link={theirs}")
    link = f"serial:{ours}?profile=modbus-two-probes&channel=discharge,outdoor"
    with (
        running(*cable, makes=[theirs]),
        running(sys.executable, str(PEERS / "modbus_peer.py"), str(theirs), makes=[theirs]),
    ):
        time.sleep(1)  # the server takes its port after importing itself
        told = benchmeter_json("record", "--from", link, "--for", "3s", "--data", data)
    shown = benchmeter_json("show", told["id"], "--data", data)
    by_name = {c["name"]: c for c in shown["channels"]}
    assert {r["value"] for r in by_name["discharge"]["readings"]} == {23.5}
    assert {r["value"] for r in by_name["outdoor"]["readings"]} == {-4.0}


def start_recording(link: str, data: str, length: str) -> subprocess.Popen[str]:
    command = [sys.executable, "-m", "benchmeter", "record", "--from", link, "--data", data]
    return subprocess.Popen([*command, "--for", length], text=True, stdout=subprocess.PIPE)


def until_recorded(
    session_id: str, data: str, *, event: str = "", times: int = 1, readings: int = 0
) -> None:
    """Wait until so many events of a kind, and so many readings, stand in the record."""
    for _ in range(600):
        shown = document("show", session_id, "--brief", "--data", data)
        kinds = [event["kind"] for event in shown["events"]]
        counts = [channel["count"] for channel in shown["channels"]]
        if (not event or kinds.count(event) >= times) and sum(counts) >= readings:
            return
        time.sleep(0.1)
    raise AssertionError(f"not {times} × {event} or not {readings} readings in {shown}")


def test_an_overload_is_a_status_and_a_pulled_plug_a_gap_in_the_same_session(tmp_path: Path):
    meter, data = PtyInstrument(tmp_path / "meter"), str(tmp_path / "data")
    link = f"serial:{meter.path}?profile=text-value-unit&channel=capacitor"
    with start_recording(link, data, "10min") as recording:
        session_id = recording.stdout.readline().strip()
        until_recorded(session_id, data, event="link up")
        for line in (b"44.1 uF\r\n", b"44.2 uF\r\n", b"OL uF\r\n", b"44.3"):
            meter.send(line)
            time.sleep(0.2)
        until_recorded(session_id, data, readings=3)
        meter.unplug()
        until_recorded(session_id, data, event="link lost")
        time.sleep(3.5)  # longer than the silence that is a gap
        meter.plug()
        until_recorded(session_id, data, event="link up", times=2)
        for line in (b" uF\r\n", b"44.4 uF\r\n", b"44.5 uF\r\n"):
            meter.send(line)
            time.sleep(0.2)
        until_recorded(session_id, data, readings=5)
        recording.send_signal(signal.SIGINT)
        recording.communicate(timeout=120)
    assert recording.returncode == 0
    shown = benchmeter_json("show", session_id, "--data", data)
    (channel,) = shown["channels"]
    rows = [(r["value"], r["status"]) for r in channel["readings"]]
    assert rows == [(44.1, "ok"), (44.2, "ok"), (None, "overload"), (44.4, "ok"), (44.5, "ok")]
    kinds = [e["kind"] for e in shown["events"]]
    assert kinds.index("link lost") < kinds.index("gap")
    assert kinds.count("link up") == 2
    assert len(benchmeter_json("sessions", "--data", data)["sessions"]) == 1
    meter.unplug()


def test_a_silent_instrument_is_counted_with_no_readings_and_told_what_to_check(tmp_path: Path):
    meter, data = PtyInstrument(tmp_path / "meter"), str(tmp_path / "data")
    link = f"serial:{meter.path}?profile=text-two-probes&channel=discharge,outdoor"
    done = benchmeter("record", "--from", link, "--for", "1s", "--data", data, "--json")
    meter.unplug()
    assert done.returncode == 0
    assert json.loads(done.stdout)["readings"] == {"discharge": 0, "outdoor": 0}
    assert "No reading has come from discharge. Check" in done.stderr
    assert "No reading has come from outdoor. Check" in done.stderr


def test_what_stands_in_place_of_values_is_counted_by_its_reason(tmp_path: Path):
    meter, data = PtyInstrument(tmp_path / "meter"), str(tmp_path / "data")
    link = f"serial:{meter.path}?profile=text-value-unit"
    with start_recording(link, data, "10min") as recording:
        session_id = recording.stdout.readline().strip()
        until_recorded(session_id, data, event="link up")
        for line in (b"44.1 uF\r\n", b"OL uF\r\n", b"12 kOhm\r\n"):
            meter.send(line)
        until_recorded(session_id, data, readings=3)
        recording.send_signal(signal.SIGINT)
        told, _ = recording.communicate(timeout=120)
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
    command = [sys.executable, "-m", "benchmeter", "record", "--from", link, "--for", "8s"]
    command += ["--check", "45 uF ±6% 440 V", "--data", str(data), "--json"]
    with subprocess.Popen(command, text=True, stdout=subprocess.PIPE) as recording:
        while recording.poll() is None:
            meter.send(b"42.35\r\n")
            time.sleep(0.2)
        told = json.loads(recording.stdout.read())
    meter.unplug()
    assert [v["verdict"] for v in told["verdicts"]] == ["conditional pass"]


def test_a_part_of_a_kind_is_judged_on_the_channel_of_the_bench_meter(tmp_path: Path):
    """38.4 Ω = 240² V² / 1500 W (CALC), ±10 % common practice; 30 Ω is below 34.56 Ω."""
    meter, data = PtyInstrument(tmp_path / "meter"), tmp_path / "data"
    (data / "parts").mkdir(parents=True)
    (data / "parts" / "element.toml").write_text(ELEMENT)
    link = f"serial:{meter.path}?profile=text-value-unit&channel=meter"
    command = [sys.executable, "-m", "benchmeter", "record", "--from", link, "--for", "8s"]
    command += ["--kind", "element", "--check", "240 V, 1500 W", "--data", str(data), "--json"]
    with subprocess.Popen(command, text=True, stdout=subprocess.PIPE) as recording:
        while recording.poll() is None:
            meter.send(b"30.0 Ohm\r\n")
            time.sleep(0.2)
        told = json.loads(recording.stdout.read())
    meter.unplug()
    assert [v["verdict"] for v in told["verdicts"]] == ["fail"]


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
    done = benchmeter(
        "record", "--from", link, *of_kind, "--check", labels.get(kind, "45 uF 5%"),
        "--data", str(tmp_path),
    )  # fmt: skip
    assert (done.returncode, done.stdout) == (2, "")
    assert says in done.stderr


def test_a_terminal_that_has_gone_costs_no_reading(tmp_path: Path):
    meter, data = PtyInstrument(tmp_path / "meter"), str(tmp_path / "data")
    link = f"serial:{meter.path}?profile=text-value-unit&channel=capacitor"
    command = [sys.executable, "-m", "benchmeter", "record", "--from", link, "--data", data]
    pipes = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    with subprocess.Popen(command, text=True, **pipes) as recording:
        session_id = recording.stdout.readline().strip()
        recording.stderr.close()
        time.sleep(1.5)
        meter.unplug()
        time.sleep(1)
        meter.plug()
        time.sleep(2.5)
        for line in (b"44.1 uF\r\n", b"nonsense\r\n", b"44.2 uF\r\n"):
            meter.send(line)
            time.sleep(0.2)
        time.sleep(0.3)
        recording.send_signal(signal.SIGHUP)  # POSIX: the terminal was closed
        recording.wait(30)
    meter.unplug()
    shown = benchmeter_json("show", session_id, "--data", data)
    assert shown["state"] == "ended"
    assert [r["value"] for r in shown["channels"][0]["readings"]] == [44.1, 44.2]


def test_a_port_that_is_not_there_says_so_and_exits_1(tmp_path: Path):
    link = f"serial:{tmp_path}/nothing?profile=text-value-unit&channel=capacitor"
    done = benchmeter("record", "--from", link, "--for", "30s", "--data", str(tmp_path / "d"))
    assert done.returncode == 1
    assert "nothing" in done.stderr
    assert "Traceback" not in done.stderr


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
        ("report", "0000", "--to", "x.docx"),
        ("unheard-of",),
        ("record", "--from", "simulated:short-visit", "--as", "no text: \udcff"),
        ("--simulate", "\udcff"),
    ],
)
def test_wrong_input_exits_2_with_one_sentence(arguments: tuple[str, ...], tmp_path: Path):
    done = benchmeter(*arguments, *(("--data", str(tmp_path)) if len(arguments) > 1 else ()))
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert done.stdout == ""


def test_a_simulated_session_leaves_page_and_recheck_agrees(tmp_path: Path):
    data = str(tmp_path / "data")
    told = benchmeter_json(
        "record", "--from", "simulated:short-visit", "--pace", "max", "--data", data
    )
    assert [v["verdict"] for v in told["verdicts"]] == ["pass"]
    for name in ("page.pdf", "page.html"):
        page = tmp_path / name
        assert benchmeter("report", told["id"], "--to", str(page), "--data", data).returncode == 0
        assert page.stat().st_size > 10_000
    assert (tmp_path / "page.pdf").read_bytes().startswith(b"%PDF-")
    assert benchmeter_json("recheck", "--data", data)["sessions"][0]["differences"] == []


def killed_recording(data: Path, rng: random.Random) -> tuple[str, float]:
    """A recording killed at a random moment: its id, and the seconds it had run then."""
    with start_recording("simulated:walk-in-cooler", str(data), "60s") as recording:
        session_id = recording.stdout.readline().strip()
        begun = time.monotonic()
        time.sleep(rng.uniform(0.0, 2.5))
        ran = time.monotonic() - begun
        recording.send_signal(signal.SIGKILL)
    return session_id, ran


@pytest.mark.parametrize("rounds", [pytest.param(8), pytest.param(100, marks=pytest.mark.slow)])
@pytest.mark.timeout(900)
def test_a_killed_recording_loses_its_last_second_at_most(tmp_path: Path, rounds: int):
    data = tmp_path / "data"
    rng = random.Random(rounds)
    killed = [killed_recording(data, rng) for _ in range(rounds)]
    with sqlite3.connect(data / "benchmeter.sqlite") as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    connection.close()
    listed = {s["id"]: s for s in benchmeter_json("sessions", "--data", str(data))["sessions"]}
    for session_id, ran in killed:
        assert listed[session_id]["state"] == "cut off"
        assert listed[session_id]["duration_s"] >= ran - 1.0
    rechecked = benchmeter_json("recheck", "--data", str(data))["sessions"]
    assert [r["differences"] for r in rechecked] == [[]] * rounds
