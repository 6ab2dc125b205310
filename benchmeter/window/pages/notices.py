"""The notices since the window was opened: what was said, how often, when last."""

from collections.abc import Sequence

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QWidget

from benchmeter.session.outcome import Severity
from benchmeter.window.control.session_controller import SessionController
from benchmeter.window.pages.page import Page
from benchmeter.window.theme.labels import label
from benchmeter.window.widgets.line_list import LineList
from benchmeter.window.widgets.notice_bar import CountedNotice

__all__ = ["NoticesPage"]


class NoticesPage(Page):
    """A list, the latest first; what has been dismissed from the bar is still here."""

    def __init__(self, controller: SessionController, parent: QWidget | None = None) -> None:
        super().__init__(controller, parent)
        self.rows.addWidget(label(self.tr("What has been noticed?"), size="title"))
        self.about = label(tone="faint")
        self.rows.addWidget(self.about)
        self.list = LineList(160, self)
        self.list.setAccessibleName(self.tr("Notices, the latest first"))
        self.rows.addWidget(self.list, 1)
        self.show_notices(())

    @Slot(object)
    def show_notices(self, history: Sequence[CountedNotice]) -> None:
        """Show these, the latest first."""
        lines = [self._line(counted) for counted in history]
        if lines != [self.list.item(row).text() for row in range(self.list.count())]:
            row = max(self.list.currentRow(), 0)
            self.list.clear()
            self.list.addItems(lines)
            self.list.setCurrentRow(min(row, len(lines) - 1))
        if lines:
            self.about.setText(self.tr("Since benchmeter was opened, the latest first."))
            self.say_next(self.tr("Read what happened and what to do; nothing here is lost"))
        else:
            self.about.setText(self.tr("Nothing has been noticed since benchmeter was opened."))
            self.say_next(self.tr("All is well; go on at the bench (F1)"))

    def _line(self, counted: CountedNotice) -> str:
        word = {
            Severity.INFO: self.tr("for information"),
            Severity.WARNING: self.tr("warning"),
            Severity.ERROR: self.tr("to do"),
        }[counted.notice.severity]
        times = f"  ×{counted.count}" if counted.count > 1 else ""
        said = f"{counted.notice.text} {counted.notice.advice}".strip()
        return f"{counted.at.strftime('%H:%M:%S')}  ·  {word}{times}  ·  {said}"

    def entered(self) -> None:
        self.list.setFocus()
