"""The caution about stored charge, until the residual voltage has been measured."""

from PySide6.QtCore import QCoreApplication, Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QWidget

from benchmeter.checking.safety import PartSafety, SafetyReason
from benchmeter.window.theme.labels import label
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.caution import CautionLines
from benchmeter.window.widgets.keys import KeyButton

__all__ = ["SafetyRow", "residual_words"]


def residual_words(safety: PartSafety) -> str:
    """What is known of the charge on the part, in one short sentence."""
    tr = QCoreApplication.translate
    if safety.volts is None or safety.volts.residual_v is None:
        return tr(
            "SafetyRow",
            "window.stored_charge_can_kill_2",
        )
    volts = f"{safety.volts.residual_v:.1f}"
    if not safety.may_be_touched:
        return tr(
            "SafetyRow",
            "window.volts_v_left_part_2",
        ).format(volts=volts)
    if safety.reason is SafetyReason.TYPED:
        return tr("SafetyRow", "window.volts_v_left_part_3").format(volts=volts)
    return tr("SafetyRow", "window.volts_v_left_part").format(volts=volts)


def _short_words() -> str:
    return QCoreApplication.translate("SafetyRow", "window.stored_charge_can_kill")


class SafetyRow(QWidget):
    """Stands above every place where hands come near live parts; cannot be put away.

    Signals:
        take_residual: the meter's leads are on the part: what it shows counts.
        type_residual: the residual voltage is to be typed in.
    """

    take_residual = Signal()
    type_residual = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(current_theme().gap)
        self.caution = CautionLines((), self)
        self.take = KeyButton(self.tr("window.take_volts"), "V", self)
        self.take.clicked.connect(self.take_residual)
        self.button = KeyButton(self.tr("window.type_volts"), "Shift+V", self)
        self.button.clicked.connect(self.type_residual)
        row.addWidget(self.caution, 1, Qt.AlignmentFlag.AlignVCenter)
        row.addWidget(self.take, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self.button, 0, Qt.AlignmentFlag.AlignTop)
        self.plain = label(size="small")
        row.insertWidget(1, self.plain, 1)
        self.words = ""
        self._compact = False
        self._shown = (PartSafety(), False, False)
        self._discharge = ""
        self.show_safety(PartSafety(), can_take=False, can_type=False)

    def set_compact(self, on: bool) -> None:
        """Whether there is room for few words and one button only."""
        if on != self._compact:
            self._compact = on
            safety, can_take, can_type = self._shown
            self.show_safety(safety, can_take=can_take, can_type=can_type)

    def show_discharge(self, words: str) -> None:
        """How long the part in hand takes to be discharged; "" if its label does not tell."""
        if words != self._discharge:
            self._discharge = words
            safety, can_take, can_type = self._shown
            self.show_safety(safety, can_take=can_take, can_type=can_type)

    def show_safety(self, safety: PartSafety, *, can_take: bool, can_type: bool) -> None:
        """Show what is known.

        Args:
            can_take: a meter for it is connected.
            can_type: a session runs that would note it.
        """
        self._shown = (safety, can_take, can_type)
        self.words = residual_words(safety)
        if self._compact and safety.reason in (SafetyReason.NOT_MEASURED, SafetyReason.UNKNOWN):
            self.words = _short_words()
        safe = safety.may_be_touched
        if not safe and self._discharge:
            self.words = f"{self.words} {self._discharge}"
        self.caution.show_lines(() if safe else (self.words,))
        self.plain.setText(self.words if safe else "")
        self.plain.setVisible(safe)
        self.take.setVisible(can_take and not safe)
        beside = not (self._compact and can_take)  # there is room for one of them only
        self.button.setVisible(can_type and not safe and beside)
