"""The three ways to begin: the simulated bench, a meter, readings typed in."""

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QWidget

from benchmeter.gui.flow import FlowLayout
from benchmeter.gui.keys import KeyButton
from benchmeter.gui.palette import current_look
from benchmeter.settings.resources import STANDARD_SCENARIO

__all__ = ["WaysToBegin"]


class WaysToBegin(QWidget):
    """A row of buttons, wherever nothing is being recorded.

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
        flow = FlowLayout(self, spacing=current_look().gap)
        self.simulate_button = KeyButton(
            self.tr("Try the simulated bench"), "B", self, primary=True
        )
        self.simulate_button.clicked.connect(self._simulate)
        self.connect_button = KeyButton(self.tr("Connect a meter"), "C", self)
        self.connect_button.clicked.connect(self.connect_meter)
        self.type_button = KeyButton(self.tr("Only type readings"), "K", self)
        self.type_button.clicked.connect(self.type_only)
        for button in (self.simulate_button, self.connect_button, self.type_button):
            flow.addWidget(button)

    @Slot()
    def _simulate(self) -> None:
        self.simulate.emit(STANDARD_SCENARIO)
