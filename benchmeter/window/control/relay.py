"""The way from the measuring chain's thread on to the GUI thread."""

import time
from collections import deque
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt, QTimer, Signal, Slot

if TYPE_CHECKING:
    from benchmeter.session.outcome import Outcome

__all__ = ["OutcomeRelay"]

_REST_MS = 5  # at least, between two batches: at most 200 a second, of half a millisecond each
_BATCH = 1500  # folding more at once would hold up the keys


class OutcomeRelay(QObject):
    """Gathers what a session publishes and hands it over as soon as the event loop is free.

    After a batch it rests for as long as that took, so that keys and plot have half of the time
    whatever comes. It calls the GUI thread at most once until that has answered.

    One relay a session, so that nothing late of one session reaches the view of the next.

    Signals:
        batch: a list of Outcome, oldest first, never empty.
    """

    batch = Signal(list)
    _called = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._waiting: deque[Outcome] = deque()
        self._open = False
        self._is_called = False
        self._called.connect(self._answer, Qt.ConnectionType.QueuedConnection)
        self._rest = QTimer(self, singleShot=True, timerType=Qt.TimerType.PreciseTimer)
        self._rest.timeout.connect(self.drain)

    def publish(self, outcome: "Outcome") -> None:
        """Any thread; never waits."""
        self._waiting.append(outcome)
        if self._open and not self._is_called:
            self._is_called = True
            self._called.emit()

    def start(self) -> None:
        """Begin to hand over. GUI thread only."""
        self._open = self._is_called = True
        self._called.emit()

    def stop(self) -> None:
        """Hand over what is left, then no more. GUI thread only."""
        self._open = False
        self._rest.stop()
        while self._waiting:
            self._hand_over()

    @Slot()
    def drain(self) -> None:
        """Hand over what has come by now, as far as one batch allows. GUI thread only."""
        # Before anything is taken: what comes from here on calls again.
        self._is_called = False
        if not self._open or not self._waiting:
            return
        begin = time.perf_counter()
        self._hand_over()
        self._rest.start(max(_REST_MS, round((time.perf_counter() - begin) * 1e3)))

    @Slot()
    def _answer(self) -> None:
        if not self._rest.isActive():  # else the end of the rest is the answer
            self.drain()

    def _hand_over(self) -> None:
        count = min(len(self._waiting), _BATCH)
        self.batch.emit([self._waiting.popleft() for _ in range(count)])
