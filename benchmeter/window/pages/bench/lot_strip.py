"""The carton that is open: how far it is, which part comes next."""

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from benchmeter.scenes.carton import CartonScene
from benchmeter.window.theme.labels import label
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.code_field import CodeField
from benchmeter.window.widgets.flow import FlowLayout
from benchmeter.window.widgets.keys import KeyButton

__all__ = ["LotStrip"]


class LotStrip(QWidget):
    """Counts the parts of a carton and asks for the own number of the next one.

    Signals:
        begin: own number of the part to be tested now; one that was tested before is tested again.
        statistics: what the carton as a whole looks like is wanted.
        close_lot: the carton is done with.
        left_out: signs of a scanned code that could not be seen.
        look_at: own number of the part that is looked at; None: the next new one.
    """

    begin = Signal(str)
    statistics = Signal()
    close_lot = Signal()
    left_out = Signal(int)
    look_at = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._scene: CartonScene | None = None
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(current_theme().px(4))
        self.counts = label(size="lead")
        rows.addWidget(self.counts)
        line = QHBoxLayout()
        line.setSpacing(current_theme().px(8))
        self._asks = label(self.tr("page_lot.next_part_s_own"), wrap=False)
        self.field = CodeField(self)
        self.field.setAccessibleName(self._asks.text())
        self._asks.setBuddy(self.field)
        self.field.entered.connect(self.begin)
        self.field.left_out.connect(self.left_out)
        line.addWidget(self._asks)
        line.addWidget(self.field, 1)
        rows.addLayout(line)
        self.known = label(size="small", tone="faint")
        rows.addWidget(self.known)
        self.previous = KeyButton(self.tr("page_lot.part_before"), "Alt+Up", self)
        self.previous.clicked.connect(self._previous)
        self.following = KeyButton(self.tr("page_lot.part_after"), "Alt+Down", self)
        self.following.clicked.connect(self._following)
        self.statistics_button = KeyButton(self.tr("page_lot.whole_carton"), "Alt+L", self)
        self.statistics_button.clicked.connect(self.statistics)
        self.close_button = KeyButton(self.tr("page_lot.close_carton"), "Alt+C", self)
        self.close_button.clicked.connect(self.close_lot)
        flow = FlowLayout(spacing=current_theme().px(6))
        for button in (
            self.previous,
            self.following,
            self.statistics_button,
            self.close_button,
        ):
            flow.addWidget(button)
        rows.addLayout(flow)

    def show_carton(self, scene: CartonScene) -> None:
        """Show how far the carton is; what is being typed stays, unless another part has begun."""
        before, self._scene = self._scene, scene
        self.counts.setText(scene.counts)
        other = before is None or (scene.lot, scene.size, scene.place, scene.number) != (
            before.lot,
            before.size,
            before.place,
            before.number,
        )
        if other or (scene.waits and not self.field.isModified() and scene.place is None):
            self.field.offer(scene.number)
        self.known.setText(scene.known)
        self.known.setVisible(bool(scene.known))
        self.field.setEnabled(scene.waits)
        self.previous.setEnabled(scene.can_go_back)
        self.following.setEnabled(scene.can_go_on)

    def take_focus(self) -> None:
        """The next code that is scanned or confirmed belongs here."""
        self.field.setFocus()
        self.field.selectAll()

    @Slot()
    def _previous(self) -> None:
        if self._scene is not None and self._scene.before is not None:
            self.look_at.emit(self._scene.before)
            self.take_focus()

    @Slot()
    def _following(self) -> None:
        if self._scene is not None and self._scene.place is not None:
            self.look_at.emit(self._scene.after)
            self.take_focus()
