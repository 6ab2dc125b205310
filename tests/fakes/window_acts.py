"""What tests do with a window on fake rooms."""

import threading

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from benchmeter.checking import commands
from benchmeter.session.outcome import Outcome
from benchmeter.window.shell.window import Window


def rest(qtbot: QtBot, window: Window) -> None:
    """Wait until the worker has nothing to do."""
    qtbot.waitUntil(window.controller.background.idle, timeout=30_000)
    QApplication.processEvents()


def live(qtbot: QtBot, window: Window, *outcomes: Outcome) -> list[commands.Command]:
    """Begin a live session in which this happens; gives the list of what is sent to it."""
    window.controller.start_live(("serial:/dev/ttyUSB0?profile=bench",))
    rest(qtbot, window)
    publish(qtbot, window, *outcomes)
    session = window.controller.session
    assert session is not None
    return session.sent  # type: ignore[attr-defined,no-any-return]


def publish(qtbot: QtBot, window: Window, *outcomes: Outcome) -> None:
    """As the chain does: from another thread, through the relay."""
    session = window.controller.session
    assert session is not None

    def work() -> None:
        for outcome in outcomes:
            session.publish(outcome)  # type: ignore[attr-defined]

    thread = threading.Thread(target=work)
    thread.start()
    thread.join()
    if outcomes:
        last = outcomes[-1].time_ns
        qtbot.waitUntil(lambda: window.controller.view.now_ns == last)  # type: ignore[union-attr]


def press(qtbot: QtBot, window: Window, key: Qt.Key, modifier: object = None) -> None:
    """Press a key where the focus is."""
    focus = QApplication.focusWidget() or window
    if modifier is None:
        qtbot.keyClick(focus, key)
    else:
        qtbot.keyClick(focus, key, modifier)
