"""The form for a further part of known value."""

from dataclasses import dataclass
from datetime import date

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QGridLayout, QLineEdit, QVBoxLayout, QWidget

from benchmeter.errors import InputError, WorldError
from benchmeter.window.theme.labels import label
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.flow import FlowLayout
from benchmeter.window.widgets.keys import KeyButton

__all__ = ["ReferenceEntry", "ReferenceForm"]


@dataclass(frozen=True, slots=True)
class ReferenceEntry:
    """What was typed; dates are dates, the rest is as it was typed."""

    name: str
    value: str
    uncertainty: str
    valued_on: date
    valued_by: str
    due: date | None


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
        fields = {
            "name": self.name_field,
            "value": self.value_field,
            "uncertainty": self.uncertainty_field,
            "due": self.due_field,
        }
        field = fields.get(str(fault.message.parameters.get("where")))
        if field is not None:
            field.setFocus()
            field.selectAll()

    def clear(self) -> None:
        """Forget what was typed: it is written."""
        for field in self.findChildren(QLineEdit):
            field.clear()
        self.complain("")

    @Slot()
    def _enter(self) -> None:
        missing = next(
            (
                field
                for field in (
                    self.name_field,
                    self.value_field,
                    self.uncertainty_field,
                    self.date_field,
                )
                if not field.text().strip()
            ),
            None,
        )
        if missing is not None:
            # Return walks on from field to field; only what is still missing is asked for.
            self.complain(
                self.tr("page_meter.still_missing_what").format(what=missing.accessibleName())
                if missing is self.focusWidget()
                else ""
            )
            missing.setFocus()
            return
        try:
            entry = self._entry()
        except InputError as fault:
            self.complain(str(current_theme().presentation.tell(fault)))
            return
        self.complain("")
        self.entered.emit(entry)

    def _entry(self) -> ReferenceEntry:
        return ReferenceEntry(
            self.name_field.text(),
            self.value_field.text(),
            self.uncertainty_field.text(),
            self._date(self.date_field),
            self.by_field.text(),
            self._date(self.due_field) if self.due_field.text().strip() else None,
        )

    def _date(self, field: QLineEdit) -> date:
        text = field.text().strip()
        try:
            return date.fromisoformat(text)
        except ValueError:
            field.setFocus()
            field.selectAll()
            raise InputError(
                self.tr("page_meter.text_no_date").format(text=text[:40]),
                self.tr("page_meter.write_like_2026_01"),
            ) from None
