"""The three ways to begin: the simulated bench, a meter, readings typed in."""

from collections.abc import Sequence

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from benchmeter.files.resources import STANDARD_SCENARIO
from benchmeter.tasks.choices import Story
from benchmeter.window.theme.labels import label
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.flow import FlowLayout
from benchmeter.window.widgets.keys import KeyButton

__all__ = ["WaysToBegin"]


class WaysToBegin(QWidget):
    """Buttons wherever nothing is being recorded: the three ways, and other stories to be played.

    Signals:
        simulate: the simulated bench is wanted; name of its scenario.
        connect_meter: the place for connecting is wanted.
        type_only: a session without a meter is wanted, readings typed in.
    """

    simulate = Signal(str)
    connect_meter = Signal()
    type_only = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(current_theme().gap)
        flow = FlowLayout(spacing=current_theme().gap)
        rows.addLayout(flow)
        self.simulate_button = KeyButton(
            self.tr("pages.try_simulated_bench"), "B", self, primary=True
        )
        self.simulate_button.clicked.connect(self._simulate)
        self.connect_button = KeyButton(self.tr("pages.connect_meter"), "C", self)
        self.connect_button.clicked.connect(self.connect_meter)
        self.type_button = KeyButton(self.tr("pages.only_type_readings"), "K", self)
        self.type_button.clicked.connect(self.type_only)
        for button in (self.simulate_button, self.connect_button, self.type_button):
            flow.addWidget(button)
        rows.addWidget(self._make_stories())

    def _make_stories(self) -> QWidget:
        self.stories = QWidget(self)
        rows = QVBoxLayout(self.stories)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(current_theme().px(4))
        rows.addWidget(label(self.tr("pages.simulated_bench_can_play"), tone="faint"))
        self._stories_flow = FlowLayout(spacing=current_theme().px(8))
        rows.addLayout(self._stories_flow)
        self.story_buttons: list[KeyButton] = []
        self.stories.hide()
        return self.stories

    def offer_stories(self, stories: Sequence[Story]) -> None:
        """Offer what the simulated bench can play beside the standard story."""
        for button in self.story_buttons:
            self._stories_flow.removeWidget(button)
            button.deleteLater()
        self.story_buttons = []
        others = [story for story in stories if story.scenario != STANDARD_SCENARIO]
        for number, story in enumerate(others, 1):
            button = KeyButton(story.title, str(number) if number < 10 else "", self.stories)
            button.setObjectName(story.scenario)
            button.clicked.connect(self._story_chosen)
            self.story_buttons.append(button)
            self._stories_flow.addWidget(button)
        self.stories.setVisible(bool(others))

    @Slot()
    def _story_chosen(self) -> None:
        button = self.sender()
        assert isinstance(button, KeyButton)
        self.simulate.emit(button.objectName())

    @Slot()
    def _simulate(self) -> None:
        self.simulate.emit(STANDARD_SCENARIO)
