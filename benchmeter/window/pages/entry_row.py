"""One line for typing something in while the measurement goes on."""

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QSizePolicy, QWidget

from benchmeter.window.pages.page import LineWanted
from benchmeter.window.theme.labels import label
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.keys import KeyButton

__all__ = ["EntryRow"]


class EntryRow(QWidget):
    """Asks for one line of text, without standing in the way of anything.

    What was typed and put off with Esc is there again when the same thing is asked for.

    Signals:
        entered: purpose, text.
        closed: the row has gone.
    """

    entered = Signal(str, str)
    closed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._drafts: dict[str, str] = {}
        self._purpose = ""
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
        """Open the row, with what was typed for the same purpose before."""
        if self.isVisible():
            self._keep()
        self._purpose = wanted.purpose
        self.prompt.setText(wanted.prompt)
        self.field.setAccessibleName(wanted.prompt)
        self.field.setPlaceholderText(wanted.example)
        self.field.setText(self._drafts.get(wanted.purpose, wanted.text or ""))
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
        self._drafts[self._purpose] = self.field.text()

    @Slot()
    def _enter(self) -> None:
        text = self.field.text().strip()
        if not text:
            self.field.setFocus()
            return
        self._drafts.pop(self._purpose, None)
        self.field.clear()
        self.hide()
        self.entered.emit(self._purpose, text)
        self.closed.emit()
