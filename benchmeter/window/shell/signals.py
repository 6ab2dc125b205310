"""Signals that ask a program to end, as Qt's event loop hears them."""

import os
import signal
import sys

from PySide6.QtCore import QObject, QSocketNotifier, Signal, Slot

__all__ = ["EndSignals"]


class EndSignals(QObject):
    """SIGTERM, SIGINT and SIGHUP as a signal of Qt, from now on.

    Python runs its handlers between two of its own statements, and there is none while Qt waits;
    so the system's signal writes a byte that wakes Qt up.

    Signals:
        asked: the program is to end.
    """

    asked = Signal()

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        if sys.platform == "win32":  # which sends none of them to a window
            return
        self._heard, told = os.pipe()
        os.set_blocking(told, False)
        signal.set_wakeup_fd(told, warn_on_full_buffer=False)
        for number in (signal.SIGTERM, signal.SIGINT, signal.SIGHUP):
            if signal.getsignal(number) is not signal.SIG_IGN:
                signal.signal(number, lambda *_: None)
        self._notifier = QSocketNotifier(self._heard, QSocketNotifier.Type.Read, self)
        self._notifier.activated.connect(self._wake)

    @Slot()
    def _wake(self) -> None:
        os.read(self._heard, 64)
        self.asked.emit()
