"""Which kind of part: a list that is searched by typing."""

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QComboBox, QCompleter, QLineEdit, QWidget

from benchmeter.parts.by_label import kind_by_label, said_by_label, told_by_label
from benchmeter.parts.part_kind import PartKind
from benchmeter.parts.rated_part import CapacitorKind

__all__ = ["KindChoice"]

_BY_LABEL = kind_by_label(CapacitorKind.RUN)  # until the label is read, and tells which


class KindChoice(QComboBox):
    """The kinds by title, the capacitor first; typing finds those that contain what is typed.

    Signals:
        chosen: another kind holds now.
    """

    chosen = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._kinds: tuple[PartKind, ...] = (_BY_LABEL,)
        self._place = 0
        self.setEditable(True)
        self.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(12)
        completer = self.completer()
        assert completer is not None
        completer.setFilterMode(Qt.MatchFlag.MatchContains)
        completer.setCompletionMode(QCompleter.CompletionMode.PopupCompletion)
        self.addItem(self.tr("page_bench.capacitor_label"))
        self.activated.connect(self._activated)
        self.field.editingFinished.connect(self._typed)

    @property
    def field(self) -> QLineEdit:
        edit = self.lineEdit()
        assert edit is not None
        return edit

    def set_kinds(self, kinds: Sequence[PartKind]) -> None:
        """Offer these; what is chosen stays chosen, if it is among them."""
        held = self.kind()
        plain = [kind for kind in kinds if said_by_label(kind)][:1]
        rest = [kind for kind in kinds if kind not in plain]
        rest.sort(key=lambda kind: (kind.label != "capacitor", kind.title.casefold()))
        self._kinds = (_BY_LABEL, *rest)
        titles = [plain[0].title if plain else self.tr("page_bench.capacitor_label")]
        self.clear()
        self.addItems(titles + [kind.title for kind in rest])
        self._take(next((i for i, k in enumerate(self._kinds) if k == held), 0))

    def kind(self) -> PartKind:
        """The kind that holds; for a capacitor by its label that of a run capacitor."""
        return self._kinds[self._place]

    @property
    def name(self) -> str:
        """Of the kind that holds; "" for a capacitor by its label."""
        return self._names()[self._place]

    def choose(self, name: str) -> bool:
        """Choose a kind by its name; "" is the capacitor by its label. Whether there is one."""
        names = self._names()
        if name not in names:
            return False
        self._take(names.index(name))
        return True

    def understood(self) -> bool:
        """Whether what stands there is a kind; if it begins or is part of just one, that is it."""
        text = self.field.text().strip().casefold()
        titles = [self.itemText(i).casefold() for i in range(self.count())]
        places = [i for i, title in enumerate(titles) if title == text]
        places = places or [i for i, title in enumerate(titles) if text and text in title]
        if len(places) != 1:
            return False
        self._take(places[0])
        return True

    def _names(self) -> list[str]:
        return ["" if told_by_label(kind) else kind.name for kind in self._kinds]

    def _take(self, place: int) -> None:
        changed = place != self._place
        self._place = place
        self.setCurrentIndex(place)
        self.setEditText(self.itemText(place))
        if changed:
            self.chosen.emit()

    @Slot(int)
    def _activated(self, place: int) -> None:
        self._take(place)

    @Slot()
    def _typed(self) -> None:
        self.understood()
