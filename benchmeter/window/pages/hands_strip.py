"""The hands at the simulated bench: move the leads, change the part, switch the unit on."""

from collections.abc import Sequence

from PySide6.QtCore import QTimer, Signal, Slot
from PySide6.QtWidgets import QLabel, QWidget

from benchmeter.links.ports.source import HandChoice, Hands
from benchmeter.window.theme.labels import label
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.flow import FlowLayout
from benchmeter.window.widgets.keys import KeyButton

__all__ = ["HandsStrip"]

_GROUP_KEYS = {"leads": "{n}", "part": "Alt+{n}"}
_OTHER_KEYS = "Ctrl+{n}"
_ROUND = ("part: previous", "part: next")
_SOON_MS = 100


class HandsStrip(QWidget):
    """The choices as buttons, group by group; only at the simulated bench.

    Of two choices, on and off, the first one is a button that stays pressed.

    Signals:
        do: the name of a choice.
        use_label: label, name and kind of the part that lies there.
        folded: shown or hidden.
    """

    do = Signal(str)
    use_label = Signal(str, str, str)
    folded = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._hands: Hands | None = None
        self._shape: tuple[tuple[str, str, str], ...] = ()
        self._buttons: dict[str, KeyButton] = {}
        self._off: dict[str, str] = {}  # choice -> the one that takes it back
        self._part: HandChoice | None = None
        self._wanted: bool | None = None  # shown or hidden by key; None: as the story goes
        self._flow = FlowLayout(self, spacing=current_theme().px(6))
        self.label_button = KeyButton(self.tr("pages.use_part_s_label"), "Y", self)
        self.label_button.clicked.connect(self._use_label)
        self.fold = KeyButton(self.tr("pages.hands"), "H", stacked=True)  # stands at the left
        self.fold.setCheckable(True)
        self.fold.clicked.connect(self._fold)
        self._flow.addWidget(self.label_button)
        self._made: list[QWidget] = []
        self._part_caption: QLabel | None = None
        self._soon = QTimer(self, interval=_SOON_MS, singleShot=True)
        self._soon.timeout.connect(self.refresh)
        self.hide()

    def show_hands(self, hands: Hands | None) -> None:
        """Take over the hands of a session; None: not a simulated bench."""
        if hands is not self._hands:
            self._wanted = None
        self._hands = hands
        self.fold.setVisible(hands is not None)
        if hands is None:
            self.hide()
            self.folded.emit()
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
            if choice.name in self._buttons:
                self._buttons[choice.name].setChecked(choice.active)
        self._part = next((c for c in choices if c.active and c.group == "part"), None)
        if self._part_caption is not None:
            title = self._part.title if self._part is not None else ""
            self._part_caption.setText(self.tr("pages.part_title").format(title=title))
        told = self._part is not None and bool(self._part.label or self._part.kind)
        self.label_button.setVisible(told)
        plays = self._hands.story_plays()
        open_ = self._wanted if self._wanted is not None else not plays
        changed = open_ is self.isHidden()
        self.setVisible(open_)
        if changed:
            self.folded.emit()
        self.fold.setChecked(open_)

    def story_words(self) -> str:
        """Who moves the leads: the story or the user; "" if this is no simulated bench."""
        if self._hands is None:
            return ""
        if self._hands.story_plays():
            return self.tr("pages.simulated_story_plays")
        return self.tr("pages.simulated_hands_yours")

    @Slot()
    def _fold(self) -> None:
        self._wanted = self.isHidden()
        self.refresh()

    def _make(self, choices: Sequence[HandChoice]) -> None:
        for widget in self._made:
            self._flow.removeWidget(widget)
            widget.hide()
            widget.deleteLater()
        self._made, self._buttons, self._off = [], {}, {}
        self._part_caption = None
        others = 0
        for group in dict.fromkeys(choice.group for choice in choices):
            members = [c for c in choices if c.group == group]
            if group == "part" and any(c.name in _ROUND for c in members):
                members = [c for c in members if c.name in _ROUND]  # a shelf of them
            if group in _GROUP_KEYS:
                part = group == "part"
                said = self.tr("pages.hands_part") if part else self.tr("pages.hands_leads")
                caption = self._caption(said)
                if part:
                    self._part_caption = caption
                self._take_in(caption)
                for number, choice in enumerate(members, 1):
                    self._make_button(choice, _GROUP_KEYS[group], number)
                continue
            if len(members) == 2:
                self._off[members[0].name] = members[1].name
                members = members[:1]
            for choice in members:
                others += 1
                self._make_button(choice, _OTHER_KEYS, others)

    def _make_button(self, choice: HandChoice, keys: str, number: int) -> None:
        key = keys.format(n=number) if number < 10 else ""
        button = KeyButton(choice.title, key, self)
        button.setCheckable(True)
        button.setObjectName(choice.name)
        button.clicked.connect(self._pressed)
        self._buttons[choice.name] = button
        self._take_in(button)

    def _caption(self, text: str) -> QLabel:
        caption = label(text, self, tone="faint", wrap=False)
        caption.setMinimumHeight(current_theme().target)
        return caption

    def _take_in(self, widget: QWidget) -> None:
        self._flow.addWidget(widget)
        self._made.append(widget)

    @Slot()
    def _pressed(self) -> None:
        button = self.sender()
        assert isinstance(button, KeyButton)
        name = button.objectName()
        if name in self._off and not button.isChecked():  # it was pressed: take it back
            name = self._off[name]
        self.do.emit(name)
        self.refresh()
        self._soon.start()  # the hands act on the bench's own thread

    @Slot()
    def _use_label(self) -> None:
        self.refresh()
        if self._part is not None:
            self.use_label.emit(self._part.label, self._part.title, self._part.kind)
