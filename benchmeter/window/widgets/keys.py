"""Buttons that show their key and are pressed by it."""

from PySide6.QtCore import QRect, QSize, Qt, Slot
from PySide6.QtGui import (
    QFont,
    QFontMetrics,
    QKeyEvent,
    QKeySequence,
    QPainter,
    QPaintEvent,
    QPen,
    QShortcut,
)
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QComboBox,
    QPushButton,
    QSizePolicy,
    QWidget,
)

from benchmeter.scenes.offer import Offer
from benchmeter.window.theme.labels import restyle
from benchmeter.window.theme.palette import Theme, current_theme

__all__ = ["KeyButton"]

_ARROWS = {"Left": "←", "Right": "→", "Up": "↑", "Down": "↓"}
_SPACE = QKeySequence(Qt.Key.Key_Space)
_CONFIRM = (_SPACE, QKeySequence(Qt.Key.Key_Return))


class KeyButton(QPushButton):
    """A button with its key drawn on it. The key works wherever the button is to be seen.

    While a text is being typed, a key that makes a letter goes into the text, not to the button.

    Args:
        title: what it does, translated.
        key: as QKeySequence reads it: "Space", "R", "F1".
        primary: the one thing to press next.
        stacked: the key below the title.
        within: the key works only while the focus is inside this widget.
    """

    def __init__(
        self,
        title: str,
        key: str,
        parent: QWidget | None = None,
        *,
        primary: bool = False,
        stacked: bool = False,
        within: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.key = QKeySequence(key)
        self._key_text = _shown(self.key)
        self._title = title
        self._stacked = stacked
        self._primary = primary
        self.setProperty("primary", "true" if primary else "false")
        self.setAccessibleName(title)
        self.setAccessibleDescription(self._key_text)
        policy = QSizePolicy.Policy
        self.setSizePolicy(policy.Expanding if stacked else policy.Preferred, policy.Fixed)
        # A click must not take the focus: the next Space belongs to the reading.
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self._shortcut = QShortcut(self.key, within or self)
        if within is not None:
            self._shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        self._shortcut.setAutoRepeat(False)
        self._shortcut.activated.connect(self._key_pressed)

    def title(self) -> str:
        return self._title

    def set_title(self, title: str) -> None:
        """Change what it says it does."""
        if title != self._title:
            self._title = title
            self.setAccessibleName(title)
            self.updateGeometry()
            self.update()

    def set_primary(self, primary: bool) -> None:
        """Whether it is the one thing to press next."""
        if primary != self._primary:
            self._primary = primary
            restyle(self, "primary", "true" if primary else "false")
            self.updateGeometry()
            self.update()

    def show_offer(self, offer: Offer) -> None:
        """Be what a scene offers; why it cannot be done now is told to a screen reader."""
        self.set_title(offer.title)
        self.set_primary(offer.primary)
        self.setEnabled(offer.enabled)
        self.setAccessibleDescription(f"{self._key_text} {offer.why_not}".strip())
        self.setVisible(offer.shown)

    def sizeHint(self) -> QSize:
        look = current_theme()
        title, key = self._title_size(look), self._key_size(look)
        pad = look.px(12)
        if self._stacked:
            width = max(title.width(), key.width()) + 2 * pad
            height = title.height() + key.height() + look.px(18)
        else:
            width = title.width() + look.px(10) + key.width() + 2 * pad
            height = max(title.height(), key.height()) + look.px(12)
        return QSize(width, max(height, look.target))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        look = current_theme()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(look.colour(self._ink()), look.px(1)))
        title, key = self._title_size(look), self._key_size(look)
        if self._stacked:
            top = (self.height() - title.height() - key.height() - look.px(4)) // 2
            title_box = QRect(0, top, self.width(), title.height())
            key_box = QRect(
                (self.width() - key.width()) // 2,
                title_box.bottom() + look.px(4),
                key.width(),
                key.height(),
            )
        else:
            left = (self.width() - title.width() - look.px(10) - key.width()) // 2
            title_box = QRect(left, 0, title.width(), self.height())
            key_box = QRect(
                left + title.width() + look.px(10),
                (self.height() - key.height()) // 2,
                key.width(),
                key.height(),
            )
        painter.setFont(self._title_font(look))
        painter.drawText(title_box, Qt.AlignmentFlag.AlignCenter, self._title)
        painter.setFont(look.small)
        if self._key_text:
            painter.drawText(key_box, Qt.AlignmentFlag.AlignCenter, self._key_text)
            painter.drawRoundedRect(key_box.adjusted(0, 0, -1, -1), look.px(4), look.px(4))

    def _ink(self) -> str:
        if not self.isEnabled():
            return "faint_ink"
        lit = self._primary or self.isChecked() or self.isDown()
        return "on_accent" if lit else "ink"

    def _title_font(self, look: Theme) -> QFont:
        return look.bold(look.body) if self._primary else look.body

    def _title_size(self, look: Theme) -> QSize:
        lines = self._title.split("\n")
        metrics = QFontMetrics(self._title_font(look))
        width = max(metrics.horizontalAdvance(line) for line in lines)
        return QSize(width + look.px(2), metrics.lineSpacing() * len(lines))

    def _key_size(self, look: Theme) -> QSize:
        if not self._key_text:
            return QSize(0, 0)
        metrics = QFontMetrics(look.small)
        return QSize(
            metrics.horizontalAdvance(self._key_text) + look.px(12), metrics.height() + look.px(4)
        )

    @Slot()
    def _key_pressed(self) -> None:
        focus = QApplication.focusWidget()
        if not self.isVisible() or not self.isEnabled():
            return
        if self.key in _CONFIRM and focus is not self:
            # Who walked to a control with Tab means that control.
            if isinstance(focus, QAbstractButton):
                focus.click()
                return
            if self.key == _SPACE and isinstance(focus, QComboBox):
                focus.showPopup()
                return
            if self.key == _SPACE and isinstance(focus, QAbstractItemView):
                return
        self.click()


def _shown(key: QKeySequence) -> str:
    text = key.toString(QKeySequence.SequenceFormat.NativeText)
    for word, sign in _ARROWS.items():
        text = text.replace(word, sign)
    return text
