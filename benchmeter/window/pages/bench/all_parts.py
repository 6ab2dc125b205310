"""All parts of a carton, or of a session, together."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from benchmeter.window.pages.bench.lot_view import LotView
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.keys import KeyButton

__all__ = ["AllParts"]


class AllParts(QWidget):
    """The statistics, and the way back to the part in hand.

    Signals:
        back: the part in hand is wanted again.
    """

    back = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(current_theme().gap)
        self.view = LotView(self)
        rows.addWidget(self.view, 1)
        button = KeyButton(self.tr("page_bench.back_part"), "Esc", self, primary=True)
        button.clicked.connect(self.back)
        rows.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
