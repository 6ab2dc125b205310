"""The bench: is this part good?"""

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QVBoxLayout,
    QWidget,
)

from benchmeter.checking.check import PartCheck, Step
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.inputs import (
    BeginCheck,
    Command,
    NullLeads,
    RepeatSection,
    SelectSection,
    TakeReading,
)
from benchmeter.session.acquisition.channel_state import ChannelState, ChannelStatus
from benchmeter.window.control.services import Story
from benchmeter.window.control.session_controller import SessionController
from benchmeter.window.control.session_model import Changes
from benchmeter.window.control.story_words import replay_words, story_words
from benchmeter.window.pages.bench.answer_plate import AnswerPlate
from benchmeter.window.pages.bench.bench_actions import BenchActions
from benchmeter.window.pages.bench.bench_panels import BenchPanels
from benchmeter.window.pages.bench.bench_rulers import BenchRulers
from benchmeter.window.pages.bench.first_steps import FirstSteps
from benchmeter.window.pages.bench.lot_panel import LotPanel, next_of
from benchmeter.window.pages.bench.part_form import PartForm
from benchmeter.window.pages.bench.part_in_hand import (
    check_line,
    in_file_name,
    lead_plan_of,
    tested_numbers,
)
from benchmeter.window.pages.page import LineWanted, Page
from benchmeter.window.pages.play_note import replay_note, story_note
from benchmeter.window.pages.ways_to_begin import WaysToBegin
from benchmeter.window.theme.labels import label
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.lead_drawing import LeadDrawing
from benchmeter.window.widgets.line_list import LineList
from benchmeter.window.widgets.reading_view import ReadingView
from benchmeter.window.widgets.stack import Stack
from benchmeter.window.widgets.verdict_plate import VerdictPlate

if TYPE_CHECKING:
    from benchmeter.window.pages.bench.all_parts import AllParts

__all__ = ["BenchPage"]

_LIVE = (ChannelStatus.MOVING, ChannelStatus.SETTLED)
_TWO_COLUMNS = 860  # width from which they stand beside each other, at 100 %


class BenchPage(Page):
    """Reading, rulers, verdict; the form for the next part; what was checked before.

    While a part is being measured the reading comes first; once it is judged, the verdict does.
    """

    def __init__(self, controller: SessionController, parent: QWidget | None = None) -> None:
        super().__init__(controller, parent)
        self._shown_check: PartCheck | None = None
        self._form_wanted = True
        self._story = False
        self._tight = False
        self._leaves = Stack(self)
        self._all_parts: AllParts | None = None
        self.first_steps = FirstSteps(self)
        self.first_steps.simulate.connect(self.simulate)
        self.first_steps.connect_meter.connect(self.connect_meter)
        self.first_steps.type_only.connect(self.type_only)
        self._stage = self._make_stage()
        self._leaves.add(self.first_steps)
        self._leaves.add(self._stage)
        self.rows.addWidget(self._leaves)
        self.desks = BenchPanels(controller, self._leaves, self._meter, self)
        self.desks.begin.connect(self._begin_from_desk)
        self.desks.back.connect(self._leave_statistics)
        self.desks.next_step.connect(self.say_next)
        self.desks.to_top.connect(self.to_top)
        self.buttons.replacement.clicked.connect(self.desks.show_replacement)
        self.buttons.meter.clicked.connect(self.desks.show_meter)
        controller.session_changed.connect(self.refresh)
        controller.folded.connect(self._folded)
        controller.preferences_changed.connect(self._refresh_below)
        self.refresh()

    # --- making --------------------------------------------------------------------------------

    def _make_stage(self) -> QWidget:
        stage = QWidget(self)
        rows = QVBoxLayout(stage)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(current_theme().gap)
        self.answer = AnswerPlate(stage)
        self.answer.hide()
        rows.addWidget(self.answer)
        self.bias_note = label(size="small", tone="caution")
        self.bias_note.hide()
        rows.addWidget(self.bias_note)
        self._columns = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._columns.setSpacing(current_theme().gap)
        rows.addLayout(self._columns, 1)
        self._left, self._right = QVBoxLayout(), QVBoxLayout()
        self.reading = ReadingView(stage)
        self.reading.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._left.addWidget(self.reading)
        self.leads = LeadDrawing(stage)
        self._left.addWidget(self.leads)
        self.rulers = BenchRulers(stage)
        self._left.addWidget(self.rulers)
        self._left.addStretch(1)
        self._side = Stack(stage)
        self.lot = LotPanel(self.controller, stage)
        self.form = PartForm(self.controller.undo, stage)
        self.form.begin.connect(self._begin)
        self.form.put_off.connect(self._close_form)
        self.form.left_out.connect(self.lot.say_left_out)
        self._findings = self._make_findings()
        self._story_note, self._replay_note = story_note(), replay_note()
        for leaf in (self.form, self._findings, self._story_note, self._replay_note):
            self._side.add(leaf)
        self.lot.begin.connect(self._send)
        self.lot.statistics.connect(self.show_statistics)
        self.lot.closed.connect(self._next_part)
        self._right.addWidget(self.lot.strip)
        self._right.addWidget(self._side, 1)
        self._right.addWidget(self._make_actions())
        self.ways = WaysToBegin(self)
        self.ways.simulate.connect(self.simulate)
        self.ways.connect_meter.connect(self.connect_meter)
        self.ways.type_only.connect(self.type_only)
        self._right.addWidget(self.ways)
        self._columns.addLayout(self._left, 5)
        self._columns.addLayout(self._right, 4)
        return stage

    def set_tight(self, on: bool) -> None:
        """Whether a strip needs room, too: the hands, or the keys of a replay."""
        self._tight = on
        beside = self._columns.direction() is QBoxLayout.Direction.LeftToRight
        self.answer.set_large(beside and not on)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Where two columns do not fit beside each other, one goes below the other."""
        beside = self.width() >= current_theme().px(_TWO_COLUMNS)
        direction = QBoxLayout.Direction
        self._columns.setDirection(direction.LeftToRight if beside else direction.TopToBottom)
        self.answer.set_large(beside and not self._tight)
        super().resizeEvent(event)

    def _make_findings(self) -> QWidget:
        findings = QWidget(self)
        rows = QVBoxLayout(findings)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(current_theme().px(4))
        self.plate = VerdictPlate(findings)
        rows.addWidget(self.plate)
        self._done_title = label(self.tr("page_bench.checked_session"), size="small", tone="faint")
        self.done = LineList(56, findings)
        self.done.setAccessibleName(self._done_title.text())
        rows.addWidget(self._done_title)
        rows.addWidget(self.done, 3)
        rows.addStretch(1)
        return findings

    def _make_actions(self) -> BenchActions:
        buttons = self.buttons = BenchActions(self.controller.undo, self)
        buttons.take.clicked.connect(self._take)
        buttons.part.clicked.connect(self._next_part)
        buttons.repeat.clicked.connect(self._repeat)
        buttons.again.clicked.connect(self._again)
        buttons.tag.clicked.connect(self._ask_tag)
        buttons.statistics.clicked.connect(self.show_statistics)
        buttons.section.clicked.connect(self._next_section)
        buttons.marker.clicked.connect(self.ask_marker)
        buttons.null.clicked.connect(self._null)
        buttons.typing.clicked.connect(self._type)
        buttons.indication.toggled.connect(self.reading.show_raw)
        return buttons

    # --- showing -------------------------------------------------------------------------------

    @Slot()
    def refresh(self) -> None:
        """Show the session anew."""
        self._leaves.show_leaf(self.first_steps if self.controller.view is None else self._stage)
        self._renew()

    @Slot()
    def _refresh_below(self) -> None:
        """Show it anew, but take nothing away that is being read in its place."""
        if self._leaves.shown() in (self.first_steps, self._stage):
            self.refresh()
        else:
            self._renew()

    def _renew(self) -> None:
        view, session = self.controller.view, self.controller.session
        if view is None:
            self.say_next(
                self.tr("page_bench.connecting")
                if self.controller.opening
                else self.tr("page_bench.connect_meter_or_press")
            )
            return
        self._story = self.controller.story_plays()
        if view.check is None:
            self._open_form(focus=False)
        self._show_check()
        self._show_bias()
        self._show_reading()
        self._show_done()
        self.buttons.show_acting(session is not None and not self.controller.replaying)
        self.ways.setVisible(session is None)
        self._show_next()

    @Slot(object)
    def _folded(self, changes: Changes) -> None:
        if changes.restarted or self._story != self.controller.story_plays():
            self._refresh_below()
            return
        if changes.check or changes.biases:
            self._show_bias()
        if changes.check:
            self._show_check()
        if changes.check or changes.judged:
            self._show_done()
        self._show_reading()
        self._show_next()

    def _check(self) -> PartCheck | None:
        """The part in hand."""
        return self.controller.view.check if self.controller.view is not None else None

    def _pulse(self) -> ChannelState | None:
        view = self.controller.view
        if view is None or self.controller.session is None:  # what has ended shows nothing
            return None
        if view.check is not None:
            return view.pulses.get(view.roles.shown_by(view.check))
        meter = view.roles.part_meter
        return view.pulses.get(meter.name) if meter is not None else None

    def _show_reading(self) -> None:
        view = self.controller.view
        if view is None or not self.isVisible():
            return
        pulse = self._pulse()
        told = pulse.quantity if pulse is not None else None
        self.reading.show_pulse(
            pulse,
            told or Quantity.CAPACITANCE,
            view.now_ns,
        )
        live = None
        check = self._check()
        wanted = check.section.quantity if check is not None and check.section else told
        if pulse is not None and pulse.reading is not None and pulse.state in _LIVE:
            live = pulse.reading.value if told in (None, wanted) else None
        self.rulers.show_live(check, live)

    def _show_check(self) -> None:
        check = self._check()
        newly = False
        if check is not self._shown_check:
            if check is not None and (
                self._shown_check is None or check.number != self._shown_check.number
            ):
                self._form_wanted = False
                self.rulers.begin(check)
                self.to_top.emit()
            elif check is None:
                self.rulers.begin(None)
            newly = check is not None and check.verdict is not None and not self._was_judged()
            self._shown_check = check
            judged = check is not None and check.verdict is not None
            today = date.min if self.controller.replaying else self.controller.today()
            (self.answer if judged else self.plate).show_check(check, today)
            if check is not None:
                self.rulers.choose(check)
        self.leads.show_leads(lead_plan_of(check) if check is not None else None)
        self.lot.refresh()
        self._arrange()
        if newly:
            self.lot.take_focus()
        self.buttons.show_check(check, story=self._story, carton=self.lot.is_open)

    def _show_bias(self) -> None:
        """Say at the reading that what is judged is less than what the meter shows."""
        view = self.controller.view
        biases = () if view is None else view.biases if view.check is None else view.check.biases
        self.bias_note.setVisible(bool(biases))
        if biases:
            from benchmeter.words.meters import bias_taken_words

            how = current_theme().presentation
            self.bias_note.setText(" ".join(bias_taken_words(bias, how) for bias in biases))

    def _was_judged(self) -> bool:
        return self._shown_check is not None and self._shown_check.verdict is not None

    def _arrange(self) -> None:
        """Give the answer the first place: the verdict where there is one, else the reading."""
        check = self._shown_check
        form = self._form_wanted or check is None
        judged = check is not None and check.verdict is not None and not self._form_wanted
        had_focus = self.form.isAncestorOf(self.form.focusWidget() or self)
        if form and check is None and self.controller.replaying:
            self._side.show_leaf(self._replay_note)
        elif form and check is None and self._story and not self.form.label_field.hasFocus():
            self._side.show_leaf(self._story_note)
        else:
            self._side.show_leaf(self.form if form else self._findings)
        if had_focus and self._side.shown() is not self.form:
            self.reading.setFocus()
        if judged and not self.answer.isVisibleTo(self):
            self.to_top.emit()
        self.answer.setVisible(judged)
        self.buttons.show_form(self._side.shown() is self.form)
        self.leads.setVisible(check is not None and not judged and check.kind is not None)
        self.plate.setVisible(not judged)
        self.reading.set_second(judged)
        column = self._right if judged else self._left
        if column.indexOf(self.reading) < 0:
            (self._left if judged else self._right).removeWidget(self.reading)
            column.insertWidget(0, self.reading)

    def _show_done(self) -> None:
        view = self.controller.view
        lines = (
            [check_line(check) for _, check in sorted(view.checks.items(), reverse=True)]
            if view
            else []
        )
        if lines != [self.done.item(row).text() for row in range(self.done.count())]:
            self.done.clear()
            self.done.addItems(lines)
        several = len(lines) > 1 and not self.lot.is_open  # a carton has counts of its own
        self._done_title.setVisible(several)
        self.done.setVisible(several)

    def _show_next(self) -> None:
        from benchmeter.words.steps import step_text

        view = self.controller.view
        if view is None:
            return
        if self.desks.shown() is not None:
            self.say_next(self.desks.next_words())
        elif self._all_parts is not None and self._leaves.shown() is self._all_parts:
            self.say_next(self._all_parts.view.next_words())
        elif self.controller.session is None:
            self.say_next(self.tr("page_bench.recording_has_ended_record"))
        elif self.controller.replaying:
            self.say_next(replay_words(view.check))
        elif self._story and self._side.shown() is not self.form:
            self.say_next(story_words(view.check))
        elif view.check is None or self._form_wanted:
            self.say_next(self._form_words())
        elif view.check.reference is not None and view.check.step is Step.DONE:
            self.say_next(self.tr("page_bench.e_shows_what_known"))
        elif self.lot.is_open and view.check.step is Step.DONE:
            self.say_next(self.tr("page_bench.clip_next_part_carton"))
        else:
            check = self._check()
            self.say_next("" if check is None else step_text(check, current_theme().presentation))

    def _form_words(self) -> str:
        session = self.controller.session
        if self.form.label_field.text():
            return self.tr("page_bench.compare_label_part_then")
        simulated = session is not None and session.hands is not None
        if simulated and not self.form.label_field.hasFocus():
            return self.tr("page_bench.y_takes_part_s")
        return self.tr("page_bench.type_what_label_says")

    def offer_stories(self, stories: Sequence[Story]) -> None:
        self.first_steps.offer_stories(stories)
        self.ways.offer_stories(stories)

    # --- doing ---------------------------------------------------------------------------------

    def entered(self) -> None:
        self._show_reading()
        if self.desks.shown() is not None:
            self.desks.focus()
        elif self.controller.view is not None:
            session = self.controller.session
            live = session is not None and session.replay is None and session.hands is None
            if self._side.shown() is self.form and live:
                self.form.focus()
            else:
                self.reading.setFocus()

    def use_label(self, text: str, part: str, kind: str = "") -> None:
        """Take over label and name of the part that lies on the simulated bench."""
        self._open_form(focus=True)
        self.form.use_label(text, part, kind)
        self._show_next()

    def _send(self, command: Command) -> None:
        self.controller.send(command)
        self.reading.setFocus()

    @Slot(object)
    def _begin(self, command: BeginCheck) -> None:
        view = self.controller.view
        if view is None:
            return
        preferences = self.controller.preferences
        from msgspec import structs

        session = self.controller.session
        if session is None or session.hands is None:  # nothing simulated belongs to the user
            self.controller.set_preferences(
                structs.replace(preferences.with_label(command.label), accuracy=command.accuracy)
            )
        self._form_wanted = False
        self._send(
            structs.replace(
                command,
                rule=preferences.decision_rule,
                channel=view.roles.part_channel,
            )
        )

    @Slot(object)
    def _begin_from_desk(self, command: BeginCheck) -> None:
        """What a desk begins is sent as it is: its label is none that a person typed."""
        self._form_wanted = False
        self._leave_statistics()
        self._send(command)

    @Slot()
    def _take(self) -> None:
        check = self.controller.view.check if self.controller.view else None
        if check is not None and check.expected is None and self.lot.is_open:
            self.lot.begin_next()
            return
        self._send(TakeReading(time_ns=0))

    @Slot()
    def _again(self) -> None:
        """Test the part in hand once more; what was found stays in the record."""
        check = self.controller.view.check if self.controller.view else None
        if check is not None:
            self._send(next_of(check, check.part))

    @Slot()
    def _ask_tag(self) -> None:
        view, session = self.controller.view, self.controller.session
        check = view.check if view is not None else None
        if check is None or session is None:
            return
        folder = Path.home() / f"{in_file_name(check.part)}-tag.pdf"
        self.ask_line.emit(
            LineWanted(
                f"tag:{session.session_id}/{check.number}",
                self.tr("page_bench.write_tag_part_pdf").format(part=check.part),
                text=str(folder),
            )
        )

    def take_line(self, purpose: str, text: str) -> None:
        kind, _, subject = purpose.partition(":")
        if kind != "tag":
            super().take_line(purpose, text)
            return
        session_id, _, number = subject.partition("/")
        self.controller.write_tags(session_id, Path(text).expanduser(), int(number))

    @Slot()
    def show_statistics(self) -> None:
        """Show what all parts of the carton, or of the session, look like together."""
        if self._all_parts is None:
            from benchmeter.window.pages.bench.all_parts import AllParts

            self._all_parts = AllParts(self)
            self._all_parts.back.connect(self._leave_statistics)
            self._leaves.add(self._all_parts)
        self.lot.show_statistics(self._all_parts.view)
        self._leaves.show_leaf(self._all_parts)
        self._all_parts.setFocus()
        self.to_top.emit()
        self.say_next(self._all_parts.view.next_words())

    @Slot()
    def _leave_statistics(self) -> None:
        self.refresh()
        self.entered()

    @Slot()
    def _repeat(self) -> None:
        check = self.controller.view.check if self.controller.view else None
        if check is None:
            return
        taken = [s for s in check.sections if s.taken]
        if taken:
            last = max(taken, key=lambda s: s.taken[-1].time_ns)
            self._send(RepeatSection(time_ns=0, section=last.section.name))

    @Slot()
    def _next_section(self) -> None:
        check = self.controller.view.check if self.controller.view else None
        if check is None:
            return
        names = [s.section.name for s in check.sections]
        place = names.index(check.expected) + 1 if check.expected in names else 0
        self._send(SelectSection(time_ns=0, section=names[place % len(names)]))

    @Slot()
    def _null(self) -> None:
        self._send(NullLeads(time_ns=0))

    @Slot()
    def _type(self) -> None:
        view = self.controller.view
        if view is None:
            return
        if view.check is None or self._form_wanted:
            self.controller.say(
                self.tr("page_bench.reading_typed_part_begin"),
                self.tr("page_bench.type_what_label_says_2"),
            )
            self._open_form(focus=True)
            return
        self.ask_reading(
            view.check.channel,
            self.tr("page_bench.reading_section_meter_shows").format(
                section=view.check.expected or self.tr("page_bench.part")
            ),
            f"39.2 {view.check.section.unit}" if view.check.section is not None else "39.2 uF",
        )

    @Slot()
    def _next_part(self) -> None:
        """Another label: the form. Within a carton Space goes on with the same one."""
        self._open_form(focus=True)
        self._show_next()

    @Slot()
    def _close_form(self) -> None:
        self.reading.setFocus()
        if self.controller.view is not None:
            self._form_wanted = self.controller.view.check is None
            self._show_check()
            self._show_next()

    def _meter(self) -> tuple[str, str]:
        """Channel and accuracy lines of the meter that parts are judged by; "" each unknown."""
        view = self.controller.view
        channel = view.roles.part_meter if view is not None else None
        return (channel.name if channel is not None else "", self._accuracy())

    def _accuracy(self) -> str:
        """The accuracy line of the meter at the part, as far as it is known."""
        view = self.controller.view
        channel = view.roles.part_meter if view is not None else None
        known = channel.accuracy if channel is not None else ""
        return known or self.controller.preferences.accuracy

    def _open_form(self, *, focus: bool) -> None:
        view = self.controller.view
        check = view.check if view else None
        number = len(view.checks) + 1 if view else 1
        name = (
            self.tr("page_bench.old_part")
            if number == 1
            else self.tr("page_bench.part_number").format(number=number)
        )
        if (
            not self._form_wanted
            or self._side.shown() is not self.form
            or not self.form.part_field.text()
        ):
            self.form.prepare(
                self.controller.preferences.labels,
                name,
                self._accuracy(),
                check_runs=check is not None,
                lot=check.lot if check is not None and self.lot.is_open else "",
                tested=tested_numbers(view.checks.values()) if view is not None else {},
            )
        self._form_wanted = True
        if focus:
            self._side.show_leaf(self.form)
            self.form.focus()
        self._arrange()
