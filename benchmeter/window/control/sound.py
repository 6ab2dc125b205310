"""Three rhythms: good, bad, look at me. Told apart by their beat, not by their pitch."""

from enum import Enum
from itertools import pairwise
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal, Slot
from PySide6.QtWidgets import QApplication

from benchmeter.checking.part_check import PartCheck, Step
from benchmeter.checking.safety import PartSafety, SafetyReason
from benchmeter.conformity.verdict import Verdict

if TYPE_CHECKING:
    from benchmeter.window.control.session_model import BenchView, Changes

__all__ = ["Rhythm", "SessionSounds", "Sound", "found_charged", "needs_hands", "rhythm_of"]

_HANDS = (
    Step.MAKE_SAFE,
    Step.LIFT_LEADS,
    Step.LOOKS_LIKE_OTHER_SECTION,
    Step.UNLIKELY,
    Step.SET_FUNCTION,
    Step.OVERLOAD,
    Step.METER_SILENT,
    Step.TYPE_IT,
)


class Rhythm(Enum):
    """When the beeps come, in ms from the beginning."""

    GOOD = (0, 180)
    BAD = (0, 600, 1200)
    LOOK = (0,)


def rhythm_of(word: Verdict) -> Rhythm:
    """How a verdict sounds."""
    if word in (Verdict.PASS, Verdict.CONDITIONAL_PASS):
        return Rhythm.GOOD
    if word in (Verdict.UNDECIDABLE, Verdict.MEASURED, Verdict.NO_READING):
        return Rhythm.LOOK
    return Rhythm.BAD


def needs_hands(before: PartCheck | None, after: PartCheck) -> bool:
    """Whether the check has just come to where it goes on only when hands do something.

    A section that has been taken while another is missing counts: the leads are to be moved.
    That nothing is between the leads does not: it is so each time they are lifted.
    """
    if before is None or before.number != after.number:
        return False
    taken = sum(len(s.taken) for s in after.sections) > sum(len(s.taken) for s in before.sections)
    if taken:
        return after.verdict is None
    return after.step is not before.step and after.step in _HANDS


def found_charged(before: PartSafety, after: PartSafety) -> bool:
    """Whether volts have just been found at the part that must not be touched."""
    charged = SafetyReason.CHARGED
    return after.reason is charged and before.reason is not charged


class Sound(QObject):
    """Plays one rhythm at a time; a new one takes the place of the old.

    Signals:
        began: a Rhythm that is heard from now on.
    """

    began = Signal(object)

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
        self.began.emit(rhythm)
        self._beat_now()

    @Slot()
    def _beat(self) -> None:
        self._beat_now()

    def _beat_now(self) -> None:
        QApplication.beep()
        if self._left:
            self._timer.start(self._left.pop(0))


class SessionSounds(Sound):
    """A verdict is heard, and that hands are needed."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._check: PartCheck | None = None
        self._safety = PartSafety()

    def hear(self, changes: "Changes", view: "BenchView | None", *, silent: bool) -> None:
        """Follow what has changed.

        Args:
            silent: a replay, of which nothing is heard.
        """
        before, self._check = self._check, view.check if view is not None else None
        safety = self._safety
        self._safety = view.safety if view is not None else PartSafety()
        if silent or changes.restarted:
            return
        judged = [check.verdict for check in changes.judged if check.verdict is not None]
        if judged:
            self.play(rhythm_of(judged[-1].verdict))
            return
        moved = changes.check and self._check is not None and needs_hands(before, self._check)
        if moved or found_charged(safety, self._safety):
            self.look()

    def look(self) -> None:
        """Somebody is to look at the screen."""
        self.play(Rhythm.LOOK)
