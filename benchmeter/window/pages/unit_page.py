"""The unit: is it fixed?"""

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Literal

from PySide6.QtCore import QSize, Qt, Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QLabel, QSizePolicy, QVBoxLayout, QWidget

from benchmeter.cooling.recovery import Recovery
from benchmeter.links.instruments.setup import Role
from benchmeter.readings.events import Event, EventKind
from benchmeter.readings.inputs import PowerRestored
from benchmeter.window.control.services import Story
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

_NOTHING = "–"
_LONG = 80  # characters that fit into the line above


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
        controller.session_changed.connect(self.refresh)
        controller.folded.connect(self._folded)
        controller.preferences_changed.connect(self._units_changed)
        self.refresh()

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
        self.power = KeyButton(self.tr("page_unit.power_restored"), "P", self, primary=True)
        self.power.clicked.connect(self._power_restored)
        self.marker = KeyButton(self.tr("page_unit.marker"), "M", self)
        self.marker.clicked.connect(self.ask_marker)
        flow = FlowLayout(spacing=current_theme().px(8))
        flow.addWidget(self.power)
        flow.addWidget(self.marker)
        rows.addLayout(flow)
        rows.addWidget(self.ways)
        return stage

    def _make_figures(self) -> FlowLayout:
        self.figures: dict[str, QLabel] = {}
        flow = FlowLayout(spacing=2 * current_theme().gap)
        for name, title in (
            ("settled", self.tr("page_unit.settles_at")),
            ("discharge", self.tr("page_unit.discharge_air")),
            ("left", self.tr("page_unit.time_left")),
            ("rise", self.tr("page_unit.over_outdoor_air")),
            ("outdoor", self.tr("page_unit.outdoor_air")),
        ):
            box = QWidget(self)
            rows = QVBoxLayout(box)
            rows.setContentsMargins(0, 0, 0, 0)
            rows.setSpacing(0)
            caption = label(title, size="small", tone="faint", wrap=False)
            size: Literal["figure", "title"] = "figure" if name == "settled" else "title"
            figure = label(_NOTHING, size=size, wrap=False)
            figure.setAccessibleName(title)
            rows.addWidget(caption)
            rows.addWidget(figure)
            rows.addStretch(1)
            self.figures[name] = figure
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
    def refresh(self) -> None:
        """Show the session anew."""
        view = self.controller.view
        self._leaves.show_leaf(self.first_steps if view is None else self._stage)
        acts = self.controller.session is not None and not self.controller.replaying
        self.power.setVisible(acts)
        self.marker.setVisible(acts)
        self.ways.setVisible(self.controller.session is None)
        self._fill_plot()
        self._show_words()

    @Slot(object)
    def _folded(self, changes: Changes) -> None:
        if changes.restarted:
            self._plotted = None
            self.refresh()
            return
        view = self.controller.view
        if view is not None and self.plot is not None and self._plotted is view:
            self._plot(changes.traces, changes.events)
        if changes.recovery or changes.pulses:
            self._show_words()

    @Slot()
    def _units_changed(self) -> None:
        if self.plot is not None:
            self.plot.set_temperature_unit(self.controller.preferences.temperature_unit)
        self._show_words()

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

    def _show_words(self) -> None:
        view = self.controller.view
        if view is None:
            self.say_next(self.tr("page_unit.connect_probe_or_press"))
            return
        if view.recovery is not None:
            self._show_recovery(view.recovery)
            return
        for figure in self.figures.values():
            figure.setText(_NOTHING)
        if view.setup.channel(Role.DISCHARGE) is None:
            self.details.setText(self.tr("page_unit.connect_temperature_probe_discharge"))
            self.say_next(self.tr("page_unit.connect_probe_discharge_air"))
        else:
            self.details.setText("")
            self.say_next(self.tr("page_unit.put_probes_into_air"))

    def _show_recovery(self, recovery: Recovery) -> None:
        from benchmeter.words.durations import duration_text
        from benchmeter.words.recovery import estimate_text, judgement_words, phase_words
        from benchmeter.words.temperatures import difference_text, temperature_text

        how = current_theme().presentation
        words = phase_words(recovery, how)
        rest = ""
        if len(words) > _LONG:
            first, _, rest = words.partition(". ")
            words = f"{first}." if rest else first
        self.say_next(words)
        judged = judgement_words(recovery, how)
        self.details.setText(rest if judged in rest else f"{rest} {judged}".strip())
        settled, rise, left = recovery.settled_k, recovery.rise_k, recovery.time_left_s
        texts = {
            "discharge": recovery.discharge_k and temperature_text(recovery.discharge_k, how),
            "outdoor": recovery.outdoor_k and temperature_text(recovery.outdoor_k, how),
            "settled": settled and estimate_text(settled, how),
            "rise": rise and difference_text(rise.value, how),
            "left": left and duration_text(left.value, how),
        }
        for name, text in texts.items():
            if self.figures[name].text() != (text or _NOTHING):
                self.figures[name].setText(text or _NOTHING)

    @Slot()
    def _power_restored(self) -> None:
        self.controller.send(PowerRestored(time_ns=0))

    def offer_stories(self, stories: Sequence[Story]) -> None:
        self.first_steps.offer_stories(stories)

    def entered(self) -> None:
        if self.plot is not None and self.controller.view is not None:
            self.plot.setFocus()
        self._show_words()
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
