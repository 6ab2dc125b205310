"""The way from the measuring chain's thread on to the GUI thread."""

from collections import deque
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal, Slot

if TYPE_CHECKING:
    from benchmeter.chain.outcome import Outcome

__all__ = ["FRAME_MS", "OutcomeRelay"]

FRAME_MS = 50
_BATCH = 1500  # a frame; folding more at once would hold up the keys


class OutcomeRelay(QObject):
    """Gathers what a session publishes and hands it over in batches, about 20 a second.

    One relay a session, so that nothing late of one session reaches the view of the next.

    Signals:
        batch: a list of Outcome, oldest first, never empty.
    """

    batch = Signal(list)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._waiting: deque[Outcome] = deque()
        self._timer = QTimer(self, interval=FRAME_MS)
        self._timer.timeout.connect(self.drain)

    def publish(self, outcome: "Outcome") -> None:
        """Any thread; never waits."""
        self._waiting.append(outcome)

    def start(self) -> None:
        """Begin to hand over. GUI thread only."""
        self._timer.start()

    def stop(self) -> None:
        """Hand over what is left, then no more. GUI thread only."""
        self._timer.stop()
        while self._waiting:
            self._hand_over()

    @Slot()
    def drain(self) -> None:
        """Hand over what has come by now, as far as one frame allows. GUI thread only."""
        if self._waiting:
            self._hand_over()

    def _hand_over(self) -> None:
        count = min(len(self._waiting), _BATCH)
        self.batch.emit([self._waiting.popleft() for _ in range(count)])
