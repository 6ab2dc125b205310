"""Everything that nobody should ever see: exceptions, warnings, what Qt complains about."""

import logging
import sys
import threading
import traceback
import warnings
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import TracebackType
from typing import Any

from PySide6.QtCore import QMessageLogContext, QtMsgType, qInstallMessageHandler

__all__ = ["Faults"]

_QUIET = (QtMsgType.QtDebugMsg, QtMsgType.QtInfoMsg)


class Faults(logging.Handler):
    """Listens wherever a fault can come out.

    Attributes:
        told: each fault with what the person was doing when it first came, and how often it came.
    """

    def __init__(self, doing: Callable[[], tuple[str, float]]) -> None:
        super().__init__(logging.ERROR)
        self.told: Counter[str] = Counter()
        self._first: dict[str, str] = {}
        self._doing = doing

    @contextmanager
    def heard(self) -> Iterator[None]:
        """Listen until the end of the block."""
        before = sys.excepthook, sys.unraisablehook, threading.excepthook
        sys.excepthook = self._raised
        sys.unraisablehook = lambda args: self._raised(
            args.exc_type, args.exc_value, args.exc_traceback
        )
        threading.excepthook = lambda args: self._raised(
            args.exc_type, args.exc_value, args.exc_traceback
        )
        qt_before = qInstallMessageHandler(self._said_by_qt)
        logging.getLogger().addHandler(self)
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("default")
                warnings.showwarning = self._warned  # type: ignore[assignment]
                yield
        finally:
            logging.getLogger().removeHandler(self)
            qInstallMessageHandler(qt_before)
            sys.excepthook, sys.unraisablehook, threading.excepthook = before

    def note(self, text: str) -> None:
        """A fault has come out."""
        key = self._first.setdefault(text, f"while “{self._doing()[0]}”: {text}")
        self.told[key] += 1

    def emit(self, record: logging.LogRecord) -> None:
        """What the program logs as an error is a fault of the program."""
        said = record.exc_info
        self.note(f"logged: {record.getMessage()}" + (f"\n{_trace(*said)}" if said else ""))

    def _raised(
        self,
        kind: type[BaseException] | None,
        fault: BaseException | None,
        where: TracebackType | None,
    ) -> None:
        self.note(_trace(kind, fault, where))

    def _warned(
        self, message: Warning | str, category: type[Warning], path: str, line: int, *_: Any
    ) -> None:
        self.note(f"{category.__name__} at {path}:{line}: {message}")

    def _said_by_qt(self, kind: QtMsgType, _where: QMessageLogContext, text: str | None) -> None:
        if kind not in _QUIET:
            self.note(f"Qt: {text}")


def _trace(*fault: Any) -> str:
    return "".join(traceback.format_exception(*fault)).strip()
