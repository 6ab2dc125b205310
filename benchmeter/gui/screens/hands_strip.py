"""The hands at the simulated bench: move the leads, change the part, switch the unit on."""

from collections.abc import Sequence

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from benchmeter.gui.flow import FlowLayout
from benchmeter.gui.keys import KeyButton
from benchmeter.gui.palette import current_look
from benchmeter.gui.text import label
from benchmeter.sources.source import HandChoice, Hands

__all__ = ["HandsStrip"]

_GROUP_KEYS = {"leads": "{n}", "part": "Alt+{n}", "unit": "Ctrl+{n}"}
_OTHER_KEYS = "Ctrl+Alt+{n}"


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
        self._wanted: bool | None = None  # shown or hidden by key; None: as the story goes
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(current_look().px(4))
        top = QHBoxLayout()
        top.setSpacing(current_look().px(6))
        self.words = label(tone="faint")
        self.label_button = KeyButton(self.tr("Use this part's label"), "Y", self)
        self.label_button.clicked.connect(self._use_label)
        self.fold = KeyButton("", "H", self)
        self.fold.clicked.connect(self._fold)
        top.addWidget(self.words, 1)
        top.addWidget(self.label_button)
        top.addWidget(self.fold)
        rows.addLayout(top)
        self._choices = QWidget(self)
        self._flow = FlowLayout(self._choices, spacing=current_look().px(6))
        rows.addWidget(self._choices)
        self.hide()

    def show_hands(self, hands: Hands | None) -> None:
        """Take over the hands of a session; None: not a simulated bench."""
        if hands is not self._hands:
            self._wanted = None
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
        plays = self._hands.story_plays()
        open_ = self._wanted if self._wanted is not None else not plays
        self._choices.setVisible(open_)
        self.fold.set_title(self.tr("Hide the hands") if open_ else self.tr("Show the hands"))
        self.words.setText(
            self.tr("Simulated bench: the story plays by itself, until you use your hands.")
            if plays
            else self.tr("Simulated bench: the hands are yours.")
        )

    @Slot()
    def _fold(self) -> None:
        self._wanted = self._choices.isHidden()
        self.refresh()

    def _make(self, choices: Sequence[HandChoice]) -> None:
        while (item := self._flow.takeAt(0)) is not None:
            if (widget := item.widget()) is not None:
                widget.hide()
                widget.deleteLater()
        self._buttons = {}
        for group in dict.fromkeys(choice.group for choice in choices):
            pattern = _GROUP_KEYS.get(group, _OTHER_KEYS)
            self._flow.addWidget(
                label(f"{group.capitalize()}:", self._choices, size="small", wrap=False)
            )
            for number, choice in enumerate((c for c in choices if c.group == group), 1):
                key = pattern.format(n=number) if number < 10 else ""
                button = KeyButton(choice.title, key, self._choices)
                button.setCheckable(True)
                button.setObjectName(choice.name)
                button.clicked.connect(self._pressed)
                self._buttons[choice.name] = button
                self._flow.addWidget(button)

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
