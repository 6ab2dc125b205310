"""The carton that is open: how far it is, which part comes next."""

from collections import Counter

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from benchmeter.checking.lot_progress import LotProgress
from benchmeter.checking.part_check import PartCheck
from benchmeter.conformity.verdict import Verdict
from benchmeter.window.theme.labels import label
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.code_field import CodeField
from benchmeter.window.widgets.flow import FlowLayout
from benchmeter.window.widgets.keys import KeyButton

__all__ = ["LotStrip"]


class LotStrip(QWidget):
    """Counts the parts of a carton and asks for the own number of the next one.

    Signals:
        begin: own number of the part to be tested now; one that was tested before is tested again.
        statistics: what the carton as a whole looks like is wanted.
        close_lot: the carton is done with.
        left_out: signs of a scanned code that could not be seen.
    """

    begin = Signal(str)
    statistics = Signal()
    close_lot = Signal()
    left_out = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._progress = LotProgress("", ())
        self._place: str | None = None  # the part that is looked at; None: the next new one
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(current_theme().px(4))
        self.counts = label(size="lead")
        rows.addWidget(self.counts)
        line = QHBoxLayout()
        line.setSpacing(current_theme().px(8))
        self._asks = label(self.tr("page_lot.next_part_s_own"), wrap=False)
        self.field = CodeField(self)
        self.field.setAccessibleName(self._asks.text())
        self._asks.setBuddy(self.field)
        self.field.entered.connect(self.begin)
        self.field.left_out.connect(self.left_out)
        line.addWidget(self._asks)
        line.addWidget(self.field, 1)
        rows.addLayout(line)
        self.known = label(size="small", tone="faint")
        rows.addWidget(self.known)
        self.previous = KeyButton(self.tr("page_lot.part_before"), "Alt+Up", self)
        self.previous.clicked.connect(self._previous)
        self.following = KeyButton(self.tr("page_lot.part_after"), "Alt+Down", self)
        self.following.clicked.connect(self._following)
        self.statistics_button = KeyButton(self.tr("page_lot.whole_carton"), "Alt+L", self)
        self.statistics_button.clicked.connect(self.statistics)
        self.close_button = KeyButton(self.tr("page_lot.close_carton"), "Alt+C", self)
        self.close_button.clicked.connect(self.close_lot)
        flow = FlowLayout(spacing=current_theme().px(6))
        for button in (
            self.previous,
            self.following,
            self.statistics_button,
            self.close_button,
        ):
            flow.addWidget(button)
        rows.addLayout(flow)

    def show_progress(self, progress: LotProgress, *, waits: bool) -> None:
        """Show how far the carton is.

        Args:
            waits: the part in hand is judged, and the next one may begin.
        """
        grown = len(progress.checks) != len(self._progress.checks)
        other = progress.lot != self._progress.lot
        self._progress = progress
        self.counts.setText(_counts_words(self, progress))
        if grown or other or (waits and not self.field.isModified() and self._place is None):
            self._offer(None)
        self.field.setEnabled(waits)
        names = [c.part for c in progress.checks]
        self.previous.setEnabled(waits and bool(names))
        self.following.setEnabled(waits and self._place is not None)

    def take_focus(self) -> None:
        """The next code that is scanned or confirmed belongs here."""
        self.field.setFocus()
        self.field.selectAll()

    def _offer(self, part: str | None) -> None:
        self._place = part
        self.field.offer(self._progress.next_part if part is None else part)
        found = next((c for c in self._progress.checks if c.part == part), None)
        self.known.setText("" if found is None else _known_words(self, found))
        self.known.setVisible(found is not None)

    @Slot()
    def _previous(self) -> None:
        before = self._progress.before(self._place or "")
        if self._place is None and self._progress.checks:
            before = self._progress.checks[-1]
        if before is not None:
            self._offer(before.part)
            self.following.setEnabled(True)
            self.take_focus()

    @Slot()
    def _following(self) -> None:
        names = [c.part for c in self._progress.checks]
        if self._place not in names:
            return
        place = names.index(self._place) + 1
        self._offer(names[place] if place < len(names) else None)
        self.following.setEnabled(self._place is not None)
        self.take_focus()


def _counts_words(strip: LotStrip, progress: LotProgress) -> str:
    words = progress.words
    judged = sum(words.values())
    if not judged:
        return strip.tr("page_lot.carton_lot_no_part").format(lot=progress.lot)
    parts = ", ".join(f"{number} {word}" for word, number in _grouped(strip, words) if number)
    return strip.tr("page_lot.carton_lot_judged_tested").format(
        lot=progress.lot, judged=judged, parts=parts
    )


def _grouped(strip: LotStrip, words: Counter[Verdict]) -> list[tuple[str, int]]:
    good = words[Verdict.PASS] + words[Verdict.MEASURED]
    bad = words[Verdict.FAIL] + words[Verdict.OPEN] + words[Verdict.SHORTED]
    close = (
        words[Verdict.CONDITIONAL_PASS]
        + words[Verdict.CONDITIONAL_FAIL]
        + words[Verdict.UNDECIDABLE]
    )
    return [
        (strip.tr("page_lot.good"), good),
        (strip.tr("page_lot.bad"), bad),
        (strip.tr("page_lot.too_close_meter"), close),
        (strip.tr("page_lot.not_measured"), words[Verdict.NO_READING]),
    ]


def _known_words(strip: LotStrip, check: PartCheck) -> str:
    from benchmeter.words.parts import part_why
    from benchmeter.words.verdicts import verdict_in_words

    if check.verdict is None:
        return strip.tr("page_lot.part_was_begun_not").format(part=check.part)
    return strip.tr("page_lot.part_verdict_why_tested").format(
        part=check.part,
        verdict=verdict_in_words(check.verdict.verdict, current_theme().presentation),
        why=part_why(check.verdict, check.kind, current_theme().presentation),
    )
