"""What every place has: it knows what to do next, and can ask for a line of text."""

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from benchmeter.readings.inputs import Mark, TypeReading
from benchmeter.window.control.services import Story
from benchmeter.window.control.session_controller import SessionController
from benchmeter.window.theme.palette import current_theme

__all__ = ["LineWanted", "Page"]


@dataclass(frozen=True, slots=True)
class LineWanted:
    """A line of text that a place asks for.

    Attributes:
        purpose: what for; drafts are kept by it.
        text: what stands there at first; None: what was put off before.
    """

    purpose: str
    prompt: str
    example: str = ""
    text: str | None = None


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
        self.ask_line.emit(
            LineWanted(
                "mark", self.tr("pages.marker_what_happened"), self.tr("pages.fan_blade_rubs")
            )
        )

    def ask_reading(self, channel: str, prompt: str, example: str) -> None:
        """Ask for a reading that no meter sends."""
        self.ask_line.emit(LineWanted(f"type:{channel}", prompt, example))

    def take_line(self, purpose: str, text: str) -> None:
        """A line that was asked for has been typed."""
        kind, _, subject = purpose.partition(":")
        if kind == "mark":
            self.controller.send(Mark(time_ns=0, text=text))
        elif kind == "type":
            self.controller.send(TypeReading(time_ns=0, channel=subject, text=text))
