"""However a recording ends, what was read is stored and the session closed, or the loss is told.

No source: our own promise. POSIX: SIGTERM, SIGINT and SIGHUP ask a program to end.
"""

import json
import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from benchmeter.__main__ import main
from tests.commands.calls import document
from tests.fakes.full_disk import fill_up
from tests.links.ports.ptys import PtyInstrument

ENDS = [signal.SIGTERM, signal.SIGINT, signal.SIGHUP]
BENCH = ("--from", "simulated:walk-in-cooler", "--pace", "100")
PORT_THAT_HANGS = """
import sys, threading
from benchmeter.__main__ import main
from benchmeter.links.ports.serial_port import SerialPort
read = SerialPort.read
def hanging(port):
    data = read(port)
    if b"hang" in data:
        threading.Event().wait()
    return data
SerialPort.read = hanging
sys.exit(main(sys.argv[1:]))
"""


@contextmanager
def recording(
    data: Path, *arguments: str, program: tuple[str, ...] = ("-m", "benchmeter")
) -> Iterator["subprocess.Popen[str]"]:
    """`record --json`, beside the test."""
    with subprocess.Popen(
        [sys.executable, *program, "record", "--json", "--data", str(data), *arguments],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        preexec_fn=lambda: [signal.signal(number, signal.SIG_DFL) for number in ENDS],
    ) as process:
        try:
            yield process
        finally:
            process.kill()


def until(program: "subprocess.Popen[str]", says: str) -> str:
    """Read what it tells up to a line with these words."""
    for line in program.stderr:
        if says in line:
            return line
    raise AssertionError(f"it never said {says!r}")


def the_session(data: Path) -> Any:
    (one,) = document("sessions", "--data", str(data))["sessions"]
    return document("show", one["id"], "--data", str(data))


def stored(shown: Any) -> dict[str, int]:
    return {c["name"]: len(c["readings"]) for c in shown["channels"]}


@pytest.mark.parametrize("number", ENDS)
def test_a_signal_ends_it_with_all_that_was_read(number: signal.Signals, tmp_path: Path) -> None:
    with recording(tmp_path, *BENCH) as program:
        program.stderr.readline()  # the session's id
        program.send_signal(number)  # at once: the source may not even have begun
        told, err = program.communicate(timeout=60)
    assert (program.returncode, "Traceback" in err) == (0, False)
    shown = the_session(tmp_path)
    assert shown["state"] == "ended"
    assert json.loads(told)["readings"] == stored(shown)


@pytest.mark.parametrize("number", ENDS)
def test_on_a_full_disk_it_waits_says_how_many_are_held_and_writes_them(
    number: signal.Signals, disk: Path
) -> None:
    data = disk / "data"
    with recording(data, *BENCH) as program:
        program.stderr.readline()
        fill_up(disk / "ballast")
        until(program, "No space is left")
        program.send_signal(number)
        held = until(program, "are held in memory")
        assert int(re.search(r"(\d+) readings", held)[1]) > 0
        (disk / "ballast").unlink()
        told, err = program.communicate(timeout=60)
    assert (program.returncode, "Traceback" in err) == (0, False)
    shown = the_session(data)
    assert shown["state"] == "ended"
    assert json.loads(told)["readings"] == stored(shown)


def test_who_asks_once_more_is_told_exactly_what_is_lost(disk: Path) -> None:
    data = disk / "data"
    with recording(data, *BENCH) as program:
        program.stderr.readline()
        fill_up(disk / "ballast")
        until(program, "No space is left")
        program.send_signal(signal.SIGTERM)
        held = re.search(r"(\d+) readings since second (\d+)", until(program, "are held"))
        program.send_signal(signal.SIGTERM)
        told, err = program.communicate(timeout=60)
    assert (program.returncode, told) == (1, "")
    lost = re.fullmatch(
        r"benchmeter: (\d+) readings from second (\d+) to second (\d+) of the session are lost: "
        r".*\n",
        err,
    )
    assert lost.group(1, 2) == held.group(1, 2)
    (disk / "ballast").unlink()
    shown = the_session(data)
    assert shown["state"] == "cut off"
    last = max((r["time_s"] for c in shown["channels"] for r in c["readings"]), default=0)
    assert last <= float(lost[2]) + 1


def test_a_link_that_hangs_keeps_nobody_waiting(tmp_path: Path) -> None:
    """A driver that never comes back from a call; what it had delivered is stored."""
    meter = PtyInstrument(tmp_path / "meter")
    link = f"serial:{meter.path}?profile=text-value-unit&channel=capacitor"
    data = tmp_path / "data"
    with recording(data, "--from", link, program=("-c", PORT_THAT_HANGS)) as program:
        until(program, "Connected")
        for line in (b"44.1 uF\r\n", b"44.2 uF\r\n"):
            meter.send(line)
        while not any(stored(the_session(data)).values()):
            assert program.poll() is None
        meter.send(b"hang\r\n")
        program.send_signal(signal.SIGTERM)
        _, err = program.communicate(timeout=60)
    meter.unplug()
    assert (program.returncode, "Traceback" in err) == (0, False)
    shown = the_session(data)
    assert (shown["state"], stored(shown)) == (
        "ended",
        {"capacitor": 1},
    )  # the first line may be half a one


def test_ctrl_c_before_anything_has_begun_leaves_no_traceback(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def interrupted(*_: object) -> int:
        raise KeyboardInterrupt

    monkeypatch.setattr("benchmeter.commands.main.run", interrupted)
    assert main(["sessions"]) == 130  # as shells count: 128 and the number of the signal
