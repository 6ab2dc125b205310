"""Three rhythms: good, bad, look at me. Told apart by their beat, not by their pitch."""

from enum import Enum
from itertools import pairwise

from PySide6.QtCore import QObject, QTimer, Slot
from PySide6.QtWidgets import QApplication

from benchmeter.conformity.verdict import Word

__all__ = ["Rhythm", "Sound", "rhythm_of"]


class Rhythm(Enum):
    """When the beeps come, in ms from the beginning."""

    GOOD = (0, 180)
    BAD = (0, 600, 1200)
    LOOK = (0,)


def rhythm_of(word: Word) -> Rhythm:
    """How a verdict sounds."""
    if word in (Word.PASS, Word.CONDITIONAL_PASS):
        return Rhythm.GOOD
    if word in (Word.UNDECIDABLE, Word.NO_READING):
        return Rhythm.LOOK
    return Rhythm.BAD


class Sound(QObject):
    """Plays one rhythm at a time; a new one takes the place of the old."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.on = True
        self._left: list[int] = []
        self._timer = QTimer(self, singleShot=True)
        self._timer.timeout.connect(self._beat)

    def play(self, rhythm: Rhythm) -> None:
        """Begin the rhythm now, if sound is on."""
        if not self.on:
            return
        times = rhythm.value
        self._left = [later - before for before, later in pairwise(times)]
        self._timer.stop()
        self._beat_now()

    @Slot()
    def _beat(self) -> None:
        self._beat_now()

    def _beat_now(self) -> None:
        QApplication.beep()
        if self._left:
            self._timer.start(self._left.pop(0))
