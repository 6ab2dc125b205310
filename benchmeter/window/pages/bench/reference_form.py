"""The form for a further part of known value."""

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QGridLayout, QLineEdit, QVBoxLayout, QWidget

from benchmeter.errors import WorldError
from benchmeter.scenes.reference_form_scene import (
    ReferenceEntry,
    ReferenceField,
    faulty_field,
    reference_entry,
)
from benchmeter.window.theme.labels import label
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.flow import FlowLayout
from benchmeter.window.widgets.keys import KeyButton

__all__ = ["ReferenceForm"]


class ReferenceForm(QWidget):
    """Asks for name, value, uncertainty and dates; what was typed stays until it is written.

    Signals:
        entered: a ReferenceEntry.
        put_off: the form is to be left.
    """

    entered = Signal(object)
    put_off = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        look = current_theme()
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(look.px(4))
        self.title = label(self.tr("page_meter.part_whose_value_known"), size="title")
        rows.addWidget(self.title)
        rows.addWidget(
            label(
                self.tr("page_meter.any_steady_part_will"),
                size="small",
            )
        )
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(look.gap)
        self._grid.setVerticalSpacing(look.px(4))
        self.name_field = self._field(0, 0, self.tr("page_meter.name_written_part"), "R45")
        self.by_field = self._field(
            0, 1, self.tr("page_meter.from_whom_may_empty"), "certificate 4711"
        )
        self.value_field = self._field(1, 0, self.tr("page_meter.value_unit"), "45.02 µF")
        self.uncertainty_field = self._field(
            1, 1, self.tr("page_meter.uncertainty_u_k_2"), "0.09 µF"
        )
        self.date_field = self._field(
            2, 0, self.tr("page_meter.when_was_determined_year"), "2026-01-10"
        )
        self.due_field = self._field(2, 1, self.tr("page_meter.good_until_may_empty"), "2027-01-10")
        self._fields = {
            ReferenceField.NAME: self.name_field,
            ReferenceField.BY: self.by_field,
            ReferenceField.VALUE: self.value_field,
            ReferenceField.UNCERTAINTY: self.uncertainty_field,
            ReferenceField.DATE: self.date_field,
            ReferenceField.DUE: self.due_field,
        }
        rows.addLayout(self._grid)
        self.fault = label(tone="bad")
        self.fault.hide()
        rows.addWidget(self.fault)
        buttons = FlowLayout(spacing=look.gap)
        self.write = KeyButton(
            self.tr("page_meter.write_list"), "Return", self, primary=True, within=self
        )
        self.write.clicked.connect(self._enter)
        self.back = KeyButton(self.tr("page_meter.later"), "Esc", self)
        self.back.clicked.connect(self.put_off)
        buttons.addWidget(self.write)
        buttons.addWidget(self.back)
        rows.addSpacing(look.px(8))
        rows.addLayout(buttons)
        rows.addStretch(1)

    def _field(self, row: int, column: int, title: str, example: str) -> QLineEdit:
        field = QLineEdit(self)
        field.setPlaceholderText(example)
        field.setAccessibleName(title)
        words = label(title, size="small")
        words.setBuddy(field)
        self._grid.addWidget(words, 2 * row, column, Qt.AlignmentFlag.AlignBottom)
        self._grid.addWidget(field, 2 * row + 1, column)
        return field

    def focus(self) -> None:
        """Begin to type."""
        self.name_field.setFocus()

    def complain(self, words: str) -> None:
        """Say what is wrong; "": nothing."""
        self.fault.setText(words)
        self.fault.setVisible(bool(words))

    def refuse(self, fault: WorldError) -> None:
        """Say why it was not written, at the field that is to be mended."""
        self.complain(str(current_theme().presentation.tell(fault)))
        field = faulty_field(fault)
        if field is not None:
            self._mend(field)

    def _mend(self, field: ReferenceField) -> None:
        self._fields[field].setFocus()
        self._fields[field].selectAll()

    def clear(self) -> None:
        """Forget what was typed: it is written."""
        for field in self.findChildren(QLineEdit):
            field.clear()
        self.complain("")

    @Slot()
    def _enter(self) -> None:
        """Return walks on from field to field; only what is still missing is asked for."""
        found = reference_entry({name: field.text() for name, field in self._fields.items()})
        if isinstance(found, ReferenceEntry):
            self.complain("")
            self.entered.emit(found)
            return
        field, words = self._fields[found.field], ""
        if found.message is not None:
            words = str(current_theme().presentation.tell(found.message))
        elif field is self.focusWidget():
            missing = self.tr("page_meter.still_missing_what")
            words = missing.format(what=field.accessibleName())
        self.complain(words)
        self._mend(found.field)
