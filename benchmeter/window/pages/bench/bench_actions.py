"""What can be done with the reading and the part, as buttons with their keys."""

from collections.abc import Mapping

from PySide6.QtCore import Signal, Slot
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QWidget

from benchmeter.scenes.bench_action_scene import Act
from benchmeter.scenes.offer import Offer
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.flow import FlowLayout
from benchmeter.window.widgets.keys import KeyButton

__all__ = ["BenchActions"]

_FOOT = "PgDown"
"""Most foot switches type a key, this one or Space as they come (common practice, no source)."""
_KEYS = {
    Act.TAKE: "Space",
    Act.PART: "N",
    Act.UNDO: "U",
    Act.REPEAT: "R",
    Act.AGAIN: "Shift+R",
    Act.SECTION: "S",
    Act.MARKER: "M",
    Act.NULL: "O",
    Act.TYPING: "T",
    Act.REPLACEMENT: "P",
    Act.METER: "E",
    Act.INDICATION: "I",
    Act.TAG: "G",
    Act.STATISTICS: "L",
}


class BenchActions(QWidget):
    """The buttons of the bench: those of the moment; what cannot be done now is dashed.

    Signals:
        wanted: the Act whose button was pressed.
    """

    wanted = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        flow = FlowLayout(self, spacing=current_theme().px(6))
        self.of: dict[Act, KeyButton] = {}
        for act, key in _KEYS.items():
            button = KeyButton("", key, self)
            button.setObjectName(act)
            button.clicked.connect(self._pressed)
            self.of[act] = button
            flow.addWidget(button)
        self.of[Act.INDICATION].setCheckable(True)
        foot = QShortcut(QKeySequence(_FOOT), self.of[Act.TAKE])
        foot.setAutoRepeat(False)
        foot.activated.connect(self.of[Act.TAKE].click)

    def show_offers(self, offers: Mapping[Act, Offer]) -> None:
        """Show what is offered."""
        for act, offer in offers.items():
            self.of[act].show_offer(offer)

    @Slot()
    def _pressed(self) -> None:
        self.wanted.emit(Act(self.sender().objectName()))
