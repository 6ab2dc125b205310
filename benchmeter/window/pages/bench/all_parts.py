"""All parts of a carton, or of a session, together."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from benchmeter.scenes.carton import parts_together
from benchmeter.scenes.lot_scene import LotScene, lot_scene, readings_of_checks
from benchmeter.scenes.session_view import SessionView
from benchmeter.window.pages.bench.lot_view import LotView
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.keys import KeyButton

__all__ = ["AllParts"]


class AllParts(QWidget):
    """The statistics, and the way back to the part in hand.

    Signals:
        begin: never sent: nothing is begun from here.
        back: the part in hand is wanted again.
        next_step: what to do next has changed.
    """

    begin = Signal(object)
    back = Signal()
    next_step = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._scene: LotScene | None = None
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(current_theme().gap)
        self.view = LotView(self)
        rows.addWidget(self.view, 1)
        button = KeyButton(self.tr("page_bench.back_part"), "Esc", self, primary=True)
        button.clicked.connect(self.back)
        rows.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def open(self, view: SessionView) -> None:
        """Show what has been checked by now."""
        self._scene = lot_scene(readings_of_checks(*parts_together(view)), view.presentation)
        self.view.show_scene(self._scene)
        self.focus()
        self.next_step.emit()

    def focus(self) -> None:
        """Bring the keys here."""
        self.setFocus()

    def next_words(self) -> str:
        """What to do next, in one line."""
        return self._scene.next_step if self._scene is not None else ""
