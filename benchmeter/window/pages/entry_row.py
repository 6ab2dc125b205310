"""One line for typing something in while the measurement goes on."""

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QSizePolicy, QWidget

from benchmeter.scenes.offer import LineWanted
from benchmeter.window.theme.labels import label
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.keys import KeyButton

__all__ = ["EntryRow"]


class EntryRow(QWidget):
    """Asks for one line of text, without standing in the way of anything.

    What was typed and put off with Esc is there again when the same thing is asked for.

    Signals:
        entered: the LineWanted, and its text.
        closed: the row has gone.
    """

    entered = Signal(object, str)
    closed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._drafts: dict[object, str] = {}
        self._wanted: LineWanted | None = None
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(current_theme().gap)
        self.prompt = label(wrap=True)
        self.field = QLineEdit(self)
        self.prompt.setBuddy(self.field)
        self.field.setMinimumWidth(160)
        self.field.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.field.returnPressed.connect(self._enter)
        self.note = KeyButton(self.tr("pages.note"), "Return", self, primary=True, within=self)
        self.note.clicked.connect(self._enter)
        self.later = KeyButton(self.tr("pages.later"), "Esc", self, within=self)
        self.later.clicked.connect(self.put_off)
        row.addWidget(self.prompt, 1)
        row.addWidget(self.field, 2)
        row.addWidget(self.note)
        row.addWidget(self.later)
        self.hide()

    def ask(self, wanted: LineWanted) -> None:
        """Open the row, with what was typed for the same thing before."""
        if self.isVisible():
            self._keep()
        self._wanted = wanted
        self.prompt.setText(wanted.prompt)
        self.field.setAccessibleName(wanted.prompt)
        self.field.setPlaceholderText(wanted.example)
        self.field.setText(self._drafts.get(wanted.draft, wanted.text or ""))
        self.show()
        self.field.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.field.selectAll()

    @Slot()
    def put_off(self) -> None:
        """Close the row; what was typed is kept for the next time."""
        self._keep()
        self.hide()
        self.closed.emit()

    def _keep(self) -> None:
        if self._wanted is not None:
            self._drafts[self._wanted.draft] = self.field.text()

    @Slot()
    def _enter(self) -> None:
        text = self.field.text().strip()
        wanted = self._wanted
        if not text or wanted is None:
            self.field.setFocus()
            return
        self._drafts.pop(wanted.draft, None)
        self.field.clear()
        self.hide()
        self.entered.emit(wanted, text)
        self.closed.emit()
