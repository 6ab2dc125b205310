"""Part or meter: what parts of known value say about the meter, as it is seen."""

from PySide6.QtCore import Signal, Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QLabel, QSizePolicy, QVBoxLayout, QWidget

from benchmeter.scenes.meter_actions import MeterAct
from benchmeter.scenes.meter_scene import MeterScene
from benchmeter.window.theme.labels import label, restyle
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.control_chart_view import ControlChartView
from benchmeter.window.widgets.flow import FlowLayout
from benchmeter.window.widgets.keys import KeyButton
from benchmeter.window.widgets.line_list import LineList

__all__ = ["MeterView"]

_BESIDE = 760  # width from which list and history stand beside each other, at 100 %
_KEYS = {MeterAct.READ: "Return", MeterAct.BIAS: "X", MeterAct.ADD: "A", MeterAct.BACK: "Esc"}


class MeterView(QWidget):
    """The parts at the left; the chosen one's history, the bias and what to do at the right.

    Signals:
        wanted: the MeterAct whose button was pressed.
        chosen: another part is looked at.
    """

    wanted = Signal(object)
    chosen = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        look = current_theme()
        self._scene: MeterScene | None = None
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(look.px(6))
        self.meter = label(size="small")
        self.answer = label(size="title")
        self.why = label()
        for widget in (self.meter, self.answer, self.why):
            rows.addWidget(widget)
        self._columns = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._columns.setSpacing(look.gap)
        rows.addLayout(self._columns, 1)
        self._below = QWidget(self)  # takes the room where there is no list
        self._below.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Expanding)
        rows.addWidget(self._below, 1)
        self.list = LineList(160, self)
        self.list.setAccessibleName(self.tr("page_meter.parts_known_value"))
        self.list.currentRowChanged.connect(self.chosen)
        self._columns.addWidget(self.list, 3)
        self._columns.addLayout(self._make_history(), 4)
        self.faults = label(size="small", tone="caution")
        rows.addWidget(self.faults)
        rows.addLayout(self._make_buttons())

    def _make_history(self) -> QVBoxLayout:
        rows = QVBoxLayout()
        rows.setSpacing(current_theme().px(4))
        self.chart = ControlChartView(self)
        self.chart_text = label(size="small")
        self.bias_text = label()
        self.offer_text = label()
        for widget in (self.chart, self.chart_text, self.bias_text, self.offer_text):
            rows.addWidget(widget)
        rows.addStretch(1)
        return rows

    def _make_buttons(self) -> FlowLayout:
        flow = FlowLayout(spacing=current_theme().px(6))
        self.buttons: dict[MeterAct, KeyButton] = {}
        for act, key in _KEYS.items():
            button = KeyButton("", key, self)
            button.setObjectName(act)
            button.clicked.connect(self._pressed)
            self.buttons[act] = button
            flow.addWidget(button)
        return flow

    def resizeEvent(self, event: QResizeEvent) -> None:
        beside = self.width() >= current_theme().px(_BESIDE)
        direction = QBoxLayout.Direction
        self._columns.setDirection(direction.LeftToRight if beside else direction.TopToBottom)
        super().resizeEvent(event)

    def row(self) -> int:
        """The place of the part that is looked at."""
        return self.list.currentRow()

    def show_scene(self, scene: MeterScene) -> None:
        """Draw it."""
        before, self._scene = self._scene, scene
        if before is None or scene.lines != before.lines or scene.chosen != self.row():
            self.list.blockSignals(True)
            self.list.clear()
            for line in scene.lines:
                self.list.add_line(line.words, line.shape, line.tone)
            self.list.setCurrentRow(scene.chosen)
            self.list.blockSignals(False)
        self.list.setVisible(bool(scene.lines))
        self._below.setVisible(not scene.lines)
        self.answer.setText(scene.answer)
        self.why.setText(scene.why)
        self._show(self.meter, scene.meter)
        restyle(self.meter, "tone", "caution" if scene.late else "")
        self._show(self.faults, "\n".join(scene.faults))
        self.chart.setVisible(scene.history is not None)
        self.chart.show_history(scene.history)
        self._show(self.chart_text, scene.chart)
        self._show(self.bias_text, scene.bias)
        self._show(self.offer_text, scene.offered)
        restyle(self.offer_text, "tone", "caution" if scene.takes_off else "")
        for act, offer in scene.actions.items():
            self.buttons[act].show_offer(offer)

    def _show(self, line: QLabel, text: str) -> None:
        line.setText(text)
        line.setVisible(bool(text))

    @Slot()
    def _pressed(self) -> None:
        self.wanted.emit(MeterAct(self.sender().objectName()))
