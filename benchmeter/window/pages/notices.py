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
        self.rows.addWidget(label(self.tr("page_notices.what_has_been_noticed"), size="title"))
        self.about = label(tone="faint")
        self.rows.addWidget(self.about)
        self.list = LineList(160, self)
        self.list.setAccessibleName(self.tr("page_notices.notices_latest_first"))
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
            self.about.setText(self.tr("page_notices.since_benchmeter_was_opened"))
            self.say_next(self.tr("page_notices.read_what_happened_what"))
        else:
            self.about.setText(self.tr("page_notices.nothing_has_been_noticed"))
            self.say_next(self.tr("page_notices.all_well_go_at"))

    def _line(self, counted: CountedNotice) -> str:
        word = {
            Severity.INFO: self.tr("page_notices.information"),
            Severity.WARNING: self.tr("page_notices.warning"),
            Severity.ERROR: self.tr("page_notices.do"),
        }[counted.notice.severity]
        times = f"  ×{counted.count}" if counted.count > 1 else ""
        said = f"{counted.notice.text} {counted.notice.advice}".strip()
        return f"{counted.at.strftime('%H:%M:%S')}  ·  {word}{times}  ·  {said}"

    def entered(self) -> None:
        self.list.setFocus()
