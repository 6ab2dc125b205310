"""What is to be checked: kind, label, the part's own name, its carton, the meter's accuracy."""

from collections.abc import Mapping, Sequence

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent, QUndoCommand, QUndoStack
from PySide6.QtWidgets import QComboBox, QGridLayout, QLabel, QLineEdit, QVBoxLayout, QWidget

from benchmeter.parts.part_kind import PartKind
from benchmeter.scenes.bench import FormOffer
from benchmeter.scenes.part_form_scene import (
    FormFault,
    FormField,
    TypedPart,
    begun_part,
    fitting_labels,
    kind_needs,
    next_number,
)
from benchmeter.window.pages.bench.kind_choice import KindChoice
from benchmeter.window.theme.labels import label
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.code_field import CodeField, readable
from benchmeter.window.widgets.flow import FlowLayout
from benchmeter.window.widgets.keys import KeyButton

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

    With a carton named, the part has an own number in place of a name: typed, scanned, or, left
    empty, counted on.

    Signals:
        begin: a BeginCheck whose texts have been understood.
        put_off: Esc: back to the check that is running, or out of the fields.
        left_out: how many signs of a scanned code could not be seen and were dropped.
    """

    begin = Signal(object)
    put_off = Signal()
    left_out = Signal(int)

    def __init__(self, undo: QUndoStack, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._undo = undo
        self._known: dict[QLineEdit, str] = {}
        self._labels: Sequence[str] = ()
        self._tested: Mapping[str, Sequence[str]] = {}
        self._told = ""  # a code that was tested before, and that this was said
        self._texts: dict[str, str] = {}  # label by kind
        self._kind_name = ""
        self._make_fields()
        self._lay_out()
        self._show_kind()
        self._show_lot()
        for field in self._fields():
            self._known[field] = field.text()
            field.editingFinished.connect(self._edited)
        for field in (
            self.label_field,
            self.tolerance_field,
            self.part_field,
            self.accuracy_field,
            self.seen_field,
        ):
            field.returnPressed.connect(self._press)

    # --- making --------------------------------------------------------------------------------

    def _make_fields(self) -> None:
        self.kind_box = KindChoice(self)
        self.kind_box.chosen.connect(self._kind_chosen)
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
        self.needs = label(size="small", tone="faint")
        self.tolerance_field = QLineEdit(self)
        self.tolerance_field.setPlaceholderText("5 %")
        self.part_field = QLineEdit(self)
        self.lot_field = CodeField(self)
        self.lot_field.setPlaceholderText(self.tr("page_bench.empty_part_itself"))
        self.lot_field.textChanged.connect(self._show_lot)
        self.lot_field.entered.connect(self._lot_entered)
        self.number_field = CodeField(self)
        self.number_field.entered.connect(self._begin)
        for field in (self.lot_field, self.number_field):
            field.left_out.connect(self._say_left_out)
        self.accuracy_field = QLineEdit(self)
        self.accuracy_field.setPlaceholderText("1.2 % + 2 x 0.1 uF")
        self.seen_field = QLineEdit(self)
        self.seen_field.setPlaceholderText(self.tr("page_bench.seen_example"))
        self.note = label(size="small", tone="caution")
        self.note.hide()
        self.fault = label(tone="bad")
        self.fault.hide()

    def _lay_out(self) -> None:
        look = current_theme()
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(look.px(4))
        self._kind_title = self._titled(self.tr("page_bench.what_part_type_or"), self.kind_box)
        self._tolerance_title = self._titled(
            self.tr("page_bench.tolerance_label_gives_none"), self.tolerance_field
        )
        self._part_title = self._titled(self.tr("page_bench.your_name_part"), self.part_field)
        self._number_title = self._titled(self.tr("page_bench.own_number"), self.number_field)
        for widget in (
            self._kind_title,
            self.kind_box,
            self._titled(self.tr("page_bench.what_does_label_say"), self.label_box),
            self.label_box,
            self.needs,
            self._tolerance_title,
            self.tolerance_field,
        ):
            rows.addWidget(widget)
        beside = QGridLayout()
        beside.setHorizontalSpacing(look.gap)
        beside.setVerticalSpacing(look.px(4))
        beside.addWidget(self._part_title, 0, 0)
        beside.addWidget(self.part_field, 1, 0)
        beside.addWidget(self._number_title, 0, 1)
        beside.addWidget(self.number_field, 1, 1)
        beside.addWidget(self._titled(self.tr("page_bench.carton"), self.lot_field), 0, 2)
        beside.addWidget(self.lot_field, 1, 2)
        rows.addLayout(beside)
        rows.addWidget(
            self._titled(self.tr("page_bench.meter_s_accuracy_line"), self.accuracy_field)
        )
        rows.addWidget(self.accuracy_field)
        rows.addWidget(self._titled(self.tr("page_bench.seen_on_part"), self.seen_field))
        rows.addWidget(self.seen_field)
        rows.addWidget(self.note)
        rows.addWidget(self.fault)
        buttons = FlowLayout(spacing=look.gap)
        self.start = KeyButton(
            self.tr("page_bench.start_check"), "Return", self, primary=True, within=self
        )
        self.start.clicked.connect(self._press)
        self.back = KeyButton(self.tr("page_bench.back_check"), "Esc", self, within=self)
        self.back.clicked.connect(self.put_off)
        buttons.addWidget(self.start)
        buttons.addWidget(self.back)
        rows.addSpacing(look.px(8))
        rows.addLayout(buttons)
        rows.addStretch(1)
        self._ask_tolerance(False)

    def _titled(self, text: str, field: QWidget) -> QLabel:
        title = label(text, size="small")
        title.setBuddy(field)
        field.setAccessibleName(text)
        return title

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.put_off.emit()
        else:
            super().keyPressEvent(event)

    def _fields(self) -> tuple[QLineEdit, ...]:
        return (
            self.label_field,
            self.tolerance_field,
            self.part_field,
            self.number_field,
            self.lot_field,
            self.accuracy_field,
            self.seen_field,
        )

    # --- filling -------------------------------------------------------------------------------

    def set_kinds(self, kinds: Sequence[PartKind]) -> None:
        """Offer these kinds beside the capacitor by its label."""
        self.kind_box.set_kinds(kinds)
        self._show_kind()

    def prepare(self, labels: Sequence[str], offer: FormOffer) -> None:
        """Open the form for a further part; kind and label stay.

        Args:
            labels: typed before, newest first.
        """
        self._labels, self._tested, self._told = labels, offer.tested, ""
        fitting = fitting_labels(self._labels, self.kind_box.kind())
        text = self.label_field.text() or (fitting[0] if fitting else "")
        self.label_box.clear()
        self.label_box.addItems(fitting)
        self.put(self.label_field, text)
        self.put(self.part_field, offer.part)
        self.put(self.number_field, "")
        self.put(self.lot_field, offer.lot)
        self.put(self.accuracy_field, offer.accuracy)
        self.put(self.tolerance_field, "")
        self.put(self.seen_field, "")
        self._ask_tolerance(False)
        self._complain("")
        self.note.hide()
        self._show_lot()
        self.back.setVisible(offer.can_go_back)

    def focus(self) -> None:
        """Begin to type at the label; in a carton that is begun only the number is missing."""
        asked = self.label_field
        if self.label_field.text() and self._tested.get(self._lot()):
            asked = self.number_field
        asked.setFocus(Qt.FocusReason.ShortcutFocusReason)
        asked.selectAll()

    def use_label(self, text: str, part: str, kind: str = "") -> None:
        """Take over label, name and kind of a part, as if they had been typed."""
        self.kind_box.choose(kind)
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

    # --- kind and carton -----------------------------------------------------------------------

    @Slot()
    def _kind_chosen(self) -> None:
        """Another kind has another label; what was typed for each is kept."""
        self._texts[self._kind_name] = self.label_field.text()
        self._kind_name = self.kind_box.name
        fitting = fitting_labels(self._labels, self.kind_box.kind())
        self.label_box.clear()
        self.label_box.addItems(fitting)
        self.put(self.label_field, self._texts.get(self._kind_name, ""))
        self.put(self.tolerance_field, "")
        self._ask_tolerance(False)
        self._complain("")
        self._show_kind()

    def _show_kind(self) -> None:
        several = self.kind_box.count() > 1
        self._kind_title.setVisible(several)
        self.kind_box.setVisible(several)
        kind = self.kind_box.kind()
        self.label_field.setPlaceholderText(kind.example)
        needs = kind_needs(kind, current_theme().presentation)
        self.needs.setText(needs)
        self.needs.setVisible(bool(needs))

    def _lot(self) -> str:
        return readable(self.lot_field.text())

    @Slot()
    def _show_lot(self) -> None:
        """A part of a carton has a number; one by itself has a name."""
        in_lot = bool(self._lot())
        self._number_title.setVisible(in_lot)
        self.number_field.setVisible(in_lot)
        self._part_title.setVisible(not in_lot)
        self.part_field.setVisible(not in_lot)
        words = self.tr("page_bench.empty_number").format(
            number=next_number(self._lot(), self._tested)
        )
        self.number_field.setPlaceholderText(words)

    @Slot(str)
    def _lot_entered(self, _lot: str) -> None:
        self.number_field.setFocus(Qt.FocusReason.TabFocusReason)

    @Slot(int)
    def _say_left_out(self, count: int) -> None:
        words = self.tr("page_bench.count_signs_code_cannot")
        self.note.setText(words.format(count=count))
        self.note.show()
        self.left_out.emit(count)

    # --- beginning -----------------------------------------------------------------------------

    @Slot()
    def _press(self) -> None:
        """A code that a scanner ended with Return is taken like one that it ended with Tab."""
        if self.lot_field.hasFocus() and self._lot():
            self.lot_field.confirm()
        elif self._lot() and readable(self.number_field.text()):
            self.number_field.confirm()
        else:
            self._begin()

    @Slot()
    def _begin(self) -> None:
        understood = self.kind_box.understood()  # which may choose the kind that was meant
        typed = TypedPart(
            self.kind_box.kind(),
            self.label_field.text(),
            None if understood else self.kind_box.field.text().strip(),
            self.tolerance_field.text(),
            self.accuracy_field.text(),
            self.part_field.text(),
            readable(self.number_field.text()),
            self._lot(),
            self.seen_field.text(),
        )
        found = begun_part(typed, self._tested, current_theme().presentation, meant=self._told)
        if isinstance(found, FormFault):
            self._mend(found)
            return
        self._complain("")
        self.begin.emit(found)

    def _mend(self, fault: FormFault) -> None:
        """Say what is not understood, at the field that it is in."""
        self._told = fault.repeated or self._told
        if fault.asks_tolerance:
            self._ask_tolerance(True)
        self._complain(str(current_theme().presentation.tell(fault.told)))
        field = {
            FormField.KIND: self.kind_box,
            FormField.LABEL: self.label_field,
            FormField.TOLERANCE: self.tolerance_field,
            FormField.NUMBER: self.number_field,
            FormField.SEEN: self.seen_field,
            FormField.ACCURACY: self.accuracy_field,
        }[fault.field]
        field.setFocus()
        if field is self.number_field:
            self.number_field.selectAll()

    def _ask_tolerance(self, ask: bool) -> None:
        self._tolerance_title.setVisible(ask)
        self.tolerance_field.setVisible(ask)

    def _complain(self, text: str) -> None:
        self.fault.setText(text)
        self.fault.setVisible(bool(text))
