"""The rail at the left: the places, what is being recorded, its end, the colours."""

from collections.abc import Sequence

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QScrollArea, QVBoxLayout, QWidget

from benchmeter.window.theme.labels import label, restyle
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.keys import KeyButton
from benchmeter.window.widgets.scrolling import scroll_area

__all__ = ["Rail"]

_KEYS = ("F1", "F2", "F3", "F4", "F5", "F6")


class Rail(QWidget):
    """Buttons with their keys, one below the other; scrolls where the window is low.

    Signals:
        place: the number of a place.
        end, colours: pressed.
    """

    place = Signal(int)
    end = Signal()
    colours = Signal()

    def __init__(self, titles: Sequence[str]) -> None:
        super().__init__()
        self.rows = QVBoxLayout(self)
        pad = current_theme().px(8)
        self.rows.setContentsMargins(pad, pad, pad, pad)
        self.rows.setSpacing(pad)
        self.place_buttons: list[KeyButton] = []
        for number, (title, key) in enumerate(zip(titles, _KEYS, strict=True)):
            button = KeyButton(title, key, self, stacked=True)
            button.setCheckable(True)
            button.setProperty("place", number)
            button.clicked.connect(self._place_pressed)
            self.place_buttons.append(button)
            self.rows.addWidget(button)
        self.rows.addStretch(1)
        self.words = label(self.tr("window.not_recording"), size="small", tone="faint")
        self.words.setAccessibleName(self.tr("window.session"))
        self.rows.addWidget(self.words)
        self.end_button = KeyButton(self.tr("window.end"), "Ctrl+E", self, stacked=True)
        self.end_button.clicked.connect(self.end)
        self.end_button.hide()
        self.rows.addWidget(self.end_button)
        self.light = KeyButton(self.tr("window.colours"), "F9", self, stacked=True)
        self.light.clicked.connect(self.colours)
        self.rows.addWidget(self.light)
        self._buttons = [*self.place_buttons, self.end_button, self.light]
        self.area: QScrollArea = scroll_area(self)

    def take_in(self, button: KeyButton) -> None:
        """A further button, above the words of the session."""
        self.rows.insertWidget(self.rows.indexOf(self.words), button)
        self._buttons.append(button)

    def choose(self, number: int) -> None:
        """Mark the place that is shown."""
        for other, button in enumerate(self.place_buttons):
            button.setChecked(other == number)

    def say(self, words: str, *, faint: bool) -> None:
        """What is being recorded."""
        if words != self.words.text():
            self.words.setText(words)
            restyle(self.words, "tone", "faint" if faint else "")

    def dress(self, *, bar: bool) -> None:
        """Take the width that the widest button needs; `bar`: and the scroll bar."""
        look = current_theme()
        widest = max(button.sizeHint().width() for button in self._buttons)
        self.area.setFixedWidth(widest + 2 * look.px(8) + (look.px(20) if bar else 0))

    @Slot()
    def _place_pressed(self) -> None:
        button = self.sender()
        assert isinstance(button, KeyButton)
        self.place.emit(button.property("place"))
