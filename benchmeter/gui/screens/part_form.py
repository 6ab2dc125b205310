"""What is to be checked: the label, the part's own name, the meter's accuracy line."""

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent, QUndoCommand, QUndoStack
from PySide6.QtWidgets import QComboBox, QLineEdit, QVBoxLayout, QWidget

from benchmeter.errors import InputError
from benchmeter.gui.flow import FlowLayout
from benchmeter.gui.keys import KeyButton
from benchmeter.gui.palette import current_look
from benchmeter.gui.text import label
from benchmeter.readings.inputs import BeginCheck

__all__ = ["PartForm"]


class _FieldEdit(QUndoCommand):
    """An edit of one field of the form."""

    def __init__(self, form: "PartForm", field: QLineEdit, before: str, after: str) -> None:
        super().__init__()
        self._form, self._field, self._before, self._after = form, field, before, after

    def undo(self) -> None:
        self._form.put(self._field, self._before)

    def redo(self) -> None:
        self._form.put(self._field, self._after)


class PartForm(QWidget):
    """Asks for a part, and makes the command that begins its check.

    Signals:
        begin: a BeginCheck whose texts have been understood.
        put_off: Esc: back to the check that is running, or out of the fields.
    """

    begin = Signal(object)
    put_off = Signal()

    def __init__(self, undo: QUndoStack, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._undo = undo
        self._known: dict[QLineEdit, str] = {}
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(current_look().px(4))
        self.label_box = QComboBox(self)
        self.label_box.setEditable(True)
        self.label_box.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        self.label_box.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.label_box.setMinimumContentsLength(12)
        edit = self.label_box.lineEdit()
        assert edit is not None
        self.label_field: QLineEdit = edit
        self.label_field.setPlaceholderText("40/6 µF ±5 % 440 V")
        self.tolerance_field = QLineEdit(self)
        self.tolerance_field.setPlaceholderText("5 %")
        self.part_field = QLineEdit(self)
        self.accuracy_field = QLineEdit(self)
        self.accuracy_field.setPlaceholderText("1.2 % + 2 x 0.1 uF")
        self.fault = label(tone="bad")
        self.fault.hide()
        self._tolerance_title = label(self.tr("Tolerance (the label gives none)"), size="small")
        titles = (
            (label(self.tr("What does the label say?"), size="small"), self.label_box),
            (self._tolerance_title, self.tolerance_field),
            (label(self.tr("Your name for the part"), size="small"), self.part_field),
            (
                label(self.tr("The meter's accuracy line (may be empty)"), size="small"),
                self.accuracy_field,
            ),
        )
        for title, field in titles:
            rows.addWidget(title)
            rows.addWidget(field)
            title.setBuddy(field)
            field.setAccessibleName(title.text())
        rows.addWidget(self.fault)
        buttons = FlowLayout(spacing=current_look().gap)
        self.start = KeyButton(
            self.tr("Start the check"), "Return", self, primary=True, within=self
        )
        self.start.clicked.connect(self._begin)
        self.back = KeyButton(self.tr("Back to the check"), "Esc", self, within=self)
        self.back.clicked.connect(self.put_off)
        buttons.addWidget(self.start)
        buttons.addWidget(self.back)
        rows.addSpacing(current_look().px(8))
        rows.addLayout(buttons)
        rows.addStretch(1)
        self._ask_tolerance(False)
        for field in self._fields():
            self._known[field] = ""
            field.editingFinished.connect(self._edited)
            field.returnPressed.connect(self._begin)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.put_off.emit()
        else:
            super().keyPressEvent(event)

    def _fields(self) -> tuple[QLineEdit, ...]:
        return (self.label_field, self.tolerance_field, self.part_field, self.accuracy_field)

    def prepare(self, labels: Sequence[str], part: str, accuracy: str, *, check_runs: bool) -> None:
        """Open the form for a further part.

        Args:
            labels: typed before, newest first.
            part, accuracy: what is offered.
            check_runs: whether there is a check to go back to.
        """
        text = self.label_field.text() or (labels[0] if labels else "")
        self.label_box.clear()
        self.label_box.addItems(list(labels))
        self.put(self.label_field, text)
        self.put(self.part_field, part)
        self.put(self.accuracy_field, accuracy)
        self.put(self.tolerance_field, "")
        self._ask_tolerance(False)
        self._complain("")
        self.back.setVisible(check_runs)

    def focus(self) -> None:
        """Begin to type at the label."""
        self.label_field.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.label_field.selectAll()

    def use_label(self, text: str, part: str) -> None:
        """Take over label and name of a part, as if they had been typed."""
        for field, words in ((self.label_field, text), (self.part_field, part)):
            self._remember(field, self._known[field], words)
            self.put(field, words)
        self._complain("")

    def put(self, field: QLineEdit, text: str) -> None:
        """Set a field without making it an edit of its own."""
        self._known[field] = text
        field.setText(text)

    def _remember(self, field: QLineEdit, before: str, after: str) -> None:
        self._known[field] = after
        if before != after:
            self._undo.push(_FieldEdit(self, field, before, after))

    @Slot()
    def _edited(self) -> None:
        for field in self._fields():
            if field.text() != self._known[field]:
                self._remember(field, self._known[field], field.text())

    @Slot()
    def _begin(self) -> None:
        from benchmeter.conformity.accuracy import parse_accuracy
        from benchmeter.conformity.label import ToleranceMissing, parse_label

        text = self.label_field.text().strip()
        accuracy = self.accuracy_field.text().strip()
        tolerance = self.tolerance_field.text().strip()
        if not text:
            self._complain(self.tr("Type what the label says, like 40/6 µF ±5 %."))
            self.focus()
            return
        try:
            parse_label(text, tolerance)
        except ToleranceMissing as fault:
            self._ask_tolerance(True)
            self._complain(str(fault))
            self.tolerance_field.setFocus()
            return
        except InputError as fault:
            self._complain(str(fault))
            (self.tolerance_field if tolerance else self.label_field).setFocus()
            return
        try:
            if accuracy:
                parse_accuracy(accuracy)
        except InputError as fault:
            self._complain(str(fault))
            self.accuracy_field.setFocus()
            return
        self._complain("")
        part = self.part_field.text().strip() or self.tr("part")
        self.begin.emit(
            BeginCheck(time_ns=0, part=part, label=text, tolerance=tolerance, accuracy=accuracy)
        )

    def _ask_tolerance(self, ask: bool) -> None:
        self._tolerance_title.setVisible(ask)
        self.tolerance_field.setVisible(ask)

    def _complain(self, text: str) -> None:
        self.fault.setText(text)
        self.fault.setVisible(bool(text))
