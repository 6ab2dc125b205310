"""The form for the facts of a visit: who measured, for whom, where, which unit, which parts."""

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QComboBox, QGridLayout, QLabel, QLineEdit, QVBoxLayout, QWidget

from benchmeter.scenes.visit_form_scene import FactField, VisitFault, VisitScene, visit_typed
from benchmeter.session.visit import Visit
from benchmeter.window.theme.labels import label
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.flow import FlowLayout
from benchmeter.window.widgets.keys import KeyButton

__all__ = ["VisitForm"]

_COLUMNS = 2


class VisitForm(QWidget):
    """Two columns of facts, then one part at a time. What is put off with Esc stays typed.

    Signals:
        entered: the Visit that was typed.
        put_off: the form is to be left.
    """

    entered = Signal(object)
    put_off = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        look = current_theme()
        self.fields: dict[str, QLineEdit] = {}
        self._titles: dict[str, QLabel] = {}
        self._before = Visit()
        self._scene: VisitScene | None = None
        self._typed: dict[FactField, str] = {}
        self._drafts: dict[str, dict[tuple[int | None, str], str]] = {}
        self._session = ""
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(look.px(4))
        self.title = label(size="title")
        self.about = label(tone="faint")
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(look.gap)
        self._grid.setVerticalSpacing(look.px(4))
        self.of_part = QWidget(self)
        self._parts = QGridLayout(self.of_part)
        self._parts.setContentsMargins(0, 0, 0, 0)
        self._parts.setHorizontalSpacing(look.gap)
        self._parts.setVerticalSpacing(look.px(4))
        self.part = QComboBox(self)
        self.part.setAccessibleName(self.tr("page_visit.which_part"))
        self.part.currentIndexChanged.connect(self._show_part)
        self.which_part = label(size="small")
        self.which_part.setBuddy(self.part)
        self._parts.addWidget(self.which_part, 0, 0, Qt.AlignmentFlag.AlignBottom)
        self._parts.addWidget(self.part, 1, 0)
        self.no_parts = label(tone="faint")
        self.fault = label(tone="bad")
        self.fault.hide()
        buttons = FlowLayout(spacing=look.gap)
        self.keep = KeyButton(self.tr("page_visit.keep"), "Return", self, primary=True, within=self)
        self.keep.clicked.connect(self._enter)
        self.later = KeyButton(self.tr("page_visit.later"), "Esc", self, within=self)
        self.later.clicked.connect(self._leave)
        buttons.addWidget(self.keep)
        buttons.addWidget(self.later)
        rows.addWidget(self.title)
        rows.addWidget(self.about)
        rows.addSpacing(look.px(4))
        rows.addLayout(self._grid)
        rows.addSpacing(look.px(8))
        rows.addWidget(self.of_part)
        rows.addWidget(self.no_parts)
        rows.addWidget(self.fault)
        rows.addSpacing(look.px(8))
        rows.addLayout(buttons)
        rows.addStretch(1)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self._leave()
        else:
            super().keyPressEvent(event)

    def prepare(self, session: str, before: Visit, scene: VisitScene) -> None:
        """Show what is stated of a session, and what was typed and put off before."""
        self._session, self._before, self._scene = session, before, scene
        drafts = self._drafts.get(session, {})
        fields = (*scene.fields, *(f for part in scene.of_parts.values() for f in part))
        self._typed = {f: drafts.get((f.check, f.name), f.text) for f in fields}
        self.title.setText(scene.title)
        self.about.setText(scene.about)
        for place, field in enumerate(scene.fields):
            row, column = divmod(place, _COLUMNS)
            self._show_field(self._grid, field, row, column)
        self.part.blockSignals(True)
        self.part.clear()
        for check, name in scene.parts.items():
            self.part.addItem(name, check)
        self.part.blockSignals(False)
        self._show_part()
        self._complain("")

    def focus(self) -> None:
        """Begin to type."""
        first = next(iter(self.fields.values()))
        first.setFocus(Qt.FocusReason.ShortcutFocusReason)
        first.selectAll()

    # --- the fields ----------------------------------------------------------------------------

    def _show_field(self, grid: QGridLayout, field: FactField, row: int, column: int) -> None:
        edit = self.fields.get(field.name)
        if edit is None:
            edit = self.fields[field.name] = QLineEdit(self)
            edit.setObjectName(field.name)
            edit.textEdited.connect(self._edited)
            title = self._titles[field.name] = label(size="small")
            title.setBuddy(edit)
            grid.addWidget(title, 2 * row, column, Qt.AlignmentFlag.AlignBottom)
            grid.addWidget(edit, 2 * row + 1, column)
        self._titles[field.name].setText(field.title)
        edit.setAccessibleName(field.title)
        edit.setPlaceholderText(field.example)
        edit.setText(self._typed[field])
        edit.setCursorPosition(0)

    @Slot()
    def _show_part(self) -> None:
        scene = self._scene
        if scene is None:
            return
        fields = scene.of_parts.get(self.part.currentData(), ())
        for column, field in enumerate(fields, 1):
            self._show_field(self._parts, field, 0, column)
        self.of_part.setVisible(bool(scene.parts))
        self.which_part.setText(
            self.tr("page_visit.nth_part").format(
                number=self.part.currentIndex() + 1, count=self.part.count()
            )
        )
        self.no_parts.setText(scene.no_parts)
        self.no_parts.setVisible(bool(scene.no_parts))

    @Slot(str)
    def _edited(self, text: str) -> None:
        name = self.sender().objectName()
        field = self._field(name)
        if field is not None:
            self._typed[field] = text

    def _field(self, name: str) -> FactField | None:
        """The field that is shown under that name: of the visit, or of the part that is chosen."""
        check = self.part.currentData()
        shown = (f for f in self._typed if f.name == name)
        return next((f for f in shown if f.check in (None, check)), None)

    # --- keeping -------------------------------------------------------------------------------

    @Slot()
    def _enter(self) -> None:
        found = visit_typed(self._before, self._typed, current_theme().presentation)
        if isinstance(found, VisitFault):
            self._mend(found)
            return
        self._drafts.pop(self._session, None)
        self.entered.emit(found)

    @Slot()
    def _leave(self) -> None:
        typed = {(f.check, f.name): text for f, text in self._typed.items() if text != f.text}
        self._drafts[self._session] = typed
        self.put_off.emit()

    def _mend(self, fault: VisitFault) -> None:
        """Say what is not understood, at the field that it is in."""
        if fault.field.check is not None:
            self.part.setCurrentIndex(self.part.findData(fault.field.check))
        self._complain(str(current_theme().presentation.tell(fault.told)))
        edit = self.fields[fault.field.name]
        edit.setFocus()
        edit.selectAll()

    def _complain(self, words: str) -> None:
        self.fault.setText(words)
        self.fault.setVisible(bool(words))
