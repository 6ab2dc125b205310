"""An area that scrolls without a frame of its own."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QScrollArea, QWidget

__all__ = ["scroll_area"]


def scroll_area(content: QWidget) -> QScrollArea:
    """The content, as wide as there is room, scrolling where it is higher."""
    area = QScrollArea()
    area.setWidgetResizable(True)
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.setSizeAdjustPolicy(QScrollArea.SizeAdjustPolicy.AdjustIgnored)
    area.setWidget(content)
    return area
