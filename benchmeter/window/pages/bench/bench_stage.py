"""The bench with a session: reading, leads, rulers, verdict, form, carton, and what can be done."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent, QUndoStack
from PySide6.QtWidgets import QApplication, QBoxLayout, QVBoxLayout, QWidget

from benchmeter.checking.part_check import PartCheck
from benchmeter.scenes.bench import BenchScene, LiveReading
from benchmeter.scenes.bench_action_scene import Act
from benchmeter.scenes.bench_state import BenchState
from benchmeter.window.pages.bench.answer_plate import AnswerPlate
from benchmeter.window.pages.bench.bench_actions import BenchActions
from benchmeter.window.pages.bench.bench_rulers import BenchRulers
from benchmeter.window.pages.bench.lot_strip import LotStrip
from benchmeter.window.pages.bench.part_form import PartForm
from benchmeter.window.pages.play_note import replay_note, story_note
from benchmeter.window.pages.ways_to_begin import WaysToBegin
from benchmeter.window.theme.labels import label
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.caution import CautionLines
from benchmeter.window.widgets.lead_drawing import LeadDrawing
from benchmeter.window.widgets.line_list import LineList
from benchmeter.window.widgets.reading_view import ReadingView
from benchmeter.window.widgets.stack import Stack
from benchmeter.window.widgets.verdict_plate import VerdictPlate

__all__ = ["BenchStage"]

_TWO_COLUMNS = 860  # width from which they stand beside each other, at 100 %


class BenchStage(QWidget):
    """Draws the scene.

    While a part is being measured the reading comes first; once it is judged, the verdict does.
    """

    def __init__(self, undo: QUndoStack, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._scene: BenchScene | None = None
        self._ruled: PartCheck | None = None
        self._tight = False
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(current_theme().gap)
        self.answer = AnswerPlate(self)
        self.answer.hide()
        rows.addWidget(self.answer)
        self.bias_note = label(size="small", tone="caution")
        self.bias_note.hide()
        rows.addWidget(self.bias_note)
        self.cautions = CautionLines((), self)
        rows.addWidget(self.cautions)
        self._columns = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._columns.setSpacing(current_theme().gap)
        rows.addLayout(self._columns, 1)
        self._left, self._right = self._make_left(), self._make_right(undo)
        self._columns.addLayout(self._left, 5)
        self._columns.addLayout(self._right, 4)

    # --- making --------------------------------------------------------------------------------

    def _make_left(self) -> QVBoxLayout:
        rows = QVBoxLayout()
        self.reading = ReadingView(self)
        self.reading.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.leads = LeadDrawing(self)
        self.rulers = BenchRulers(self)
        for widget in (self.reading, self.leads, self.rulers):
            rows.addWidget(widget)
        rows.addStretch(1)
        return rows

    def _make_right(self, undo: QUndoStack) -> QVBoxLayout:
        rows = QVBoxLayout()
        self.carton = LotStrip(self)
        self.carton.hide()
        self.form = PartForm(undo, self)
        findings, story, replay = self._make_findings(), story_note(), replay_note()
        self._sides: dict[BenchState, QWidget] = {
            BenchState.FORM: self.form,
            BenchState.STORY: story,
            BenchState.REPLAY: replay,
            BenchState.MEASURING: findings,
            BenchState.JUDGED: findings,
            BenchState.REPEATING: findings,
        }
        self.side = Stack(self)
        for leaf in (self.form, findings, story, replay):
            self.side.add(leaf)
        self.buttons = BenchActions(self)
        self.buttons.of[Act.INDICATION].toggled.connect(self.reading.show_raw)
        self.ways = WaysToBegin(self)
        rows.addWidget(self.carton)
        rows.addWidget(self.side, 1)
        rows.addWidget(self.buttons)
        rows.addWidget(self.ways)
        return rows

    def _make_findings(self) -> QWidget:
        findings = QWidget(self)
        rows = QVBoxLayout(findings)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(current_theme().px(4))
        self.plate = VerdictPlate(findings)
        rows.addWidget(self.plate)
        self._done_title = label(self.tr("page_bench.checked_session"), size="small", tone="faint")
        self.done = LineList(56, findings)
        self.done.setAccessibleName(self._done_title.text())
        rows.addWidget(self._done_title)
        rows.addWidget(self.done, 3)
        rows.addStretch(1)
        return findings

    # --- room ----------------------------------------------------------------------------------

    def set_tight(self, on: bool) -> None:
        """Whether a strip needs room, too: the hands, or the keys of a replay."""
        self._tight = on
        self._fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Where two columns do not fit beside each other, one goes below the other."""
        self._fit()
        super().resizeEvent(event)

    def _fit(self) -> None:
        beside = self.width() >= current_theme().px(_TWO_COLUMNS)
        direction = QBoxLayout.Direction
        self._columns.setDirection(direction.LeftToRight if beside else direction.TopToBottom)
        self.answer.set_large(beside and not self._tight)

    # --- showing -------------------------------------------------------------------------------

    def show_scene(self, scene: BenchScene) -> None:
        """Draw it."""
        before, self._scene = self._scene, scene
        self._show_part(scene, before)
        self._show_side(scene)
        answered = scene.beneath.answered
        self.answer.setVisible(answered)
        self.plate.setVisible(not answered)
        self.reading.set_second(answered)
        column = self._right if answered else self._left
        if column.indexOf(self.reading) < 0:
            (self._left if answered else self._right).removeWidget(self.reading)
            column.insertWidget(0, self.reading)
        self.bias_note.setText(scene.bias_note)
        self.bias_note.setVisible(bool(scene.bias_note))
        self.cautions.show_lines(scene.cautions)
        self.ways.setVisible(scene.ways_to_begin)
        self._show_carton(scene, before)
        self.buttons.show_offers(scene.actions)

    def show_live(self, live: LiveReading, now_ns: int) -> None:
        """Draw the reading of the moment."""
        self.reading.show_pulse(live.state, live.quantity, now_ns)
        check = self._scene.check if self._scene is not None else None
        self.rulers.show_live(check, live.ruler_si)

    def _show_part(self, scene: BenchScene, before: BenchScene | None) -> None:
        check = scene.check
        if before is None or scene.part != before.part:
            self.rulers.begin(check)
        if before is None or check is not before.check or scene.plate_on != before.plate_on:
            judged = check is not None and check.verdict is not None
            (self.answer if judged else self.plate).show_check(check, scene.plate_on)
        self.rulers.choose(scene.rulers)
        self.leads.show_leads(scene.leads)
        self.leads.setVisible(scene.leads is not None)

    def _show_side(self, scene: BenchScene) -> None:
        side = self._sides[scene.beneath]
        focus = QApplication.focusWidget()
        in_form = focus is not None and self.form.isAncestorOf(focus)
        self.side.show_leaf(side)
        if in_form and side is not self.form:
            self.reading.setFocus()
        self.done.show_lines(scene.done)
        self._done_title.setVisible(bool(scene.done))
        self.done.setVisible(bool(scene.done))

    def _show_carton(self, scene: BenchScene, before: BenchScene | None) -> None:
        carton = scene.carton
        self.carton.setVisible(carton is not None)
        if carton is None:
            return
        self.carton.show_carton(carton)
        took = before is not None and before.carton is not None and before.carton.takes_codes
        if carton.takes_codes and not took:
            self.carton.take_focus()
