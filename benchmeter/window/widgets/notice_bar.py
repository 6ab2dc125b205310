"""The one bar for notices: what happened, what it means for the record, what to do."""

from datetime import datetime

from PySide6.QtCore import QEvent, QSize, Qt, QTimer, Signal, Slot
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QSizePolicy, QWidget

from benchmeter.scenes.notice_scene import CountedNotice
from benchmeter.session.outcome import Severity
from benchmeter.window.theme.icons import icon
from benchmeter.window.theme.labels import restyle
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.keys import KeyButton
from benchmeter.words.notice_words import ToldNotice

__all__ = ["NoticeBar"]

_ICON = {Severity.INFO: "notice", Severity.WARNING: "warning", Severity.ERROR: "warning"}
_TONE = {Severity.INFO: "accent", Severity.WARNING: "caution", Severity.ERROR: "bad"}
_RANK = {Severity.INFO: 0, Severity.WARNING: 1, Severity.ERROR: 2}
_INFO_MS = 8000
_KEPT = 500  # notices in the history


class NoticeBar(QFrame):
    """Shows the gravest notice that has not been dismissed, the newest of these first.

    Never modal, hidden when there is nothing to say. What only informs goes by itself; it stays
    in the history.

    Signals:
        changed: what is open has changed.
        history_changed: the history, after something was added to it.
    """

    changed = Signal()
    history_changed = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(self.tr("widgets.notice"))
        self._open: dict[ToldNotice, int] = {}  # in the order of their last coming
        self._history: dict[ToldNotice, CountedNotice] = {}
        self._icon = QLabel(self)
        self._text = QLabel(self)
        self._text.setWordWrap(True)
        self._text.setTextFormat(Qt.TextFormat.PlainText)
        self._text.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._text.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self.passing = QTimer(self, interval=_INFO_MS, singleShot=True)
        self.passing.timeout.connect(self.pass_infos)
        self.dismiss_button = KeyButton(self.tr("widgets.dismiss"), "F8", self)
        self.dismiss_button.clicked.connect(self.dismiss)
        row = QHBoxLayout(self)
        row.addWidget(self._icon, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self._text, 1)
        row.addWidget(self.dismiss_button, 0, Qt.AlignmentFlag.AlignTop)
        self._show()

    @Slot(object)
    def add(self, notice: ToldNotice) -> None:
        """Show a notice; the same again is counted."""
        self._open[notice] = self._open.pop(notice, 0) + 1
        before = self._history.pop(notice, None)
        count = before.count + 1 if before is not None else 1
        self._history[notice] = CountedNotice(notice, count, datetime.now().astimezone())
        while len(self._history) > max(_KEPT, len(self._open)):
            del self._history[next(n for n in self._history if n not in self._open)]
        self._show()
        self.history_changed.emit(self.history())

    @Slot()
    def dismiss(self) -> None:
        """Put the notice that is shown away; the next one follows. It stays in the history."""
        shown = self.shown()
        if shown is not None:
            del self._open[shown.notice]
            self._show()

    @Slot()
    def pass_infos(self) -> None:
        """Put away what only informs."""
        while (shown := self.shown()) and shown.notice.severity is Severity.INFO:
            self.dismiss()

    def shown(self) -> CountedNotice | None:
        """What the bar shows."""
        if not self._open:
            return None
        notice = max(reversed(self._open), key=lambda n: _RANK[n.severity])
        return CountedNotice(notice, self._open[notice], self._history[notice].at)

    def history(self) -> tuple[CountedNotice, ...]:
        """Every notice of this window, the latest first."""
        return tuple(reversed(self._history.values()))

    def changeEvent(self, event: QEvent) -> None:
        if event.type() == QEvent.Type.StyleChange:
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
            title = self.tr("widgets.dismiss") if not more else self.tr("widgets.next_more")
            self.dismiss_button.set_title(title.format(more=more))
            if shown.notice.severity is Severity.INFO:
                self.passing.start()
        self._dress()
        self.setVisible(shown is not None)
        self.changed.emit()

    def _dress(self) -> None:
        shown = self.shown()
        if shown is None:
            return
        look = current_theme()
        tone = _TONE[shown.notice.severity]
        side = look.px(28)
        self._icon.setPixmap(
            icon(
                _ICON[shown.notice.severity], look.colour(tone), side, self.devicePixelRatio()
            ).pixmap(QSize(side, side), self.devicePixelRatio())
        )
        restyle(self, "tone", tone)
        layout = self.layout()
        if layout is not None:
            layout.setContentsMargins(look.gap, look.px(8), look.gap, look.px(8))
            layout.setSpacing(look.gap)
