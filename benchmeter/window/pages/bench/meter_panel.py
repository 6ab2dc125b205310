"""Part or meter: reading parts of known value, and taking a bias off once a person accepts it."""

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from benchmeter.checking.bias_offer import BiasOffer, accept
from benchmeter.checking.reference_check import reference_command, reference_text
from benchmeter.conformity.instrument_bias import MeterBias
from benchmeter.conformity.reference_part import ReferencePart
from benchmeter.errors import InputError, WorldError
from benchmeter.readings.inputs import AcceptBias
from benchmeter.window.control.services import MeterFound
from benchmeter.window.control.session_controller import SessionController
from benchmeter.window.pages.bench.meter_view import MeterView
from benchmeter.window.pages.bench.reference_form import ReferenceEntry, ReferenceForm
from benchmeter.window.widgets.stack import Stack

if TYPE_CHECKING:
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
        self._channel = ""
        self._accuracy = ""
        self._choose = ""
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        self._leaves = Stack(self)
        self.view = MeterView(self)
        self.form = ReferenceForm(self)
        for leaf in (self.view, self.form):
            self._leaves.add(leaf)
        rows.addWidget(self._leaves)
        self.view.read.connect(self._read)
        self.view.take_off.connect(self._take_off)
        self.view.put_back.connect(self._put_back)
        self.view.add.connect(self._open_form)
        self.view.back.connect(self.back)
        self.view.list.currentRowChanged.connect(self.next_step)
        self.form.entered.connect(self._write)
        self.form.put_off.connect(self._close_form)
        controller.folded.connect(self._folded)
        controller.preferences_changed.connect(self._look_changed)

    def open(self, channel: str, accuracy: str, choose: str = "") -> None:
        """Look up what is known of the meter.

        Args:
            channel: whose readings parts are judged by; "" none.
            accuracy: its lines; "" if not known.
            choose: name of the part to choose; "": the one chosen before.
        """
        self._channel, self._accuracy, self._choose = channel, accuracy, choose
        self._leaves.show_leaf(self.view)
        self._look()

    def next_words(self) -> str:
        """What to do next, in one line."""
        if self._leaves.shown() is self.form:
            return self.tr("page_meter.type_what_certificate_says")
        return self.view.next_words()

    def focus(self) -> None:
        """Bring the keys to what is shown."""
        if self._leaves.shown() is self.form:
            self.form.focus()
        elif self.view.list.isHidden():
            self.view.add_button.setFocus()
        else:
            self.view.list.setFocus()

    def _look(self) -> None:
        session = self.controller.session
        if session is None:
            return
        services, number, channel = self.controller.services, session.session_id, self._channel
        self.controller.ask_store(lambda s: services.meter(s, number, channel), self._show)

    def _show(self, found: MeterFound) -> None:
        view, session = self.controller.view, self.controller.session
        if view is None or session is None:
            return
        self.view.show_found(
            found,
            [bias for bias in view.biases if bias.channel == self._channel],
            meter_due=view.setup.calibration_due(self._channel),
            today=self.controller.today(),
            acts=self.controller.recording,
            choose=self._choose,
        )
        self._choose = ""
        if self.isVisible() and self._leaves.shown() is self.view:
            self.focus()
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
    def _read(self, part: ReferencePart) -> None:
        try:
            command = reference_command(
                part, self.controller.today(), accuracy=self._accuracy, channel=self._channel
            )
        except InputError as fault:
            self.controller.report(fault)
            return
        self.begin.emit(command)

    @Slot(object)
    def _take_off(self, offered: BiasOffer) -> None:
        self.controller.send(accept(offered, channel=self._channel))
        self.controller.say(
            self.tr("page_meter.from_next_part_bias"),
            self.tr("page_meter.record_says_so_x"),
        )

    @Slot(object)
    def _put_back(self, taken: MeterBias) -> None:
        none = AcceptBias(
            time_ns=0,
            channel=taken.channel,
            bias_si=taken.bias_si * 0,
            uncertainty_si=taken.expanded_uncertainty_si * 0,
            reference=reference_text(taken.reference),
        )
        self.controller.send(none)
        self.controller.say(self.tr("page_meter.from_next_part_nothing"))

    @Slot()
    def _open_form(self) -> None:
        self._leaves.show_leaf(self.form)
        self.form.focus()
        self.next_step.emit()

    @Slot()
    def _close_form(self) -> None:
        self._leaves.show_leaf(self.view)
        self.focus()
        self.next_step.emit()

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
