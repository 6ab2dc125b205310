"""The one bar for notices: what happened, what it means for the record, what to do."""

from dataclasses import dataclass

from PySide6.QtCore import QEvent, QSize, Qt, Signal, Slot
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QSizePolicy, QWidget

from benchmeter.chain.outcome import Notice, Severity
from benchmeter.gui.icons import icon
from benchmeter.gui.palette import current_look

__all__ = ["CountedNotice", "NoticeBar"]

_ICON = {Severity.INFO: "notice", Severity.WARNING: "warning", Severity.ERROR: "warning"}
_TONE = {Severity.INFO: "accent", Severity.WARNING: "caution", Severity.ERROR: "bad"}
_RANK = {Severity.INFO: 0, Severity.WARNING: 1, Severity.ERROR: 2}
_KEPT = 500  # notices in the history


@dataclass(frozen=True, slots=True)
class CountedNotice:
    """A notice and how often it came."""

    notice: Notice
    count: int


class NoticeBar(QFrame):
    """Shows the gravest notice that has not been dismissed, the newest of these first.

    Never modal, hidden when there is nothing to say.

    Signals:
        changed: what is open, or the history, has changed.
    """

    changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(self.tr("Notice"))
        self._open: dict[Notice, int] = {}  # in the order of their last coming
        self._history: dict[Notice, int] = {}
        self._icon = QLabel(self)
        self._text = QLabel(self)
        self._text.setWordWrap(True)
        self._text.setTextFormat(Qt.TextFormat.PlainText)
        self._text.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._text.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self._dismiss = QPushButton(self)
        self._dismiss.clicked.connect(self.dismiss)
        row = QHBoxLayout(self)
        row.addWidget(self._icon, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self._text, 1)
        row.addWidget(self._dismiss, 0, Qt.AlignmentFlag.AlignTop)
        self._show()

    @Slot(object)
    def add(self, notice: Notice) -> None:
        """Show a notice; the same again is counted."""
        self._open[notice] = self._open.pop(notice, 0) + 1
        self._history[notice] = self._history.pop(notice, 0) + 1
        while len(self._history) > _KEPT:
            del self._history[next(iter(self._history))]
        self._show()

    @Slot()
    def dismiss(self) -> None:
        """Put the notice that is shown away; the next one follows. It stays in the history."""
        shown = self.shown()
        if shown is not None:
            del self._open[shown.notice]
            self._show()

    def shown(self) -> CountedNotice | None:
        """What the bar shows."""
        if not self._open:
            return None
        notice = max(reversed(self._open), key=lambda n: _RANK[n.severity])
        return CountedNotice(notice, self._open[notice])

    def history(self) -> tuple[CountedNotice, ...]:
        """Every notice of this window, the latest first."""
        return tuple(CountedNotice(n, c) for n, c in reversed(self._history.items()))

    def changeEvent(self, event: QEvent) -> None:
        if event.type() in (QEvent.Type.PaletteChange, QEvent.Type.FontChange):
            self._dress()
        super().changeEvent(event)

    def _show(self) -> None:
        shown = self.shown()
        if shown is not None:
            times = f" (×{shown.count})" if shown.count > 1 else ""
            text = f"{shown.notice.text}{times}"
            if shown.notice.advice:
                text += f"\n{shown.notice.advice}"
            self._text.setText(text)
            self.setAccessibleDescription(text)
            more = len(self._open) - 1
            label = self.tr("Dismiss") if not more else self.tr("Next ({more})")
            self._dismiss.setText(label.format(more=more))
            self._dismiss.setAccessibleName(self.tr("Dismiss this notice"))
        self._dress()
        self.setVisible(shown is not None)
        self.changed.emit()

    def _dress(self) -> None:
        shown = self.shown()
        if shown is None:
            return
        look = current_look()
        tone = _TONE[shown.notice.severity]
        side = look.px(28)
        self._icon.setPixmap(
            icon(
                _ICON[shown.notice.severity], look.colour(tone), side, self.devicePixelRatio()
            ).pixmap(QSize(side, side), self.devicePixelRatio())
        )
        sheet = (
            f"NoticeBar {{ background: {look.palette.panel}; "
            f"border-left: {look.px(8)}px solid {look.colour(tone).name()}; }}"
        )
        if sheet != self.styleSheet():
            self.setStyleSheet(sheet)
        layout = self.layout()
        if layout is not None:
            layout.setContentsMargins(look.gap, look.px(8), look.gap, look.px(8))
            layout.setSpacing(look.gap)
