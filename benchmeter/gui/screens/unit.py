"""The unit: is it fixed?"""

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from benchmeter.gui.flow import FlowLayout
from benchmeter.gui.keys import KeyButton
from benchmeter.gui.model import Changes
from benchmeter.gui.palette import current_look
from benchmeter.gui.screens.first_steps import FirstSteps
from benchmeter.gui.screens.place import Place
from benchmeter.gui.text import label
from benchmeter.gui.workplace import Workplace
from benchmeter.instruments.setup import Role
from benchmeter.readings.events import EventKind
from benchmeter.readings.inputs import PowerRestored

if TYPE_CHECKING:
    from benchmeter.gui.plot.recovery_plot import RecoveryPlot

__all__ = ["UnitPlace"]

_MARKED = (EventKind.POWER_RESTORED, EventKind.START_DETECTED, EventKind.SETTLED, EventKind.MARK)


class UnitPlace(Place):
    """The recovery in words and as a plot."""

    def __init__(self, workplace: Workplace, parent: QWidget | None = None) -> None:
        super().__init__(workplace, parent)
        self.plot: RecoveryPlot | None = None
        self._leaves = QStackedWidget(self)
        self.first_steps = FirstSteps(self)
        self.first_steps.simulate.connect(self.simulate)
        self.first_steps.connect_meter.connect(self.connect_meter)
        self.first_steps.type_only.connect(self.type_only)
        self._leaves.addWidget(self.first_steps)
        self._leaves.addWidget(self._make_stage())
        self.rows.addWidget(self._leaves)
        workplace.session_changed.connect(self.refresh)
        workplace.folded.connect(self._folded)
        workplace.preferences_changed.connect(self._units_changed)
        self.refresh()

    def _make_stage(self) -> QWidget:
        stage = QWidget(self)
        rows = QVBoxLayout(stage)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(current_look().px(8))
        self.words = label(size="title")
        self.words.setAccessibleName(self.tr("State of the recovery"))
        self.details = label()
        rows.addWidget(self.words)
        rows.addWidget(self.details)
        self._plot_box = QVBoxLayout()
        self._plot_waits = label(self.tr("The plot is being prepared…"), tone="faint")
        self._plot_waits.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self._plot_box.addWidget(self._plot_waits)
        rows.addLayout(self._plot_box, 1)
        self.power = KeyButton(self.tr("Power restored"), "P", self, primary=True)
        self.power.clicked.connect(self._power_restored)
        self.marker = KeyButton(self.tr("Marker"), "M", self)
        self.marker.clicked.connect(self.ask_marker)
        flow = FlowLayout(spacing=current_look().px(8))
        flow.addWidget(self.power)
        flow.addWidget(self.marker)
        rows.addLayout(flow)
        return stage

    @Slot()
    def plot_ready(self) -> None:
        """The plotting library has been imported: make the plot and fill it."""
        from benchmeter.gui.plot.recovery_plot import RecoveryPlot

        if self.plot is not None:
            return
        self.plot = RecoveryPlot(self)
        self.plot.setMinimumHeight(current_look().px(260))
        self._plot_waits.hide()
        self._plot_box.addWidget(self.plot, 1)
        self._fill_plot()

    @Slot()
    def refresh(self) -> None:
        """Show the session anew."""
        view = self.workplace.view
        self._leaves.setCurrentIndex(0 if view is None else 1)
        acts = self.workplace.session is not None and not self.workplace.replaying
        self.power.setVisible(acts)
        self.marker.setVisible(acts)
        if self.plot is not None:
            self._fill_plot()
        self._show_words()

    @Slot(object)
    def _folded(self, changes: Changes) -> None:
        if changes.restarted:
            self.refresh()
            return
        view = self.workplace.view
        if view is not None and self.plot is not None:
            for name, first in changes.traces.items():
                self._add(name, first)
            for event in changes.events:
                if event.kind in _MARKED:
                    self.plot.mark(event)
            if changes.recovery and view.recovery is not None:
                self.plot.show_recovery(view.recovery)
            if self.isVisible():
                self.plot.tick(view.now_ns)
        if changes.recovery or changes.pulses:
            self._show_words()

    @Slot()
    def _units_changed(self) -> None:
        if self.plot is not None:
            self.plot.set_temperature_unit(self.workplace.preferences.temperature_unit)
        self._show_words()

    def _fill_plot(self) -> None:
        view, plot = self.workplace.view, self.plot
        if plot is None:
            return
        plot.clear()
        plot.set_temperature_unit(self.workplace.preferences.temperature_unit)
        if view is None:
            return
        for name in view.traces:
            self._add(name, 0)
        for event in view.events:
            if event.kind in _MARKED:
                plot.mark(event)
        if view.recovery is not None:
            plot.show_recovery(view.recovery)
        plot.tick(view.now_ns)

    def _add(self, name: str, first: int) -> None:
        view, plot = self.workplace.view, self.plot
        if view is None or plot is None:
            return
        trace = view.traces[name]
        plot.add_readings(name, trace.times_s[first:], trace.values_k[first:])

    def _show_words(self) -> None:
        from benchmeter.reporting.wording_recovery import phase_words

        view = self.workplace.view
        if view is None:
            self.say_next(self.tr("Connect a probe, or press B for the simulated bench"))
            return
        unit = self.workplace.preferences.temperature_unit
        if view.recovery is None:
            if view.setup.channel(Role.DISCHARGE) is None:
                self.words.setText(self.tr("No probe in the discharge air"))
                self.details.setText(
                    self.tr(
                        "Connect a temperature probe as “discharge” (and one as “outdoor”) "
                        "under Connections, F4."
                    )
                )
                self.say_next(self.tr("Connect a probe in the discharge air (F4)"))
            else:
                self.words.setText(self.tr("Waiting for the first temperatures"))
                self.details.setText("")
                self.say_next(self.tr("Put the probes into the air and wait"))
            return
        words = phase_words(view.recovery, unit)
        self.words.setText(words)
        self.say_next(words)

    @Slot()
    def _power_restored(self) -> None:
        self.workplace.send(PowerRestored(time_ns=0))

    def entered(self) -> None:
        self._show_words()
        view = self.workplace.view
        if self.plot is not None and view is not None:
            self.plot.tick(view.now_ns)
