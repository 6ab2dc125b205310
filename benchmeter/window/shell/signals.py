"""Signals that ask a program to end, as Qt's event loop hears them."""

import signal
import socket

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
        self._heard, self._told = socket.socketpair()
        for end in (self._heard, self._told):
            end.setblocking(False)
        signal.set_wakeup_fd(self._told.fileno(), warn_on_full_buffer=False)
        for name in ("SIGTERM", "SIGINT", "SIGHUP"):
            number = getattr(signal, name, None)
            if number is not None and signal.getsignal(number) is not signal.SIG_IGN:
                signal.signal(number, lambda *_: None)
        self._notifier = QSocketNotifier(self._heard.fileno(), QSocketNotifier.Type.Read, self)
        self._notifier.activated.connect(self._wake)

    @Slot()
    def _wake(self) -> None:
        self._heard.recv(64)
        self.asked.emit()
