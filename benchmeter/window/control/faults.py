"""Faults of ours that nobody caught: into the log, and on to the bar, while measuring goes on."""

import logging
import sys
import threading
from types import TracebackType

from PySide6.QtCore import (
    QMessageLogContext,
    QObject,
    Qt,
    QtMsgType,
    Signal,
    Slot,
    qInstallMessageHandler,
)

from benchmeter.errors import Message
from benchmeter.session.outcome import Severity
from benchmeter.window.control.session_controller import SessionController

__all__ = ["FaultWatch"]

_log = logging.getLogger(__name__)
_qt_log = logging.getLogger("benchmeter.qt")
_LEVELS = {
    QtMsgType.QtDebugMsg: logging.DEBUG,
    QtMsgType.QtInfoMsg: logging.INFO,
    QtMsgType.QtWarningMsg: logging.WARNING,
    QtMsgType.QtCriticalMsg: logging.ERROR,
    QtMsgType.QtFatalMsg: logging.CRITICAL,
}


class FaultWatch(QObject):
    """Hears what Python and Qt would tell a terminal that nobody looks at.

    PySide hands an exception of a slot to `sys.excepthook`; a thread's goes to
    `threading.excepthook`. The measuring threads are not touched: the record goes on.

    Args:
        controller: tells the person; knows whether something is being recorded.
    """

    _fault = Signal()

    def __init__(self, controller: SessionController) -> None:
        super().__init__(controller)
        self._controller = controller
        self._fault.connect(self._tell, Qt.ConnectionType.QueuedConnection)

    def install(self) -> None:
        """Take the three hooks, for as long as the process runs."""
        sys.excepthook = self._uncaught
        threading.excepthook = self._uncaught_in_thread
        qInstallMessageHandler(self._qt_message)

    def _uncaught(
        self,
        kind: type[BaseException],
        fault: BaseException,
        trace: TracebackType | None,
    ) -> None:
        """Any thread."""
        if not issubclass(kind, Exception):  # Ctrl+C, and the end of the program
            sys.__excepthook__(kind, fault, trace)
            return
        _log.error("uncaught", exc_info=(kind, fault, trace))
        self._fault.emit()

    def _uncaught_in_thread(self, args: threading.ExceptHookArgs) -> None:
        session = self._controller.session
        told = session is not None and session.failure is args.exc_value
        fault = args.exc_value or args.exc_type()
        if told:  # by the session itself, which says that measuring has stopped
            _log.error("uncaught", exc_info=(args.exc_type, fault, args.exc_traceback))
        else:
            self._uncaught(args.exc_type, fault, args.exc_traceback)

    def _qt_message(self, kind: QtMsgType, context: QMessageLogContext, text: str) -> None:
        level = _LEVELS.get(kind, logging.WARNING)
        _qt_log.log(level, "%s (%s)", text, context.category)
        if level >= logging.ERROR:
            self._fault.emit()

    @Slot()
    def _tell(self) -> None:
        going_on, alone = Message("window.fault_while_recording"), Message("window.fault")
        self._controller.tell(going_on if self._controller.recording else alone, Severity.ERROR)
