"""The rulers of the part in hand."""

from collections.abc import Collection

from PySide6.QtWidgets import QVBoxLayout, QWidget

from benchmeter.checking.part_check import PartCheck
from benchmeter.window.widgets.tolerance_ruler import ToleranceRuler

__all__ = ["BenchRulers"]


class BenchRulers(QWidget):
    """One ruler a section, by its name in `of`."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rows = QVBoxLayout(self)
        self._rows.setContentsMargins(0, 0, 0, 0)
        self.of: dict[str, ToleranceRuler] = {}

    def begin(self, check: PartCheck | None) -> None:
        """Make the rulers of another part."""
        for ruler in self.of.values():
            self._rows.removeWidget(ruler)
            ruler.deleteLater()
        self.of = {}
        for section in check.sections if check else ():
            ruler = ToleranceRuler(self)
            self.of[section.section.name] = ruler
            self._rows.addWidget(ruler)
            ruler.show_section(section, None)

    def show_live(self, check: PartCheck | None, live_si: float | None) -> None:
        """Show what the meter shows now at the section that is expected."""
        for section in check.sections if check else ():
            name = section.section.name
            if check is not None and name in self.of:
                self.of[name].show_section(section, live_si if check.expected == name else None)

    def choose(self, names: Collection[str]) -> None:
        """Show these only."""
        for name, ruler in self.of.items():
            ruler.setVisible(name in names)
