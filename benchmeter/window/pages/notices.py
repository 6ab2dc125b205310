"""The notices since the window was opened: what was said, how often, when last."""

from collections.abc import Sequence

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QWidget

from benchmeter.scenes.notice_scene import CountedNotice, NoticesScene, notices_scene
from benchmeter.window.control.session_controller import SessionController
from benchmeter.window.pages.page import Page
from benchmeter.window.theme.labels import label
from benchmeter.window.widgets.line_list import LineList

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
        self.show_scene(notices_scene(history, self.controller.seen().presentation))

    def show_scene(self, scene: NoticesScene) -> None:
        """Draw it; the line that is read stays chosen."""
        self.list.show_lines(scene.lines)
        self.about.setText(scene.about)
        self.say_next(scene.next_step)

    def entered(self) -> None:
        self.list.setFocus()
