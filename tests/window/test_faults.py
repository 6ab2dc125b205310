"""What nobody caught reaches the log and the bar, and the recording goes on."""

import json
import subprocess
import sys

import pytest

_CODE = """
import json, sys, threading
from pathlib import Path
from PySide6.QtCore import QTimer, qCritical, qWarning
from PySide6.QtWidgets import QApplication
from benchmeter import app
from benchmeter.files.folders import Folders
from benchmeter.window.shell.window import Window

told, readings, windows = [], [], []
plain = Window.__init__

def watched(self, controller):
    plain(self, controller)
    windows.append(self)
    controller.noticed.connect(lambda n: told.append(n.severity))
    controller.folded.connect(lambda c: go_on(controller))

def in_slot():
    raise RuntimeError("a fault in a slot")

def in_thread():
    raise RuntimeError("a fault in a thread")

def go_on(controller):
    readings.append(controller.session)
    if len(readings) == 3:
        QTimer.singleShot(0, in_slot)
        threading.Thread(target=in_thread).start()
        qWarning("a trifle of Qt")
        qCritical("a grave word of Qt")
    if len(readings) == 30:
        print(json.dumps({
            "shown": windows[0].notices.shown().count,
            "text": windows[0].notices.shown().notice.text,
            "errors": told.count("error"),
            "recording": controller.recording,
        }))
        sys.stdout.flush()
        windows[0].close()

Window.__init__ = watched
sys.exit(app.run(Folders(Path(sys.argv[1])), simulate="short-visit"))
"""


@pytest.mark.gui
def test_a_fault_of_ours_is_told_once_and_logged_while_the_recording_goes_on(folders):
    """One exception in a slot, one in a thread, one grave word of Qt: one notice, counted."""
    done = subprocess.run(
        [sys.executable, "-c", _CODE, str(folders.data)],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    assert told["errors"] == told["shown"] == 3, "the same notice again is counted"
    assert "recording goes on" in told["text"]
    assert told["recording"]
    log = folders.log.read_text(encoding="utf-8")
    for fault in (
        "a fault in a slot",
        "a fault in a thread",
        "a grave word of Qt",
        "a trifle of Qt",
    ):
        assert fault in log
    assert "Traceback" in log and "in_slot" in log
