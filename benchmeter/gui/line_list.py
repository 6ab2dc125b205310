"""A list of lines that is content with little room and takes what there is."""

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QListWidget, QSizePolicy, QWidget

from benchmeter.gui.palette import current_look

__all__ = ["LineList"]


class LineList(QListWidget):
    """Wraps its lines; scrolls from top to bottom only.

    Args:
        height: that it needs at least, px at 100 %.
    """

    def __init__(self, height: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._height = height
        self.setWordWrap(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        policy = QSizePolicy.Policy
        self.setSizePolicy(policy.Expanding, policy.Expanding)

    def sizeHint(self) -> QSize:
        look = current_look()
        return QSize(look.px(200), look.px(self._height))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()
