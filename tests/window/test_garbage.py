"""No widget is destroyed by a measuring thread."""

import gc
import threading

import pytest
from PySide6.QtCore import QObject, Qt

from benchmeter.window.control.garbage import GarbageCollector

PIECES = 2000  # above Python's threshold


@pytest.mark.gui
def test_garbage_is_destroyed_on_the_gui_thread_whoever_makes_more(qtbot):
    destroyed_in, held = [], []
    gc.enable()
    root = QObject()
    GarbageCollector(root)

    class Cycle(QObject):
        pass

    piece = Cycle()
    piece.itself = piece
    piece.destroyed.connect(
        lambda: destroyed_in.append(threading.current_thread()),
        Qt.ConnectionType.DirectConnection,
    )
    del piece
    working = threading.Thread(target=lambda: held.extend([] for _ in range(PIECES)))
    working.start()
    working.join()
    assert destroyed_in == []
    qtbot.waitUntil(lambda: destroyed_in == [threading.main_thread()])
