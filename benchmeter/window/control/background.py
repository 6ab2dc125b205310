"""One worker for everything that can wait: store, ports, stopping, reports."""

import logging
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import TYPE_CHECKING, Any, TypeVar

from PySide6.QtCore import QObject, Qt, Signal, Slot

from benchmeter.errors import Message, WorldError
from benchmeter.words.presentation import Presentation

if TYPE_CHECKING:
    from benchmeter.words.notice_words import ToldNotice

__all__ = ["Background", "notice_of"]

_log = logging.getLogger(__name__)
_T = TypeVar("_T")


class Background(QObject):
    """Runs work on its one thread, in order, and brings each result to the GUI thread."""

    _finished = Signal(int, object, object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._worker = ThreadPoolExecutor(1, thread_name_prefix="benchmeter-work")
        self._open: dict[int, tuple[Callable[[Any], None], Callable[[Exception], None]]] = {}
        self._count = 0
        self._shut = False
        self._finished.connect(self._hand_over, Qt.ConnectionType.QueuedConnection)

    def run(
        self,
        work: Callable[[], _T],
        then: Callable[[_T], None],
        failed: Callable[[Exception], None],
    ) -> None:
        """Do `work` on the worker; then `then(result)` or `failed(fault)` on the GUI thread.

        Once it is shut nothing is begun any more.
        """
        if self._shut:
            return
        self._count += 1
        number = self._count
        self._open[number] = (then, failed)
        self._worker.submit(self._do, number, work)

    def idle(self) -> bool:
        """Whether nothing is under way."""
        return not self._open

    def shut(self, last: Callable[[], None]) -> None:
        """Do `last`, wait for it, and end the worker. Results still open are dropped."""
        self._shut = True
        self._open.clear()
        future = self._worker.submit(last)
        self._worker.shutdown(wait=True)
        if (fault := future.exception()) is not None:
            _log.error("while closing", exc_info=fault)

    def _do(self, number: int, work: Callable[[], object]) -> None:
        try:
            self._finished.emit(number, work(), None)
        except Exception as fault:  # noqa: BLE001 - handed to the caller, whatever it is
            self._finished.emit(number, None, fault)

    @Slot(int, object, object)
    def _hand_over(self, number: int, result: object, fault: Exception | None) -> None:
        if (callbacks := self._open.pop(number, None)) is None:
            return
        then, failed = callbacks
        if fault is None:
            then(result)
        else:
            failed(fault)


def notice_of(fault: Exception, presentation: Presentation) -> "ToldNotice":
    """What the user should know of a fault; one of ours goes to the log whole."""
    from benchmeter.session.outcome import Severity
    from benchmeter.words.notice_words import ToldNotice

    if isinstance(fault, WorldError):
        if fault.detail:
            _log.warning("%s (%s)", fault, fault.detail)
        told = presentation.tell(fault)
    else:
        _log.error("a fault of ours", exc_info=fault)
        told = presentation.tell(Message("window.own_fault"))
    return ToldNotice(Severity.ERROR, told.text, told.advice)
