"""What may replace the part in hand: the stock list against it, best first."""

from collections.abc import Callable

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from benchmeter.checking.part_check import PartCheck
from benchmeter.checking.replacement import (
    Fit,
    Rank,
    Ranked,
    Standing,
    StockItem,
    replacement_name,
    shape_on,
)
from benchmeter.readings.inputs import BeginCheck
from benchmeter.tasks.replacing import ForPart, StockFound, replace_part
from benchmeter.window.control.session_controller import SessionController
from benchmeter.window.theme.labels import label
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.flow import FlowLayout
from benchmeter.window.widgets.keys import KeyButton
from benchmeter.window.widgets.line_list import LineList
from benchmeter.words.replacements import (
    fit_words,
    item_words,
    reason_words,
    standing_words,
)

__all__ = ["ReplacementView"]

_MOST_FAULTS = 3
_MOST_LINES = 60  # nobody walks farther by arrow key
_TO_MEASURE = (Rank.MEASURE_FIRST, Rank.LOOK_AND_MEASURE_FIRST)
_NOT_TO_MEASURE = (Rank.NONE_LEFT, Rank.DOES_NOT_FIT)
_NOT_THERE = {Standing.NOT_MEASURED, Standing.OTHER_LABEL, Standing.OTHER_RULE}


class ReplacementView(QWidget):
    """The list, the way to measure what is chosen, and how the list is written.

    Signals:
        begin: a BeginCheck of the chosen part, by the rule of the old one.
        back: the part in hand is wanted again.
        next_step: what to do next may have changed.
    """

    begin = Signal(object)
    back = Signal()
    next_step = Signal()

    def __init__(self, controller: SessionController, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        look = current_theme()
        self.controller = controller
        self._all: list[Ranked] = []
        self._lines: list[Ranked] = []
        self._old: PartCheck | None = None
        self._accuracy = ""
        self._next = self.tr("page_replacements.one_moment")
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(look.px(6))
        self.subject = label(size="small")
        self.answer = label(size="title")
        self.why = label()
        self.list = LineList(200, self)
        self.list.setAccessibleName(self.tr("page_replacements.parts_stock_list_best"))
        self.list.currentRowChanged.connect(self._show_chosen)
        self.faults = label(size="small", tone="caution")
        for widget in (self.subject, self.answer, self.why):
            rows.addWidget(widget)
        rows.addWidget(self.list, 1)
        self._below = QWidget(self)  # takes the room where there is no list
        self._below.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Expanding)
        rows.addWidget(self._below, 1)
        rows.addWidget(self.faults)
        rows.addLayout(self._make_buttons())
        controller.preferences_changed.connect(self._look_changed)

    def _make_buttons(self) -> FlowLayout:
        self.measure = KeyButton(
            self.tr("page_replacements.measure_first"), "Return", self, primary=True
        )
        self.measure.clicked.connect(self._measure)
        self.example = KeyButton(self.tr("page_replacements.begin_list"), "X", self, primary=True)
        self.example.clicked.connect(self._make_example)
        self.again = KeyButton(self.tr("page_replacements.read_list_again"), "A", self)
        self.again.clicked.connect(self._look)
        self.back_button = KeyButton(self.tr("page_replacements.back_part"), "Esc", self)
        self.back_button.clicked.connect(self.back)
        flow = FlowLayout(spacing=current_theme().px(6))
        for button in (self.measure, self.example, self.again, self.back_button):
            flow.addWidget(button)
        return flow

    def open(self, accuracy: str) -> None:
        """Read the stock list.

        Args:
            accuracy: the meter's lines, where the old part's check has none; "" if not known.
        """
        self._accuracy = accuracy
        self._look()

    def next_words(self) -> str:
        """What to do next, in one line."""
        return self._next

    def focus(self) -> None:
        """Bring the keys to the list."""
        (self.back_button if self.list.isHidden() else self.list).setFocus()

    # --- showing -------------------------------------------------------------------------------

    @Slot()
    def _look(self) -> None:
        self._ask(self.controller.services.stock)

    @Slot()
    def _look_changed(self) -> None:
        if self.isVisible():
            self._look()

    @Slot()
    def _make_example(self) -> None:
        self._ask(self.controller.services.make_example_stock)

    def _ask(self, stock: Callable[[], StockFound]) -> None:
        view = self.controller.view
        checks = [check for _, check in sorted(view.checks.items())] if view is not None else []
        in_hand = view.check if view is not None else None
        self.controller.ask(lambda: replace_part(stock(), checks, in_hand), self._show)

    def _show(self, looked: ForPart) -> None:
        found, stock = looked.found, looked.found.stock
        self._old, before = looked.old, self.chosen()
        if self._old is None:
            return
        self._all, self._lines = list(looked.lines), list(looked.lines[:_MOST_LINES])
        self.subject.setText(
            self.tr("page_replacements.replaced_part_label").format(
                part=self._old.part, label=self._old.rating.text
            )
        )
        self._fill(before)
        self._show_faults(found)
        self.example.setVisible(stock is None and found.fault is None)
        self.measure.setVisible(bool(self._lines))
        self.list.setVisible(bool(self._lines))
        self._below.setVisible(not self._lines)
        if not looked.fitting:
            self._show_answer(
                self.tr("page_replacements.only_capacitors_looked_up"),
                self.tr("page_replacements.what_fits_place_part"),
                self.tr("page_replacements.esc_goes_back_part"),
            )
        elif not self._lines:
            self._show_teaching(found)
        else:
            self._show_answer(*self._answer_words())
            self._show_chosen()
        if self.isVisible():
            self.focus()
        self.next_step.emit()

    def _fill(self, before: Ranked | None) -> None:
        self.list.blockSignals(True)
        self.list.clear()
        for line in self._lines:
            self._add_line(line)
        lines = [line.candidate.item.line for line in self._lines]
        again = before.candidate.item.line if before is not None else 0
        if again in lines and not any(line.offered for line in self._lines):
            self.list.setCurrentRow(lines.index(again))
        else:
            self.list.setCurrentRow(0)
        self.list.blockSignals(False)

    def _add_line(self, line: Ranked) -> None:
        assert self._old is not None
        shape, tone, word = self._word(line)
        old = self._old.rating
        candidate = line.candidate
        how = current_theme().presentation
        told = [
            reason_words(reason, candidate.item, old, shape_on(old.text), how)
            for reason in candidate.reasons
        ]
        if candidate.fit is not Fit.DOES_NOT_FIT:
            told.insert(0, fit_words(candidate.fit, how))
            if line.standing is not Standing.NOT_MEASURED:
                told.append(standing_words(line.standing, how))
        words = f"{word} · {item_words(candidate.item, how)}\n{' '.join(told)}"
        self.list.add_line(words, shape, tone)

    def _word(self, line: Ranked) -> tuple[str, str, str]:
        """Shape, tone and word of a line."""
        if line.standing is Standing.UNDECIDED and line.rank in _TO_MEASURE:
            return "verdict-undecidable", "undecided", self.tr("page_replacements.not_decided")
        match line.rank:
            case Rank.GOOD:
                return "verdict-pass", "good", self.tr("page_replacements.good_may_go")
            case Rank.GOOD_LOOK_FIRST:
                return (
                    "verdict-conditional-pass",
                    "caution",
                    self.tr("page_replacements.good_look_then_fit"),
                )
            case Rank.MEASURE_FIRST:
                return "verdict-none", "ink", self.tr("page_replacements.measure_first")
            case Rank.LOOK_AND_MEASURE_FIRST:
                return "warning", "caution", self.tr("page_replacements.look_then_measure_first")
            case Rank.NONE_LEFT:
                return "pulse-no-value", "faint_ink", self.tr("page_replacements.none_left")
            case Rank.BAD:
                return "verdict-fail", "bad", self.tr("page_replacements.measured_bad")
            case Rank.DOES_NOT_FIT:
                return "pulse-no-contact", "faint_ink", self.tr("page_replacements.does_not_fit")

    def _answer_words(self) -> tuple[str, str, str]:
        """The answer, the reason, what to do next."""
        best = self._lines[0]
        name = best.candidate.item.own_number or best.candidate.item.rating.text
        place = best.candidate.item.place
        if best.offered:
            where = self.tr("page_replacements.good_same_rule_old")
            return (
                self.tr("page_replacements.part_may_go").format(part=name),
                where,
                self.tr("page_replacements.fit_part").format(part=name),
            )
        fitting = sum(line.rank in _TO_MEASURE for line in self._all)
        if fitting:
            many = (
                self.tr("page_replacements.n1_part_list_may")
                if fitting == 1
                else self.tr("page_replacements.n_parts_list_may").format(n=fitting)
            )
            fetch = (
                self.tr("page_replacements.fetch_from_place_return").format(place=place)
                if place
                else self.tr("page_replacements.choose_arrow_keys_return")
            )
            return many, self.tr("page_replacements.new_part_no_better"), fetch
        return (
            self.tr("page_replacements.no_part_list_fits"),
            self.tr("page_replacements.needed_same_uf_each"),
            self.tr("page_replacements.esc_goes_back_part"),
        )

    def _show_answer(self, answer: str, why: str, following: str) -> None:
        self.answer.setText(answer)
        self.why.setText(why)
        self._next = following

    def _show_teaching(self, found: StockFound) -> None:
        from benchmeter.checking.stock import EXAMPLE, EXAMPLE_PART

        answer = (
            self.tr("page_replacements.stock_list_cannot_read")
            if found.fault is not None
            else self.tr("page_replacements.no_part_stock_list")
        )
        why = self.tr("page_replacements.list_table_any_spreadsheet").format(path=found.path)
        following = (
            self.tr("page_replacements.x_begins_list_or")
            if found.stock is None and found.fault is None
            else self.tr("page_replacements.write_your_parts_into")
        )
        self.answer.setText(answer)
        self.why.setText(f"{why}\n\n{EXAMPLE}\n{EXAMPLE_PART}")
        self._next = following

    def _show_faults(self, found: StockFound) -> None:
        told = [] if found.fault is None else [str(found.fault)]
        bad = found.stock.bad if found.stock is not None else ()
        for line in bad[:_MOST_FAULTS]:
            words = self.tr("page_replacements.line_line_name_left")
            name = found.path.name
            told.append(
                words.format(
                    line=line.line, name=name, why=current_theme().presentation.tell(line.error)
                )
            )
        if len(bad) > _MOST_FAULTS:
            told.append(self.tr("page_replacements.n_more_lines").format(n=len(bad) - _MOST_FAULTS))
        if len(self._all) > _MOST_LINES:
            words = self.tr("page_replacements.shown_best_n_all")
            told.insert(0, words.format(n=_MOST_LINES, all=len(self._all)))
        self.faults.setText("\n".join(told))
        self.faults.setVisible(bool(told))

    @Slot()
    def _show_chosen(self) -> None:
        line = self.chosen()
        can = line is not None and self.controller.recording and line.rank not in _NOT_TO_MEASURE
        self.measure.setEnabled(can)
        again = line is not None and line.standing not in _NOT_THERE
        self.measure.set_title(
            self.tr("page_replacements.measure_again")
            if again
            else self.tr("page_replacements.measure_first")
        )
        self.measure.set_primary(can and not any(x.offered for x in self._lines))

    def chosen(self) -> Ranked | None:
        """The line that is chosen."""
        row = self.list.currentRow()
        return self._lines[row] if 0 <= row < len(self._lines) else None

    # --- doing ---------------------------------------------------------------------------------

    @Slot()
    def _measure(self) -> None:
        line, old, view = self.chosen(), self._old, self.controller.view
        if line is None or old is None or view is None:
            return
        item = line.candidate.item
        self.begin.emit(
            BeginCheck(
                time_ns=0,
                part=replacement_name(item, view.checks.values()),
                label=_label(item),
                accuracy=old.accuracy.text if old.accuracy is not None else self._accuracy,
                rule=old.rule.value,
                channel=old.channel,
            )
        )


def _label(item: StockItem) -> str:
    """Its label with its shape, by which parts that are else alike are told apart."""
    label = item.rating.text
    told = shape_on(item.shape)
    return f"{label} {told}" if told and not shape_on(label) else label
