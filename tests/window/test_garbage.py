"""No widget is destroyed by a measuring thread."""

import subprocess
import sys

import pytest

_CODE = """
import gc, threading
from PySide6.QtCore import QObject, Qt, QTimer
from PySide6.QtWidgets import QApplication
from benchmeter.window.control.garbage import GarbageCollector

app = QApplication([])
GarbageCollector(app)

class Cycle(QObject):
    pass

piece = Cycle()
piece.itself = piece
destroyed_in, held = [], []
piece.destroyed.connect(
    lambda: destroyed_in.append(threading.current_thread()), Qt.ConnectionType.DirectConnection
)
del piece
working = threading.Thread(target=lambda: held.extend([] for _ in range(2000)))  # above threshold
working.start()
working.join()
assert destroyed_in == []
QTimer.singleShot(3000, app.quit)
app.exec()
assert destroyed_in == [threading.main_thread()]
"""


@pytest.mark.gui
def test_garbage_is_destroyed_on_the_gui_thread_whoever_makes_more():
    done = subprocess.run(
        [sys.executable, "-c", _CODE], capture_output=True, text=True, timeout=60, check=False
    )
    assert done.returncode == 0, done.stderr
