"""The window on a real X server (under Xvfb in the checks)."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

pytestmark = [
    pytest.mark.x11,
    pytest.mark.skipif(not os.environ.get("DISPLAY"), reason="needs an X server"),
]

_CODE = """
import sys, time
from pathlib import Path
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from benchmeter.window.control.services import Services
from benchmeter.window.shell.window import Window
from benchmeter.window.control.session_controller import SessionController
from benchmeter.files.folders import Folders

app = QApplication([])
assert app.platformName() == "xcb", app.platformName()
window = Window(SessionController(Services(Folders(Path(sys.argv[1])))))
window.controller.prefer(sound=False)
window.show()

def until(true, seconds=20):
    end = time.monotonic() + seconds
    while not true() and time.monotonic() < end:
        app.processEvents()
        time.sleep(0.01)
    assert true()

until(lambda: window.isVisible() and window._completed and window.controller.background.idle())
window.activateWindow()
until(window.isActiveWindow)
assert window.bench.first_steps.isVisible()
QTest.keyClick(window, Qt.Key.Key_B)
until(lambda: window.controller.recording)
view = window.controller.view
until(lambda: len(view.pulses) >= 3)
for key in (Qt.Key.Key_F2, Qt.Key.Key_F3, Qt.Key.Key_F4, Qt.Key.Key_F5, Qt.Key.Key_F1):
    QTest.keyClick(QApplication.focusWidget() or window, key)
    app.processEvents()
    assert window.grab().toImage().width() > 0
assert window.rail.words.text().startswith("Recording since")
window.close()
until(lambda: not window.isVisible())
print("CLOSED", window.controller.session)
"""


def test_b_starts_the_simulated_bench_and_closing_is_safe(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", _CODE, str(tmp_path)],
        env={**os.environ, "QT_QPA_PLATFORM": "xcb"},
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert "CLOSED None" in done.stdout
    assert "Traceback" not in done.stderr, done.stderr


@pytest.mark.slow  # it reads a stopwatch: for a machine that does nothing else
def test_the_window_is_never_deaf_while_a_session_is_recorded(tmp_path: Path) -> None:
    """At most two turns of the event loop hold it for 0.1 s, on a machine that others use."""
    done = subprocess.run(
        [sys.executable, "-m", "tests.window.lag", "12"],
        env={**os.environ, "QT_QPA_PLATFORM": "xcb"},
        cwd=Path(__file__).parents[2],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    sys.stdout.write(done.stdout)
    assert done.returncode == 0, done.stdout + done.stderr
