"""The buttons that move the view, each with its key."""

from PySide6.QtWidgets import QPushButton, QWidget

from benchmeter.window.plot.view import Mode
from benchmeter.window.widgets.flow import FlowLayout

__all__ = ["ViewButtons"]


class ViewButtons(QWidget):
    """A row that wraps; whoever owns the view connects the buttons."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._row = FlowLayout(self)
        self.everything = self._button(
            self.tr("plot.everything_home"), self.tr("plot.show_everything")
        )
        self.follow = self._button(self.tr("plot.follow_f"), self.tr("plot.follow_present"))
        self.closer = self._button("+", self.tr("plot.closer"))
        self.farther = self._button("−", self.tr("plot.farther"))
        self.earlier = self._button("←", self.tr("plot.earlier"))
        self.later = self._button("→", self.tr("plot.later"))
        self.everything.setCheckable(True)
        self.follow.setCheckable(True)
        self.show_mode("everything")

    def show_mode(self, mode: Mode) -> None:
        """Press the button of the mode."""
        self.everything.setChecked(mode == "everything")
        self.follow.setChecked(mode == "follow")

    def _button(self, text: str, spoken: str) -> QPushButton:
        button = QPushButton(text, self)
        button.setAccessibleName(spoken)
        button.setToolTip(spoken)
        self._row.addWidget(button)
        return button
