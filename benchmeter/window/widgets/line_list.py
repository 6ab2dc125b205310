"""A list of lines that is content with little room and takes what there is."""

from collections.abc import Sequence

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QSizePolicy, QWidget

from benchmeter.window.theme.icons import icon
from benchmeter.window.theme.palette import current_theme

__all__ = ["LineList"]

_SHAPE = 28  # of a line, px at 100 %


class LineList(QListWidget):
    """Wraps its lines; scrolls from top to bottom only.

    Args:
        height: that it needs at least, px at 100 %.
    """

    def __init__(self, height: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._height = height
        self.setWordWrap(True)
        self.setResizeMode(QListWidget.ResizeMode.Adjust)  # else a line keeps its first height
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        policy = QSizePolicy.Policy
        self.setSizePolicy(policy.Expanding, policy.Expanding)

    def show_lines(self, lines: Sequence[str]) -> None:
        """Show these instead; the place that is chosen stays."""
        if list(lines) == [self.item(row).text() for row in range(self.count())]:
            return
        row = max(self.currentRow(), 0)
        self.clear()
        self.addItems(lines)
        self.setCurrentRow(min(row, len(lines) - 1))

    def add_line(self, words: str, shape: str, tone: str) -> None:
        """Take a line in with a shape before it; on the chosen line that has the text's colour."""
        look, ratio = current_theme(), self.devicePixelRatioF()
        size = look.px(_SHAPE)
        self.setIconSize(QSize(size, size))
        made = icon(shape, look.colour(tone), size, ratio)
        chosen = icon(shape, look.colour("on_accent"), size, ratio)
        made.addPixmap(chosen.pixmap(QSize(size, size), ratio), QIcon.Mode.Selected)
        self.addItem(QListWidgetItem(made, words))

    def sizeHint(self) -> QSize:
        look = current_theme()
        return QSize(look.px(200), look.px(self._height))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()
