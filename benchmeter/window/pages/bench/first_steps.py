"""What is seen while nothing is connected: three steps, and the simulated bench."""

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from benchmeter.tasks.choices import Story
from benchmeter.window.pages.ways_to_begin import WaysToBegin
from benchmeter.window.theme.labels import label
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.flow import FlowLayout
from benchmeter.window.widgets.keys import KeyButton

__all__ = ["FirstSteps"]


class FirstSteps(QWidget):
    """Teaches the first three steps.

    Signals:
        simulate: the simulated bench is wanted; name of its scenario.
        connect_meter: the place for connecting is wanted.
        type_only: a session without a meter is wanted, readings typed in.
        view, finish: what to do with a session that was cut off, by its id.
    """

    simulate = Signal(str)
    connect_meter = Signal()
    type_only = Signal()
    view = Signal(str)
    finish = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(current_theme().gap)
        rows.addWidget(self._make_cut_off())
        rows.addStretch(1)
        rows.addWidget(label(self.tr("page_bench.part_good_three_steps"), size="title"))
        steps = QGridLayout()
        steps.setHorizontalSpacing(current_theme().gap)
        steps.setVerticalSpacing(current_theme().gap)
        texts = (
            self.tr("page_bench.plug_meter_s_cable"),
            self.tr("page_bench.choose_cable_under_connections"),
            self.tr("page_bench.type_what_part_s"),
        )
        for row, text in enumerate(texts):
            steps.addWidget(
                label(str(row + 1), size="title", wrap=False),
                row,
                0,
                Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignHCenter,
            )
            steps.addWidget(label(text), row, 1)
        steps.setColumnStretch(1, 1)
        rows.addLayout(steps)
        rows.addSpacing(current_theme().gap)
        self.ways = WaysToBegin(self)
        self.ways.simulate.connect(self.simulate)
        self.ways.connect_meter.connect(self.connect_meter)
        self.ways.type_only.connect(self.type_only)
        rows.addWidget(
            label(
                self.tr("page_bench.no_meter_at_hand"),
                tone="faint",
            )
        )
        rows.addWidget(self.ways)
        rows.addStretch(2)

    def offer_stories(self, stories: Sequence[Story]) -> None:
        """Offer what the simulated bench can play beside the standard story."""
        self.ways.offer_stories(stories)

    def _make_cut_off(self) -> QWidget:
        self._cut_off_id = ""
        self.cut_off = QWidget(self)
        rows = QVBoxLayout(self.cut_off)
        rows.setContentsMargins(0, 0, 0, 0)
        self._cut_off_words = label(tone="caution")
        self.view_button = KeyButton(self.tr("page_bench.view"), "V", self)
        self.view_button.clicked.connect(self._view)
        self.finish_button = KeyButton(self.tr("page_bench.close_record"), "F", self)
        self.finish_button.clicked.connect(self._finish)
        buttons = FlowLayout(spacing=current_theme().gap)
        buttons.addWidget(self.view_button)
        buttons.addWidget(self.finish_button)
        rows.addWidget(self._cut_off_words)
        rows.addLayout(buttons)
        self.cut_off.hide()
        return self.cut_off

    def offer_cut_off(self, session_id: str, words: str) -> None:
        """Offer a session that ended without close; "" for none."""
        self._cut_off_id = session_id
        self._cut_off_words.setText(words)
        self.cut_off.setVisible(bool(session_id))

    @Slot()
    def _view(self) -> None:
        self.view.emit(self._cut_off_id)

    @Slot()
    def _finish(self) -> None:
        self.finish.emit(self._cut_off_id)
