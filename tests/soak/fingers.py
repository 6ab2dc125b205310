"""Presses keys and clicks widgets of a window, where the focus and the pointer really are."""

from collections.abc import Iterator
from random import Random

from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QKeySequence, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QComboBox, QLineEdit, QWidget

__all__ = ["Fingers", "Pauses"]

Pauses = Iterator[float]
"""Something that a person does, one thing after another: yields the seconds in between."""

_TYPING_S = (0.04, 0.16)


class Fingers:
    """What hands can do at a keyboard and with a mouse.

    Attributes:
        presses: keys and clicks until now.
        clicked: words of the button that was clicked without a plan; "" if none was.
    """

    def __init__(self, window: QWidget, chance: Random) -> None:
        self.window = window
        self.chance = chance
        self.presses = 0
        self.clicked = ""

    def press(self, keys: str) -> None:
        """Press a key, as QKeySequence reads it, where the focus is."""
        combination = QKeySequence(keys)[0]
        self.presses += 1
        QTest.keyClick(self._focus(), combination.key(), combination.keyboardModifiers())

    def write(self, text: str) -> Pauses:
        """Type a text, key by key."""
        for sign in text:
            self.presses += 1
            QTest.keyClicks(self._focus(), sign)
            yield self.chance.uniform(*_TYPING_S)

    def write_instead(self, text: str) -> Pauses:
        """Type a text over the one that stands in the field."""
        self.press("Ctrl+A")
        yield self.chance.uniform(*_TYPING_S)
        yield from self.write(text)

    def click(self, widget: QWidget) -> bool:
        """Click the middle of what is to be seen of a widget; whether there is anything."""
        seen = widget.visibleRegion().boundingRect()
        if not widget.isVisible() or not widget.isEnabled() or seen.isEmpty():
            return False
        self.presses += 1
        QTest.mouseClick(widget, Qt.MouseButton.LeftButton, pos=seen.center())
        return True

    def click_something(self) -> None:
        """Click any button that is to be seen."""
        buttons = [
            button
            for button in self.window.findChildren(QAbstractButton)
            if button.isEnabled() and not button.visibleRegion().isEmpty()
        ]
        if buttons:
            button = self.chance.choice(buttons)
            self.clicked = " ".join((button.accessibleName() or button.text()).split())
            self.click(button)

    def turn_wheel(self) -> None:
        """Turn the wheel somewhere in the window."""
        where = QPoint(
            self.chance.randrange(self.window.width()), self.chance.randrange(self.window.height())
        )
        under = self.window.childAt(where) or self.window
        at = QPointF(under.mapFrom(self.window, where))
        event = QWheelEvent(
            at,
            QPointF(self.window.mapToGlobal(where)),
            QPoint(),
            QPoint(0, self.chance.choice((-120, 120))),
            Qt.MouseButton.NoButton,
            Qt.KeyboardModifier.NoModifier,
            Qt.ScrollPhase.NoScrollPhase,
            False,
        )
        self.presses += 1
        QApplication.sendEvent(under, event)

    def choose(self, box: QComboBox) -> Pauses:
        """Choose another line of a box by mouse and keys."""
        if not self.click(box):
            return
        yield self.chance.uniform(0.2, 0.6)
        for _ in range(self.chance.randint(1, 3)):
            self.press(self.chance.choice(("Down", "Up")))
            yield self.chance.uniform(0.1, 0.3)
        self.press("Return")

    def typing(self) -> bool:
        """Whether a letter would go into a text now."""
        return isinstance(QApplication.focusWidget(), QLineEdit)

    def _focus(self) -> QWidget:
        focus = QApplication.focusWidget() or QApplication.activePopupWidget()
        if focus is None:
            self.window.activateWindow()
        return focus or self.window.focusWidget() or self.window
