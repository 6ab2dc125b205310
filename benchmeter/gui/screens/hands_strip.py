"""The hands at the simulated bench: move the leads, change the part, switch the unit on."""

from collections.abc import Sequence

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from benchmeter.gui.flow import FlowLayout
from benchmeter.gui.keys import KeyButton
from benchmeter.gui.palette import current_look
from benchmeter.gui.text import label
from benchmeter.sources.source import HandChoice, Hands

__all__ = ["HandsStrip"]

_GROUP_KEYS = {"leads": "{n}", "part": "Alt+{n}", "unit": "Ctrl+{n}"}
_OTHER_KEYS = "Shift+{n}"


class HandsStrip(QWidget):
    """One row of buttons a group of choices; only at the simulated bench.

    Signals:
        do: the name of a choice.
        use_label: the label of the part that lies there.
    """

    do = Signal(str)
    use_label = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._hands: Hands | None = None
        self._shape: tuple[tuple[str, str, str], ...] = ()
        self._buttons: dict[str, KeyButton] = {}
        self._label = ""
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(current_look().px(4))
        self.words = label(size="small", tone="faint")
        rows.addWidget(self.words)
        self._flow = FlowLayout(spacing=current_look().px(6))
        rows.addLayout(self._flow)
        self.label_button = KeyButton(self.tr("Use this part's label"), "Y", self)
        self.label_button.clicked.connect(self._use_label)
        self.hide()

    def show_hands(self, hands: Hands | None) -> None:
        """Take over the hands of a session; None: not a simulated bench."""
        self._hands = hands
        self.setVisible(hands is not None)
        self.refresh()

    @Slot()
    def refresh(self) -> None:
        """Show what is done now."""
        if self._hands is None:
            return
        choices = self._hands.choices()
        shape = tuple((c.name, c.group, c.title) for c in choices)
        if shape != self._shape:
            self._shape = shape
            self._make(choices)
        for choice in choices:
            self._buttons[choice.name].setChecked(choice.active)
        self._label = next((c.label for c in choices if c.active and c.label), "")
        self.label_button.setVisible(bool(self._label))
        self.words.setText(
            self.tr("Simulated bench. The story plays by itself; any of these buttons takes over.")
            if self._hands.story_plays()
            else self.tr("Simulated bench. The hands are yours.")
        )

    def _make(self, choices: Sequence[HandChoice]) -> None:
        while (item := self._flow.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None and widget is not self.label_button:
                widget.hide()
                widget.deleteLater()
        self._buttons = {}
        for group in dict.fromkeys(choice.group for choice in choices):
            pattern = _GROUP_KEYS.get(group, _OTHER_KEYS)
            self._flow.addWidget(label(group.capitalize(), self, size="small", wrap=False))
            for number, choice in enumerate((c for c in choices if c.group == group), 1):
                key = pattern.format(n=number) if number < 10 else ""
                button = KeyButton(choice.title, key, self)
                button.setCheckable(True)
                button.setObjectName(choice.name)
                button.clicked.connect(self._pressed)
                self._buttons[choice.name] = button
                self._flow.addWidget(button)
        self._flow.addWidget(self.label_button)

    @Slot()
    def _pressed(self) -> None:
        button = self.sender()
        assert isinstance(button, KeyButton)
        self.do.emit(button.objectName())
        self.refresh()

    @Slot()
    def _use_label(self) -> None:
        if self._label:
            self.use_label.emit(self._label)
