"""A login manager on the session bus, for real: hands out a lock and says when it is let go.

Run as a program of its own: it prints READY, then a line for each call, then GONE when the other
end of the lock's pipe has been closed.
"""

import os
import sys

from PySide6.QtCore import ClassInfo, QCoreApplication, QObject, QSocketNotifier, Slot
from PySide6.QtDBus import QDBusConnection, QDBusUnixFileDescriptor


@ClassInfo({"D-Bus Interface": "org.freedesktop.login1.Manager"})
class LoginManager(QObject):
    """Answers Inhibit with the writing end of a pipe, as systemd does."""

    @Slot(str, str, str, str, result=QDBusUnixFileDescriptor)
    def Inhibit(self, what: str, who: str, why: str, mode: str) -> QDBusUnixFileDescriptor:
        reading, writing = os.pipe()
        lock = QDBusUnixFileDescriptor(writing)
        os.close(writing)
        self._notifier = QSocketNotifier(reading, QSocketNotifier.Type.Read, self)
        self._notifier.activated.connect(self._let_go)
        self._reading = reading
        _say(f"{what}|{who}|{why}|{mode}")
        return lock

    @Slot()
    def _let_go(self) -> None:
        self._notifier.setEnabled(False)
        os.close(self._reading)
        _say("GONE")


def _say(text: str) -> None:
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


def main() -> int:
    app = QCoreApplication(sys.argv)
    bus = QDBusConnection.sessionBus()
    manager = LoginManager()
    every = QDBusConnection.RegisterOption.ExportAllSlots
    assert bus.registerObject("/org/freedesktop/login1", manager, every)
    assert bus.registerService("org.freedesktop.login1")
    _say("READY")
    return app.exec()


if __name__ == "__main__":
    sys.exit(main())
