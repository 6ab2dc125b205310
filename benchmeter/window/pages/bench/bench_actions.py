"""What can be done with the reading and the part, as buttons with their keys."""

from PySide6.QtGui import QKeySequence, QShortcut, QUndoStack
from PySide6.QtWidgets import QWidget

from benchmeter.checking.part_check import PartCheck
from benchmeter.checking.replacement import capacitor_of
from benchmeter.conformity.verdict import Verdict
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.flow import FlowLayout
from benchmeter.window.widgets.keys import KeyButton

__all__ = ["BenchActions"]

_BAD = {Verdict.FAIL, Verdict.CONDITIONAL_FAIL, Verdict.OPEN, Verdict.SHORTED}
_FOOT = "PgDown"
"""Most foot switches type a key, this one or Space as they come (common practice, no source)."""


class BenchActions(QWidget):
    """The buttons of the bench: those of the moment; what cannot be done now is dashed."""

    def __init__(self, undo: QUndoStack, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.take = KeyButton(self.tr("page_bench.take_reading"), "Space", self, primary=True)
        foot = QShortcut(QKeySequence(_FOOT), self.take)
        foot.setAutoRepeat(False)
        foot.activated.connect(self.take.click)
        self.part = KeyButton(self.tr("page_bench.next_part"), "N", self)
        self.undo = KeyButton(self.tr("page_bench.undo"), "U", self)
        self.undo.setEnabled(undo.canUndo())
        self.undo.clicked.connect(undo.undo)
        undo.canUndoChanged.connect(self.undo.setEnabled)
        self.repeat = KeyButton(self.tr("page_bench.repeat"), "R", self)
        self.again = KeyButton(self.tr("page_bench.part_again"), "Shift+R", self)
        self.section = KeyButton(self.tr("page_bench.next_section"), "S", self)
        self.marker = KeyButton(self.tr("page_bench.marker"), "M", self)
        self.null = KeyButton(self.tr("page_bench.null_leads"), "O", self)
        self.typing = KeyButton(self.tr("page_bench.type"), "T", self)
        self.indication = KeyButton(self.tr("page_bench.indication"), "I", self)
        self.indication.setCheckable(True)
        self.tag = KeyButton(self.tr("page_bench.tag"), "G", self)
        self.statistics = KeyButton(self.tr("page_bench.all_parts"), "L", self)
        self.replacement = KeyButton(self.tr("page_bench.replace"), "P", self)
        self.meter = KeyButton(self.tr("page_bench.meter"), "E", self)
        flow = FlowLayout(self, spacing=current_theme().px(6))
        self._acting = (
            self.take,
            self.part,
            self.undo,
            self.repeat,
            self.again,
            self.section,
            self.marker,
            self.null,
            self.typing,
            self.replacement,
            self.meter,
        )
        self._acts, self._form, self._replaceable, self._judged = True, False, False, False
        self._goes_on = False
        self.replacement.hide()
        for button in (*self._acting, self.indication, self.tag, self.statistics):
            flow.addWidget(button)

    def show_acting(self, acts: bool) -> None:
        """Whether there is a recording in which something can be done; a replay is none."""
        self._acts = acts
        self._arrange()

    def show_form(self, form: bool) -> None:
        """Whether the form for a part stands above: what is for a part in hand makes room."""
        self._form = form
        self._arrange()

    def _arrange(self) -> None:
        """Show what belongs to the moment: to the form, to measuring, to a part that is judged."""
        alone = not (self._judged and self._goes_on)  # in a carton the next part comes first
        judged, measuring = self._judged and not self._form, not (self._judged or self._form)
        moments = {
            self.take: measuring or (judged and self._goes_on),
            self.part: not self._form,
            self.undo: alone,
            self.meter: alone,
            self.marker: alone,
            self.repeat: alone and not self._form,
            self.again: judged,
            self.section: measuring,
            self.null: not judged,
            self.typing: not judged,
            self.replacement: judged and alone and self._replaceable,
        }
        for button in self._acting:
            button.setVisible(self._acts and moments.get(button, True))
        self.tag.setVisible(judged)
        self.statistics.setVisible(alone)
        self.indication.setVisible(alone)

    def show_check(self, check: PartCheck | None, *, story: bool, carton: bool) -> None:
        """Point out what comes next; while a `story` plays nothing has to be done.

        Args:
            carton: one is open: the same key takes a reading and goes on to its next part.
        """
        sections = check.sections if check is not None else ()
        waits = check is not None and check.expected is not None
        self._goes_on = goes_on = check is not None and carton and not waits
        self.take.setEnabled(waits or goes_on)
        self.take.set_title(
            self.tr("page_bench.next_part") if goes_on else self.tr("page_bench.take_reading")
        )
        self.take.set_primary((waits or goes_on) and not story)
        self.part.set_title(
            self.tr("page_bench.another_part") if carton else self.tr("page_bench.next_part")
        )
        self.part.set_primary(check is not None and not waits and not carton and not story)
        self.again.setEnabled(check is not None and not waits)
        of_part = check is not None and check.reference is None
        self.tag.setEnabled(check is not None and of_part and check.verdict is not None)
        self.repeat.setEnabled(any(section.taken for section in sections))
        self.section.setEnabled(len(sections) > 1)
        self._show_replacement(check, point=not story and not carton)

    def _show_replacement(self, check: PartCheck | None, *, point: bool) -> None:
        """Offer it for a capacitor; if that is bad it comes next."""
        part = check if check is not None and check.reference is None else None
        self._judged = check is not None and check.expected is None
        self._replaceable = part is not None and capacitor_of(part.rating) is not None
        verdict = part.verdict if part is not None else None
        bad = verdict is not None and verdict.verdict in _BAD
        self.replacement.set_primary(bad and point and self._replaceable)
        if bad and point and self._replaceable:
            self.part.set_primary(False)
        self._arrange()
