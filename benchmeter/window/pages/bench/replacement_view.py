"""What may replace the part in hand: the stock list against it, best first."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from benchmeter.scenes.replacement_scene import (
    ReplacementAct,
    ReplacementScene,
    kept_row,
    replacement_scene,
)
from benchmeter.window.control.session_controller import SessionController
from benchmeter.window.theme.labels import label
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.flow import FlowLayout
from benchmeter.window.widgets.keys import KeyButton
from benchmeter.window.widgets.line_list import LineList

if TYPE_CHECKING:
    from benchmeter.scenes.session_view import SessionView
    from benchmeter.tasks.replacing import ForPart, StockFound

__all__ = ["ReplacementView"]

_KEYS = {
    ReplacementAct.MEASURE: "Return",
    ReplacementAct.EXAMPLE: "X",
    ReplacementAct.AGAIN: "A",
    ReplacementAct.BACK: "Esc",
}


class ReplacementView(QWidget):
    """The list, the way to measure what is chosen, and how the list is written.

    Signals:
        begin: a BeginCheck of the chosen part, by the rule of the old one.
        back: the part in hand is wanted again.
        next_step: what to do next may have changed.
    """

    begin = Signal(object)
    back = Signal()
    next_step = Signal()

    def __init__(self, controller: SessionController, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        look = current_theme()
        self.controller = controller
        self._looked: ForPart | None = None
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(look.px(6))
        self.subject = label(size="small")
        self.answer = label(size="title")
        self.why = label()
        self.list = LineList(200, self)
        self.list.setAccessibleName(self.tr("page_replacements.parts_stock_list_best"))
        self.list.currentRowChanged.connect(self.renew)
        self.faults = label(size="small", tone="caution")
        for widget in (self.subject, self.answer, self.why):
            rows.addWidget(widget)
        rows.addWidget(self.list, 1)
        self._below = QWidget(self)  # takes the room where there is no list
        self._below.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Expanding)
        rows.addWidget(self._below, 1)
        rows.addWidget(self.faults)
        rows.addLayout(self._make_buttons())
        controller.preferences_changed.connect(self._look_changed)
        self._scene = replacement_scene(controller.seen(), None, 0)
        self.show_scene(self._scene)

    def _make_buttons(self) -> FlowLayout:
        flow = FlowLayout(spacing=current_theme().px(6))
        self.buttons: dict[ReplacementAct, KeyButton] = {}
        for act, key in _KEYS.items():
            button = KeyButton("", key, self)
            button.setObjectName(act)
            button.clicked.connect(self._pressed)
            self.buttons[act] = button
            flow.addWidget(button)
        return flow

    def open(self, _view: "SessionView") -> None:
        """Read the stock list."""
        self._look()

    def next_words(self) -> str:
        """What to do next, in one line."""
        return self._scene.next_step

    def focus(self) -> None:
        """Bring the keys to the list."""
        back = self.buttons[ReplacementAct.BACK]
        (back if self.list.isHidden() else self.list).setFocus()

    # --- showing -------------------------------------------------------------------------------

    def _look(self) -> None:
        self._ask(self.controller.services.stock)

    @Slot()
    def _look_changed(self) -> None:
        if self.isVisible():
            self._look()

    def _ask(self, stock: "Callable[[], StockFound]") -> None:
        view = self.controller.seen()

        def work() -> "ForPart":
            from benchmeter.tasks.replacing import replace_part

            return replace_part(stock(), view.checks, view.check)

        self.controller.ask(work, self._found)

    def _found(self, looked: "ForPart") -> None:
        before, lines = self.list.currentRow(), self._looked.lines if self._looked else ()
        self._looked = looked
        row = kept_row(looked, lines[before] if 0 <= before < len(lines) else None)
        self.show_scene(replacement_scene(self.controller.seen(), looked, row))
        if self.isVisible():
            self.focus()

    @Slot()
    def renew(self) -> None:
        """Draw the scene anew."""
        row = self.list.currentRow()
        self.show_scene(replacement_scene(self.controller.seen(), self._looked, row))

    def show_scene(self, scene: ReplacementScene) -> None:
        """Draw it."""
        before, self._scene = self._scene, scene
        self.subject.setText(scene.subject)
        self.answer.setText(scene.answer)
        self.why.setText(scene.why)
        if scene.lines != before.lines:
            self.list.blockSignals(True)
            self.list.clear()
            for line in scene.lines:
                self.list.add_line(line.words, line.shape, line.tone)
            self.list.setCurrentRow(scene.chosen)
            self.list.blockSignals(False)
        self.list.setVisible(bool(scene.lines))
        self._below.setVisible(not scene.lines)
        self.faults.setText("\n".join(scene.faults))
        self.faults.setVisible(bool(scene.faults))
        for act, offer in scene.actions.items():
            self.buttons[act].show_offer(offer)
        self.next_step.emit()

    # --- doing ---------------------------------------------------------------------------------

    @Slot()
    def _pressed(self) -> None:
        act = ReplacementAct(self.sender().objectName())
        match act:
            case ReplacementAct.MEASURE:
                self.begin.emit(self._scene.actions[act].command)
            case ReplacementAct.EXAMPLE:
                self._ask(self.controller.services.make_example_stock)
            case ReplacementAct.AGAIN:
                self._look()
            case ReplacementAct.BACK:
                self.back.emit()
