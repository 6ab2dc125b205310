"""What is known of the volts on the part; a caution until the charge was seen to be gone."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QWidget

from benchmeter.scenes.safety_scene import SafetyScene
from benchmeter.window.theme.labels import label
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.caution import CautionLines
from benchmeter.window.widgets.keys import KeyButton

__all__ = ["SafetyRow"]


class SafetyRow(QWidget):
    """Stands above every place where hands come near live parts; cannot be put away.

    Signals:
        take_residual: the meter's leads are on the part: what it shows counts.
        prove_meter: the voltmeter is on a live source.
        type_residual: the residual voltage is to be typed in.
    """

    take_residual = Signal()
    prove_meter = Signal()
    type_residual = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(current_theme().gap)
        self.caution = CautionLines((), self)
        self.take = KeyButton(self.tr("window.take_volts"), "V", self)
        self.take.clicked.connect(self.take_residual)
        self.prove = KeyButton(self.tr("window.prove_meter"), "J", self)
        self.prove.clicked.connect(self.prove_meter)
        self.button = KeyButton(self.tr("window.type_volts"), "Shift+V", self)
        self.button.clicked.connect(self.type_residual)
        row.addWidget(self.caution, 1, Qt.AlignmentFlag.AlignVCenter)
        row.addWidget(self.take, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self.prove, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self.button, 0, Qt.AlignmentFlag.AlignTop)
        self.plain = label(size="small")
        row.insertWidget(1, self.plain, 1)
        self.words = ""
        self.prove.hide()
        self.take.hide()

    def show_scene(self, scene: SafetyScene) -> None:
        self.words = scene.words
        self.caution.show_lines((scene.words,) if scene.caution else ())
        self.plain.setText("" if scene.caution else scene.words)
        self.plain.setVisible(not scene.caution)
        self.take.setVisible(scene.take)
        self.prove.setVisible(scene.prove)
        self.button.setVisible(scene.ask)
