"""Part or meter: reading parts of known value, and taking a bias off once a person accepts it."""

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from benchmeter.checking.commands import AcceptBias
from benchmeter.conformity.reference_part import ReferencePart
from benchmeter.errors import WorldError
from benchmeter.scenes.meter_actions import MeterAct
from benchmeter.scenes.meter_parts import kept_part, known_parts
from benchmeter.scenes.meter_scene import MeterSceneState, meter_scene
from benchmeter.scenes.reference_form_scene import ReferenceEntry
from benchmeter.session.outcome import Severity
from benchmeter.window.control.session_controller import SessionController
from benchmeter.window.pages.bench.meter_view import MeterView
from benchmeter.window.pages.bench.reference_form import ReferenceForm
from benchmeter.window.widgets.stack import Stack

if TYPE_CHECKING:
    from benchmeter.scenes.session_view import SessionView
    from benchmeter.tasks.known_parts import MeterFound
    from benchmeter.window.control.session_model import Changes

__all__ = ["MeterPanel"]


class MeterPanel(QWidget):
    """The meter that parts are judged by, and the list of parts of known value.

    Signals:
        begin: a BeginCheck that reads a part of known value.
        back: the part in hand is wanted again.
        next_step: what to do next may have changed.
    """

    begin = Signal(object)
    back = Signal()
    next_step = Signal()

    def __init__(self, controller: SessionController, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.controller = controller
        self._found: MeterFound | None = None
        self._writing = False
        self._choose = ""
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        self._leaves = Stack(self)
        self.view = MeterView(self)
        self.form = ReferenceForm(self)
        for leaf in (self.view, self.form):
            self._leaves.add(leaf)
        rows.addWidget(self._leaves)
        self.view.wanted.connect(self._do)
        self.view.chosen.connect(self.renew)
        self.form.entered.connect(self._write)
        self.form.put_off.connect(self._close_form)
        controller.folded.connect(self._folded)
        controller.preferences_changed.connect(self._look_changed)
        self._scene = meter_scene(controller.seen(), None, 0)

    def open(self, view: "SessionView") -> None:
        """Look up what is known of the meter; a part of known value in hand is chosen."""
        check = view.check
        self._choose = check.reference.name if check is not None and check.reference else ""
        self._writing = False
        self.renew()
        self._look()

    def next_words(self) -> str:
        """What to do next, in one line."""
        return self._scene.next_step

    def focus(self) -> None:
        """Bring the keys to what is shown."""
        if self._writing:
            self.form.focus()
        elif self.view.list.isHidden():
            self.view.buttons[MeterAct.ADD].setFocus()
        else:
            self.view.list.setFocus()

    # --- showing -------------------------------------------------------------------------------

    def _look(self) -> None:
        view, services = self.controller.seen(), self.controller.services
        meter = view.roles.part_meter
        channel = meter.name if meter is not None else ""
        self.controller.ask_store(
            lambda store: services.meter(store, view.session_id, channel), self._looked_up
        )

    def _looked_up(self, found: "MeterFound") -> None:
        row = self.view.row()
        before = known_parts(self._found) if self._found is not None else ()
        name = self._choose or (before[row].part.name if 0 <= row < len(before) else "")
        self._found, self._choose = found, ""
        self._show(kept_part(found, name))
        if self.isVisible() and not self._writing:
            self.focus()

    @Slot()
    def renew(self) -> None:
        """Draw the scene anew."""
        self._show(max(self.view.row(), 0))

    def _show(self, row: int) -> None:
        view = self.controller.seen()
        scene = self._scene = meter_scene(view, self._found, row, writing=self._writing)
        self.view.show_scene(scene)
        writing = scene.state is MeterSceneState.WRITING
        self._leaves.show_leaf(self.form if writing else self.view)
        self.next_step.emit()

    @Slot()
    def _look_changed(self) -> None:
        if self.isVisible():
            self._look()

    @Slot(object)
    def _folded(self, changes: "Changes") -> None:
        if not self.isVisible():
            return
        if changes.biases or any(check.reference is not None for check in changes.judged):
            self._look()

    # --- doing ---------------------------------------------------------------------------------

    @Slot(object)
    def _do(self, act: MeterAct) -> None:
        offer = self._scene.actions[act]
        if isinstance(offer.command, AcceptBias):
            self.controller.send(offer.command)
        elif offer.command is not None:
            self.begin.emit(offer.command)
        if offer.notice is not None:
            severity = Severity.ERROR if offer.command is None else Severity.INFO
            self.controller.say(offer.notice.text, offer.notice.advice, severity)
        if act is MeterAct.BACK:
            self.back.emit()
        elif act is MeterAct.ADD:
            self._writing = True
            self.renew()
            self.focus()

    @Slot()
    def _close_form(self) -> None:
        self._writing = False
        self.renew()
        self.focus()

    @Slot(object)
    def _write(self, entry: ReferenceEntry) -> None:
        services = self.controller.services
        self.controller.ask(
            lambda: services.add_reference_part(
                name=entry.name,
                value=entry.value,
                uncertainty=entry.uncertainty,
                valued_on=entry.valued_on,
                valued_by=entry.valued_by,
                due=entry.due,
            ),
            self._written,
        )

    def _written(self, part: ReferencePart | WorldError) -> None:
        if isinstance(part, WorldError):
            self.form.refuse(part)
            return
        self.form.clear()
        self._choose = part.name
        self._close_form()
        self._look()
