"""What stands beside the reading while something plays by itself and has no part yet."""

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QVBoxLayout, QWidget

from benchmeter.gui.palette import current_look
from benchmeter.gui.text import label

__all__ = ["PlayNote"]


class PlayNote(QWidget):
    """Says that nothing is to be typed now, and why."""

    def __init__(self, title: str, lines: Sequence[str], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(current_look().gap)
        rows.setAlignment(Qt.AlignmentFlag.AlignTop)
        rows.addWidget(label(title, size="title"))
        for line in lines:
            rows.addWidget(label(line))
