"""Part or meter: what parts of known value say about the meter, as it is seen."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from PySide6.QtCore import Signal, Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from benchmeter.checking.bias_offer import BiasOffer, OfferReason, offer
from benchmeter.checking.meter_history import ReferenceHistory
from benchmeter.conformity.calibration import Due, due_state
from benchmeter.conformity.instrument_bias import MeterBias
from benchmeter.conformity.reference_part import ReferencePart
from benchmeter.window.control.services import MeterFound
from benchmeter.window.theme.labels import label, restyle
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.control_chart_view import ControlChartView
from benchmeter.window.widgets.flow import FlowLayout
from benchmeter.window.widgets.keys import KeyButton
from benchmeter.window.widgets.line_list import LineList
from benchmeter.window.widgets.meter_plate import METER_TONE, meter_icon
from benchmeter.words.meters import (
    agreement_why,
    bias_taken_words,
    bias_words,
    chart_words,
    due_words,
    meter_in_words,
    meter_words,
    offer_words,
    reference_words,
)
from benchmeter.words.presentation import Presentation

__all__ = ["MeterView", "PartLine"]

_BESIDE = 760  # width from which list and history stand beside each other, at 100 %
_LATE = (Due.SOON, Due.OVERDUE)


@dataclass(frozen=True, slots=True)
class PartLine:
    """A line of the list: a part, its history with this meter, and whether it can be read."""

    part: ReferencePart
    history: ReferenceHistory | None
    listed: bool = True


def part_lines(found: MeterFound) -> list[PartLine]:
    """The parts of the list, then those that were read once and are in it no more."""
    histories = list(found.record.histories) if found.record is not None else []

    def of(part: ReferencePart) -> ReferenceHistory | None:
        mine = (h for h in histories if h.name == part.name)
        return next((h for h in mine if h.reference.quantity is part.quantity), None)

    lines = [PartLine(part, of(part)) for part in found.parts]
    shown = [line.history for line in lines]
    return lines + [PartLine(h.reference, h, listed=False) for h in histories if h not in shown]


class MeterView(QWidget):
    """The parts at the left; the chosen one's history, the bias and what to do at the right.

    Signals:
        read: a ReferencePart is to be read now.
        take_off: a BiasOffer is accepted.
        put_back: the MeterBias is not to be taken off any more.
        add: a further part is to be written.
        back: the part in hand is wanted again.
    """

    read = Signal(object)
    take_off = Signal(object)
    put_back = Signal(object)
    add = Signal()
    back = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        look = current_theme()
        self._lines: list[PartLine] = []
        self._biases: tuple[MeterBias, ...] = ()
        self._today = date.min
        self._acts = True
        self._next = self.tr("page_meter.one_moment")
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(look.px(6))
        self.meter = label(size="small")
        self.answer = label(size="title")
        self.why = label()
        for widget in (self.meter, self.answer, self.why):
            rows.addWidget(widget)
        self._columns = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._columns.setSpacing(look.gap)
        rows.addLayout(self._columns, 1)
        self._below = QWidget(self)  # takes the room where there is no list
        self._below.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Expanding)
        rows.addWidget(self._below, 1)
        self.list = LineList(160, self)
        self.list.setAccessibleName(self.tr("page_meter.parts_known_value"))
        self.list.currentRowChanged.connect(self._show_chosen)
        self._columns.addWidget(self.list, 3)
        self._columns.addLayout(self._make_history(), 4)
        self.faults = label(size="small", tone="caution")
        rows.addWidget(self.faults)
        rows.addLayout(self._make_buttons())

    def _make_history(self) -> QVBoxLayout:
        rows = QVBoxLayout()
        rows.setSpacing(current_theme().px(4))
        self.chart = ControlChartView(self)
        self.chart_text = label(size="small")
        self.bias_text = label()
        self.offer_text = label()
        for widget in (self.chart, self.chart_text, self.bias_text, self.offer_text):
            rows.addWidget(widget)
        rows.addStretch(1)
        return rows

    def _make_buttons(self) -> FlowLayout:
        self.read_button = KeyButton(self.tr("page_meter.read_part"), "Return", self, primary=True)
        self.read_button.clicked.connect(self._read)
        self.bias_button = KeyButton(self.tr("page_meter.take_bias_off"), "X", self)
        self.bias_button.clicked.connect(self._change_bias)
        self.add_button = KeyButton(self.tr("page_meter.another_known_part"), "A", self)
        self.add_button.clicked.connect(self.add)
        self.back_button = KeyButton(self.tr("page_meter.back_part"), "Esc", self)
        self.back_button.clicked.connect(self.back)
        flow = FlowLayout(spacing=current_theme().px(6))
        for button in (self.read_button, self.bias_button, self.add_button, self.back_button):
            flow.addWidget(button)
        return flow

    def resizeEvent(self, event: QResizeEvent) -> None:
        beside = self.width() >= current_theme().px(_BESIDE)
        direction = QBoxLayout.Direction
        self._columns.setDirection(direction.LeftToRight if beside else direction.TopToBottom)
        super().resizeEvent(event)

    # --- showing -------------------------------------------------------------------------------

    def show_found(
        self,
        found: MeterFound,
        biases: Sequence[MeterBias],
        *,
        meter_due: date | None,
        today: date,
        acts: bool,
        choose: str = "",
    ) -> None:
        """Show what is known.

        Args:
            biases: that are taken off this meter's readings.
            meter_due: until when the meter is in calibration; None: not known.
            acts: whether something can be measured now.
            choose: name of the part to choose; "": the one chosen before.
        """
        before = choose or (line.part.name if (line := self.chosen()) is not None else "")
        self._lines, self._biases = part_lines(found), tuple(biases)
        self._today, self._acts = today, acts
        self.list.blockSignals(True)
        self.list.clear()
        for line in self._lines:
            self._add_line(line)
        names = [line.part.name for line in self._lines]
        self.list.setCurrentRow(names.index(before) if before in names else 0)
        self.list.blockSignals(False)
        self.meter.setText(self._meter_line(found, meter_due))
        self.meter.setVisible(bool(self.meter.text()))
        late = due_state(meter_due, today) in _LATE
        restyle(self.meter, "tone", "caution" if late else "")
        faults = [str(current_theme().presentation.tell(fault)) for fault in found.broken]
        self.faults.setText("\n".join(faults))
        self.faults.setVisible(bool(faults))
        self._below.setVisible(not self._lines)
        self._show_teaching(found) if not self._lines else self._show_chosen()

    def _add_line(self, line: PartLine) -> None:
        words = [reference_words(line.part, self._how)]
        if due_state(line.part.due, self._today) in _LATE:
            words.append(due_words(line.part.due, self._today, self._how))
        if not line.listed:
            words.append(self.tr("page_meter.list_no_more"))
        shape, tone = "verdict-none", "faint_ink"
        if line.history is not None:
            word = line.history.comparisons[-1].compatibility.verdict
            shape, tone = meter_icon(word), METER_TONE[word]
        self.list.add_line("\n".join(words), shape, tone)

    def _meter_line(self, found: MeterFound, meter_due: date | None) -> str:
        parts = [meter_words(found.record.meter, self._how)] if found.record is not None else []
        if due := due_words(meter_due, self._today, self._how):
            parts.append(due)
        return " · ".join(parts)

    def _show_teaching(self, found: MeterFound) -> None:
        self.answer.setText(self.tr("page_meter.part_or_meter"))
        self.why.setText(
            self.tr("page_meter.read_part_whose_value").format(path=found.path) + _EXAMPLE
        )
        for widget in (self.list, self.chart, self.chart_text, self.bias_text, self.offer_text):
            widget.hide()
        self.read_button.setEnabled(False)
        self.bias_button.setEnabled(False)
        self.add_button.set_primary(True)
        self.read_button.set_primary(False)
        self._next = self.tr("page_meter.adds_part_whose_value")

    @Slot()
    def _show_chosen(self) -> None:
        line = self.chosen()
        if line is None:
            return
        self.list.show()
        self.add_button.set_primary(False)
        self.read_button.set_primary(True)
        can_read = self._acts and line.listed
        self.read_button.setEnabled(can_read)
        h = line.history
        self.chart.setVisible(h is not None)
        self.chart.show_history(h)
        self.chart_text.setVisible(h is not None)
        self.bias_text.setVisible(h is not None)
        if h is None:
            self.answer.setText(self.tr("page_meter.not_read_meter_yet"))
            self.why.setText(
                self.tr("page_meter.read_part_if_were")
                .format(part=line.part.name)
            )  # fmt: skip
        else:
            last = h.comparisons[-1]
            self.answer.setText(meter_in_words(last.compatibility.verdict, self._how))
            words = agreement_why(last.compatibility, last.resolution_si, self._how)
            self.why.setText(f"{last.compatibility.read_on}: {words}")
            self.chart_text.setText(self._chart_words(h))
            self.bias_text.setText(
                self.tr("page_meter.bias_words").format(words=bias_words(h, self._how))
            )
        self._show_offer(line)
        if can_read and self.can_take_off(line):
            following = self.tr("page_meter.x_takes_bias_off")
        elif can_read:
            following = self.tr("page_meter.return_reads_part_have")
        else:
            following = self.tr("page_meter.choose_part_arrow_keys")
        self._next = following.format(part=line.part.name)

    def _chart_words(self, h: ReferenceHistory) -> str:
        count = len(h.chart.points)
        read = (
            self.tr("page_meter.n1_reading")
            if count == 1
            else self.tr("page_meter.n_readings").format(n=count)
        )
        return self.tr("page_meter.read_limits_words").format(
            read=read, words=chart_words(h, self._how)
        )

    def _show_offer(self, line: PartLine) -> None:
        taken, offered = self.taken(line), self.offered(line)
        if taken is not None:
            words = bias_taken_words(taken, self._how)
        elif offered is not None:
            words = offer_words(offered, self._how)
        else:
            words = ""
        self.offer_text.setText(words)
        self.offer_text.setVisible(bool(words))
        restyle(self.offer_text, "tone", "caution" if taken is not None else "")
        self.bias_button.set_title(
            self.tr("page_meter.take_nothing_off_any")
            if taken is not None
            else self.tr("page_meter.take_bias_off")
        )
        self.bias_button.setEnabled(self._acts and (taken is not None or self.can_take_off(line)))

    def chosen(self) -> PartLine | None:
        """The line that is chosen."""
        row = self.list.currentRow()
        return self._lines[row] if 0 <= row < len(self._lines) else None

    def taken(self, line: PartLine) -> MeterBias | None:
        """What is taken off by this part."""
        mine = (b for b in self._biases if b.reference.name == line.part.name)
        return next((b for b in mine if b.reference.quantity is line.part.quantity), None)

    def offered(self, line: PartLine) -> BiasOffer | None:
        """What may be taken off by this part, or why nothing; None before its first reading."""
        return offer(line.history) if line.history is not None else None

    def can_take_off(self, line: PartLine) -> bool:
        """Whether there is a bias that may be accepted."""
        offered = self.offered(line)
        clear = offered is not None and offered.reason is OfferReason.CLEAR
        return clear and self.taken(line) is None

    def next_words(self) -> str:
        """What to do next, in one line."""
        return self._next

    @property
    def _how(self) -> Presentation:
        return current_theme().presentation

    # --- doing ---------------------------------------------------------------------------------

    @Slot()
    def _read(self) -> None:
        line = self.chosen()
        if line is not None:
            self.read.emit(line.part)

    @Slot()
    def _change_bias(self) -> None:
        line = self.chosen()
        if line is None:
            return
        taken = self.taken(line)
        if taken is not None:
            self.put_back.emit(taken)
        else:
            self.take_off.emit(self.offered(line))


_EXAMPLE = """

[[part]]
name = "R45"
value = "45.02 µF"
uncertainty = "0.09 µF"
date = 2026-01-10
from = "certificate 4711 of the calibration laboratory"
due = 2027-01-10"""
