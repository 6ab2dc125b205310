"""The program talks to nobody, starts nobody, and keeps what it writes to its user."""

import json
import os
import re
import shutil
import stat
import subprocess
import sys
from pathlib import Path

import pytest

_REPOSITORY = Path(__file__).parents[2]
_CUSTOMER = "Zebulon Quackenbush"  # a name that stands nowhere else

RUNS = {
    "judge": ("judge", "45/5 uF ±6% 440 V", "--read", "HERM=44.1uF", "--read", "FAN=5.02"),
    "compute": ("compute", "under-load", "--current", "6.28A", "--voltage", "370V",
                "--frequency", "60Hz"),
    "record": ("record", "--from", "simulated:short-visit", "--pace", "max", "--data", "DATA"),
    "simulate": ("--simulate", "short-visit", "--data", "DATA"),
    "ports": ("ports", "--data", "DATA"),
    "window": ("window", "DATA"),
}  # fmt: skip
_WITH_QT = {"window", "simulate"}


def run(name: str, folder: Path, *before: str) -> Path:
    """Run under guard; the file with what was written down."""
    if name in _WITH_QT:
        pytest.importorskip("PySide6")
    log = folder / "guard"
    arguments = [a if a != "DATA" else str(folder / "data") for a in RUNS[name]]
    environment = {k: v for k, v in os.environ.items() if not k.endswith("DISPLAY")}
    environment |= {"XDG_DATA_HOME": str(folder / "home"), "DBUS_SESSION_BUS_ADDRESS": ""}
    if name == "window":
        environment["QT_QPA_PLATFORM"] = "offscreen"
    else:
        environment.pop("QT_QPA_PLATFORM", None)
    done = subprocess.run(
        [*before, sys.executable, "-m", "tests.hostile.guarded_run", str(log), *arguments],
        cwd=_REPOSITORY, env=environment, capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return log


@pytest.mark.parametrize("name", RUNS)
def test_no_socket_is_opened_and_no_program_is_started(name: str, tmp_path: Path) -> None:
    done = [json.loads(line) for line in run(name, tmp_path).read_text().splitlines()]
    assert done == []


@pytest.mark.parametrize("name", RUNS)
def test_the_system_sees_no_socket_but_the_desktops_own(name: str, tmp_path: Path) -> None:
    """Libraries as well: Qt may talk to the desktop by a socket of this computer (AF_UNIX)."""
    strace = shutil.which("strace")
    if strace is None:
        pytest.skip("needs strace")
    seen = tmp_path / "seen"
    run(name, tmp_path, strace, "-f", "-qq", "-o", str(seen), "-e", "trace=socket,execve")
    calls = seen.read_text()
    families = set(re.findall(r"socket\((\w+)", calls))
    assert families <= ({"AF_UNIX"} if name in _WITH_QT else set()), families
    programs = re.findall(r"execve\(\"([^\"]+)\".*= 0", calls)
    assert len(programs) == 1, programs


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such permissions")
def test_what_is_written_is_for_its_user_alone(tmp_path: Path) -> None:
    before = os.umask(0)  # as careless as it can be
    try:
        run("simulate", tmp_path)
        run("window", tmp_path)
    finally:
        os.umask(before)
    data = tmp_path / "data"
    assert stat.S_IMODE(data.stat().st_mode) == 0o700
    assert (data / "benchmeter.sqlite").exists()


def test_the_log_tells_nothing_of_the_customer(tmp_path: Path) -> None:
    """Marks, remarks, names and labels stay in the record, also when the disk fails."""
    script = tmp_path / "script.py"
    script.write_text(_SPEAKING)
    done = subprocess.run(
        [sys.executable, str(script), str(tmp_path / "data"), _CUSTOMER],
        cwd=_REPOSITORY, capture_output=True, text=True, timeout=60, check=False,
        env={**os.environ, "PYTHONPATH": str(_REPOSITORY)},
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    log = (tmp_path / "data" / "benchmeter.log").read_text()
    assert "the record is not written" in log
    assert _CUSTOMER not in log
    assert _CUSTOMER not in done.stderr


_SPEAKING = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from benchmeter.app import _log_to_file
from benchmeter.tasks.running import RunningSession
from benchmeter.errors import StoreError
from benchmeter.links.instruments.setup import BenchSetup
from benchmeter.checking.commands import Annotate, BeginCheck, Mark, TypeReading
from benchmeter.files.folders import Folders
from benchmeter.links.ports.typed_source import TypedSource
from benchmeter.record.store import Store
import time

def until(seen):
    given_up = time.monotonic() + 30
    while not seen():
        assert time.monotonic() < given_up, "waited in vain"
        time.sleep(0.02)

folders, name = Folders(Path(sys.argv[1])), sys.argv[2]
_log_to_file(folders)
setup = BenchSetup(origin="typed in", links=(), channels=())
with Store.open(folders, write=True) as store:
    recorder = store.begin(setup, name=name, started=datetime.now(UTC), zone="UTC")
    session = RunningSession(
        setup, TypedSource(), lambda o: None, session_id=recorder.session_id, recorder=recorder
    )
    session.start()
    session.send(BeginCheck(time_ns=0, part=name, label=f"45 uF 5% {name}"))
    session.send(TypeReading(time_ns=0, channel=name, text=name))
    session.send(Mark(time_ns=0, text=name))
    session.send(Annotate(time_ns=0, text=name))
    away = folders.database.with_name("away")
    until(lambda: len(list(store.inputs(recorder.session_id))) >= 4)
    folders.database.rename(away)
    session.send(Mark(time_ns=0, text=name))
    until(lambda: recorder.trouble is not None)
    away.rename(folders.database)
    until(lambda: recorder.trouble is None)
    store.rename(recorder.session_id, name + " again")
    session.stop()
"""
