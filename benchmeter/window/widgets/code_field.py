"""A field for own numbers: typed, counted on, or scanned."""

from PySide6.QtCore import QMimeData, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLineEdit, QWidget

__all__ = ["CodeField", "readable"]

_ENDS = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_CONFIRMS = (Qt.Key.Key_Space, Qt.Key.Key_PageDown)


def readable(code: str) -> str:
    """The code without what cannot be seen: group separators and the like of two-dimensional codes.

    Nothing else is changed; the order of what is left is kept.
    """
    return "".join(sign for sign in code if sign.isprintable()).strip()


class CodeField(QLineEdit):
    """Takes a code as a scanner types it: fast, ended by Return or Tab, control characters within.

    What stands there untouched is confirmed by Space or a foot switch as well.

    Signals:
        entered: the code, without what cannot be seen.
        left_out: how many signs of it could not be seen.
    """

    entered = Signal(str)
    left_out = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._left_out = 0

    def offer(self, code: str) -> None:
        """Put a code there that the next one replaces."""
        self.setText(code)
        self.setModified(False)
        self.selectAll()
        self._left_out = 0

    def focusNextPrevChild(self, forward: bool) -> bool:
        """Tab ends a code that was scanned; otherwise it goes on to the next field.

        Here and not in event(): that would take every event of the field through Python.
        """
        if forward and self.isModified():
            self.confirm()
            return True
        return super().focusNextPrevChild(forward)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in _ENDS or (event.key() in _CONFIRMS and not self.isModified()):
            self.confirm()
        elif _is_control(event):
            self._left_out += 1
        else:
            super().keyPressEvent(event)

    def insertFromMimeData(self, source: QMimeData) -> None:
        text = source.text()
        self._left_out += sum(not sign.isprintable() for sign in text)
        self.insert(readable(text))

    def confirm(self) -> None:
        """Take what stands there."""
        code = readable(self.text())
        if not code:
            return
        left_out, self._left_out = self._left_out, 0
        if left_out:
            self.left_out.emit(left_out)
        self.entered.emit(code)


def _is_control(event: QKeyEvent) -> bool:
    """Whether it is one of the separators that scanners send as Ctrl with a sign.

    No shortcut of the window is one of them.
    """
    text = event.text()
    return len(text) == 1 and text in "\x1c\x1d\x1e\x1f\x04"
