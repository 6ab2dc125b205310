"""However the window is left, what was read is stored, or the loss is told first."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from benchmeter.files.folders import Folders
from benchmeter.record.recorder import Held
from benchmeter.record.records import SessionState
from benchmeter.record.store import Store
from benchmeter.window.shell.window import Window

pytestmark = [pytest.mark.gui, pytest.mark.qt_log_ignore("propagateSizeHints")]


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT])
def test_a_signal_leaves_the_window_as_a_click_does(number: signal.Signals, tmp_path: Path) -> None:
    """POSIX: a session manager asks with SIGTERM, a terminal with SIGINT."""
    folders = Folders(tmp_path / "data")
    with subprocess.Popen(
        [sys.executable, "-m", "benchmeter", "--simulate", "--data", str(folders.data)],
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
        stderr=subprocess.PIPE,
        text=True,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
    ) as program:
        try:
            until = time.monotonic() + 60
            while _readings(folders) < 5:
                assert program.poll() is None and time.monotonic() < until
                time.sleep(0.1)
            program.send_signal(number)
            _, err = program.communicate(timeout=60)
        finally:
            program.kill()
    assert (program.returncode, "Traceback" in err) == (0, False)
    with Store.open(folders, write=False) as store:
        (session,) = store.sessions()
        assert session.state is SessionState.ENDED


def _readings(folders: Folders) -> int:
    if not folders.database.exists():
        return 0
    with Store.open(folders, write=False) as store:
        return sum(session.reading_count for session in store.sessions())


class Holding:
    """A session whose readings the disk does not take."""

    def __init__(self) -> None:
        self.held: Held | None = Held(readings=3, since_ns=0, until_ns=5_000_000_000)
        self.stopped = False

    def stop(self) -> None:
        self.stopped = True

    def give_up(self) -> Held | None:
        lost, self.held = self.held, None
        return lost


def test_that_leaving_would_lose_readings_is_told_before(qtbot: QtBot, window: Window) -> None:
    session = Holding()
    window.controller._begun = session
    told: list[str] = []
    window.controller.noticed.connect(lambda notice: told.append(notice.text))
    assert not window.close()
    assert "3 readings since second 0" in told[-1]
    assert not session.stopped
    assert window.close()
    assert session.stopped and session.held is None
