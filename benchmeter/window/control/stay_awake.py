"""Keeps the computer from going to sleep by itself while something is being recorded."""

import logging

from PySide6.QtCore import QObject, Slot
from PySide6.QtDBus import (
    QDBusConnection,
    QDBusMessage,
    QDBusPendingCallWatcher,
    QDBusUnixFileDescriptor,
)

__all__ = ["StayAwake"]

_log = logging.getLogger(__name__)

_LOGIN = "org.freedesktop.login1"
_PATH = "/org/freedesktop/login1"
_INTERFACE = "org.freedesktop.login1.Manager"


class StayAwake(QObject):
    """Asks the login manager to put suspending off (systemd, org.freedesktop.login1, Inhibit).

    The screen may go dark. The lock holds as long as its file descriptor is open, so it goes by
    itself where this program ends in any way. Without a login manager nothing happens; that is
    logged once.

    Args:
        bus: where the login manager is.
    """

    def __init__(self, bus: QDBusConnection | None = None, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._bus = bus
        self._wanted = False
        self._lock: QDBusUnixFileDescriptor | None = None
        self._waiting: QDBusPendingCallWatcher | None = None
        self._told = False

    @property
    def held(self) -> bool:
        """Whether suspending is put off now."""
        return self._lock is not None

    def hold(self, why: str) -> None:
        """Put suspending off. Returns at once; again is harmless.

        Args:
            why: for people who ask the login manager.
        """
        self._wanted = True
        if self._lock is not None or self._waiting is not None:
            return
        bus = self._bus = self._bus or QDBusConnection.systemBus()
        if not bus.isConnected():
            self._not_there("no system bus")
            return
        call = QDBusMessage.createMethodCall(_LOGIN, _PATH, _INTERFACE, "Inhibit")
        call.setArguments(["sleep", "benchmeter", why, "block"])
        self._waiting = QDBusPendingCallWatcher(bus.asyncCall(call), self)
        self._waiting.finished.connect(self._answered)

    def release(self) -> None:
        """Let the computer sleep again."""
        self._wanted = False
        self._lock = None

    @Slot(QDBusPendingCallWatcher)
    def _answered(self, watcher: QDBusPendingCallWatcher) -> None:
        reply = watcher.reply()
        self._waiting = None
        watcher.deleteLater()
        arguments = reply.arguments()
        if reply.type() == QDBusMessage.MessageType.ErrorMessage or not arguments:
            self._not_there(reply.errorMessage())
        elif self._wanted:
            self._lock = arguments[0]

    def _not_there(self, why: str) -> None:
        if not self._told:
            self._told = True
            _log.info("the computer may go to sleep while recording: %s", why)
