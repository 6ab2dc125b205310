"""The unit: is it fixed?"""

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Literal

from PySide6.QtCore import QSize, Qt, Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QLabel, QSizePolicy, QVBoxLayout, QWidget

from benchmeter.readings.events import Event, EventKind
from benchmeter.scenes.unit import NOTHING, Figure, UnitAct, UnitScene, UnitState, unit_scene
from benchmeter.tasks.choices import Story
from benchmeter.window.control.session_controller import SessionController
from benchmeter.window.control.session_model import BenchView, Changes
from benchmeter.window.pages.bench.first_steps import FirstSteps
from benchmeter.window.pages.page import Page
from benchmeter.window.pages.ways_to_begin import WaysToBegin
from benchmeter.window.theme.labels import label
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.flow import FlowLayout
from benchmeter.window.widgets.keys import KeyButton
from benchmeter.window.widgets.stack import Stack

if TYPE_CHECKING:
    from benchmeter.window.plot.recovery_plot import RecoveryPlot

__all__ = ["UnitPage"]


class UnitPage(Page):
    """The recovery in words and as a plot."""

    def __init__(self, controller: SessionController, parent: QWidget | None = None) -> None:
        super().__init__(controller, parent)
        self.plot: RecoveryPlot | None = None
        self._plotted: BenchView | None = None  # whose readings the plot holds
        self._leaves = Stack(self)
        self.first_steps = FirstSteps(self)
        self.first_steps.simulate.connect(self.simulate)
        self.first_steps.connect_meter.connect(self.connect_meter)
        self.first_steps.type_only.connect(self.type_only)
        self.ways = WaysToBegin(self)
        self.ways.simulate.connect(self.simulate)
        self.ways.connect_meter.connect(self.connect_meter)
        self.ways.type_only.connect(self.type_only)
        self._stage = self._make_stage()
        self._leaves.add(self.first_steps)
        self._leaves.add(self._stage)
        self.rows.addWidget(self._leaves)
        controller.session_changed.connect(self.renew)
        controller.folded.connect(self._folded)
        controller.preferences_changed.connect(self._units_changed)
        self.renew()

    def _make_stage(self) -> QWidget:
        stage = QWidget(self)
        rows = QVBoxLayout(stage)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(current_theme().px(8))
        rows.addLayout(self._make_figures())
        self.details = label()
        rows.addWidget(self.details)
        self._plot_box = QVBoxLayout()
        self._plot_waits = label(self.tr("page_unit.plot_being_prepared"), tone="faint")
        self._plot_waits.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self._plot_box.addWidget(self._plot_waits)
        rows.addLayout(self._plot_box, 1)
        self.buttons = {
            UnitAct.POWER: KeyButton("", "P", self, primary=True),
            UnitAct.MARKER: KeyButton("", "M", self),
        }
        self.buttons[UnitAct.POWER].clicked.connect(self._power_restored)
        self.buttons[UnitAct.MARKER].clicked.connect(self.ask_marker)
        flow = FlowLayout(spacing=current_theme().px(8))
        for button in self.buttons.values():
            flow.addWidget(button)
        rows.addLayout(flow)
        rows.addWidget(self.ways)
        return stage

    def _make_figures(self) -> FlowLayout:
        self.figures: dict[Figure, QLabel] = {}
        self._boxes: dict[Figure, QWidget] = {}
        flow = FlowLayout(spacing=2 * current_theme().gap)
        for name, title in (
            (Figure.SETTLED, self.tr("page_unit.settles_at")),
            (Figure.DISCHARGE, self.tr("page_unit.discharge_air")),
            (Figure.LEFT, self.tr("page_unit.time_left")),
            (Figure.RISE, self.tr("page_unit.over_outdoor_air")),
            (Figure.OUTDOOR, self.tr("page_unit.outdoor_air")),
        ):
            box = QWidget(self)
            rows = QVBoxLayout(box)
            rows.setContentsMargins(0, 0, 0, 0)
            rows.setSpacing(0)
            caption = label(title, size="small", tone="faint", wrap=False)
            size: Literal["figure", "title"] = "figure" if name is Figure.SETTLED else "title"
            figure = label(size=size, wrap=False)
            figure.setAccessibleName(title)
            rows.addWidget(caption)
            rows.addWidget(figure)
            rows.addStretch(1)
            self.figures[name] = figure
            self._boxes[name] = box
            flow.addWidget(box)
        return flow

    @Slot()
    def plot_ready(self) -> None:
        """The plotting library has been imported: make the plot and fill it."""
        from benchmeter.window.plot.recovery_plot import RecoveryPlot

        if self.plot is not None:
            return
        self.plot = RecoveryPlot(self)
        self._plot_waits.hide()
        self._plot_box.addWidget(_Room(self.plot), 1)
        self._fill_plot()

    @Slot()
    def renew(self) -> None:
        """Draw the scene anew."""
        self.show_scene(unit_scene(self.controller.seen()))
        self._fill_plot()

    def show_scene(self, scene: UnitScene) -> None:
        """Draw it; the plot is given what is new on its own."""
        self._scene = scene
        begun = scene.state is not UnitState.FIRST_STEPS
        self._leaves.show_leaf(self._stage if begun else self.first_steps)
        self.say_next(scene.next_step)
        self.details.setText(scene.details)
        for name, text in scene.figures.items():
            if self.figures[name].text() != text:
                self.figures[name].setText(text)
        # What is never told by the rule of this session takes no room.
        self._boxes[Figure.LEFT].setVisible(scene.figures[Figure.LEFT] != NOTHING)
        for act, offer in scene.actions.items():
            self.buttons[act].show_offer(offer)
        self.ways.setVisible(scene.ways_to_begin)

    @Slot(object)
    def _folded(self, changes: Changes) -> None:
        if changes.restarted:
            self._plotted = None
            self.renew()
            return
        view = self.controller.view
        if view is not None and self.plot is not None and self._plotted is view:
            self._plot(changes.traces, changes.events)
        if changes.recovery:
            self.show_scene(unit_scene(self.controller.seen()))

    @Slot()
    def _units_changed(self) -> None:
        if self.plot is not None:
            self.plot.set_temperature_unit(self.controller.preferences.temperature_unit)
        self.renew()

    def _fill_plot(self) -> None:
        """Begin the plot anew, unless it holds this session already."""
        view, plot = self.controller.view, self.plot
        if plot is None or (view is not None and view is self._plotted):
            return
        plot.clear()
        plot.set_temperature_unit(self.controller.preferences.temperature_unit)
        self._plotted = view
        if view is not None:
            self._plot(view.traces, view.events)

    def _plot(self, channels: Iterable[str], events: Iterable[Event]) -> None:
        """Give the plot what is new."""
        view, plot = self._plotted, self.plot
        if view is None or plot is None:
            return
        for name in channels:
            plot.add_readings(name, *view.traces[name].taken())
        for event in events:
            if event.kind is EventKind.MARK:
                plot.mark(event.time_ns / 1e9, event.text)
        if view.recovery is not None:
            plot.show_recovery(view.recovery)
        plot.tick_soon()

    @Slot()
    def _power_restored(self) -> None:
        command = self._scene.actions[UnitAct.POWER].command
        if command is not None:
            self.controller.send(command)

    def offer_stories(self, stories: Sequence[Story]) -> None:
        self.first_steps.offer_stories(stories)

    def entered(self) -> None:
        if self.plot is not None and self.controller.view is not None:
            self.plot.setFocus()
        self.renew()
        if self.plot is not None:
            self.plot.tick()


class _Room(QWidget):
    """Gives its widget the room that there is, whatever height that would like at its width."""

    def __init__(self, widget: QWidget) -> None:
        super().__init__()
        self._widget = widget
        widget.setParent(self)
        policy = QSizePolicy.Policy
        self.setSizePolicy(policy.Expanding, policy.Expanding)

    def minimumSizeHint(self) -> QSize:
        return QSize(self._widget.minimumSizeHint().width(), current_theme().px(340))

    def sizeHint(self) -> QSize:
        return self.minimumSizeHint()

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._widget.resize(self.size())
        super().resizeEvent(event)
