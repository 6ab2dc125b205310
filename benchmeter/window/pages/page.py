"""What every place has: it knows what to do next, and can ask for a line of text."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from benchmeter.scenes.offer import LineWanted, line_command, marker_line
from benchmeter.tasks.choices import Story
from benchmeter.window.control.session_controller import SessionController
from benchmeter.window.theme.palette import current_theme

__all__ = ["Page"]


class Page(QWidget):
    """One of the places of the window.

    Signals:
        next_step: the line that says what to do next, whenever it may have changed.
        ask_line: a LineWanted: a line of text is to be asked for; it comes to `take_line`.
        to_top: what matters now stands at the top.
        simulate, connect_meter, type_only: ways to begin; of `simulate` with the scenario.
    """

    next_step = Signal(str)
    ask_line = Signal(object)
    to_top = Signal()
    simulate = Signal(str)
    connect_meter = Signal()
    type_only = Signal()

    def __init__(self, controller: SessionController, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.controller = controller
        self.rows = QVBoxLayout(self)
        look = current_theme()
        self.rows.setContentsMargins(0, look.px(4), 0, look.px(4))
        self.rows.setSpacing(look.gap)
        self._next = ""

    def next_words(self) -> str:
        """What to do next, in one line."""
        return self._next

    def say_next(self, words: str) -> None:
        """Change what to do next."""
        if words != self._next:
            self._next = words
            self.next_step.emit(words)

    def offer_stories(self, stories: Sequence[Story]) -> None:
        """Tell what the simulated bench can play."""

    def entered(self) -> None:
        """The place has just come to the front."""

    @Slot()
    def ask_marker(self) -> None:
        """Ask for the words of a marker."""
        self.ask(marker_line(self.controller.seen().presentation))

    def ask(self, wanted: LineWanted) -> None:
        """Ask for a line of text; the name of a file is completed to its path."""
        if wanted.file:
            wanted = replace(wanted, text=str(Path.home() / (wanted.text or "")))
        self.ask_line.emit(wanted)

    def take_line(self, wanted: LineWanted, text: str) -> None:
        """A line that was asked for has been typed."""
        command = line_command(wanted, text)
        if command is not None:
            self.controller.send(command)
