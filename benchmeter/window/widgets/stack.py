"""Several widgets in one place, of which one is seen and takes room."""

from PySide6.QtWidgets import QVBoxLayout, QWidget

__all__ = ["Stack"]


class Stack(QWidget):
    """Shows one of its widgets. Unlike a QStackedWidget it is no larger than the one shown."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rows = QVBoxLayout(self)
        self._rows.setContentsMargins(0, 0, 0, 0)
        self._leaves: list[QWidget] = []
        self._current: QWidget | None = None

    def add(self, leaf: QWidget) -> None:
        """Take a widget in; the first one is shown."""
        self._leaves.append(leaf)
        self._rows.addWidget(leaf)
        leaf.hide()
        if self._current is None:
            self.show_leaf(leaf)

    def show_leaf(self, leaf: QWidget) -> None:
        """Show this one instead of the one that is shown."""
        if leaf is self._current:
            return
        if self._current is not None:
            self._current.hide()
        self._current = leaf
        leaf.show()

    def shown(self) -> QWidget | None:
        """The one that is shown."""
        return self._current
