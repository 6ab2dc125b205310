"""The record: what happened?"""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from PySide6.QtCore import QCoreApplication, Qt, Slot
from PySide6.QtGui import QUndoCommand
from PySide6.QtWidgets import QListWidgetItem, QVBoxLayout, QWidget

from benchmeter.errors import InputError
from benchmeter.window.control.session_controller import SessionController
from benchmeter.window.pages.page import LineWanted, Page
from benchmeter.window.theme.labels import label, restyle
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.code_field import readable
from benchmeter.window.widgets.flow import FlowLayout
from benchmeter.window.widgets.keys import KeyButton
from benchmeter.window.widgets.line_list import LineList

if TYPE_CHECKING:
    from benchmeter.record.records import Finding, SessionSummary
    from benchmeter.record.store import Store

__all__ = ["RecordPage", "cut_off_words", "local_start"]

_ID = Qt.ItemDataRole.UserRole


class _Edit(QUndoCommand):
    """An edit of the record that can be taken back; the store keeps both as revisions."""

    def __init__(
        self,
        place: "RecordPage",
        forth: "Callable[[Store], Any]",
        back: "Callable[[Store], Any]",
    ) -> None:
        super().__init__()
        self._place, self._forth, self._back = place, forth, back

    def redo(self) -> None:
        self._place.change(self._forth)

    def undo(self) -> None:
        self._place.change(self._back)


class RecordPage(Page):
    """The sessions, newest first; one of them in words; replay, rename, remark, remove, report."""

    def __init__(self, controller: SessionController, parent: QWidget | None = None) -> None:
        super().__init__(controller, parent)
        self._summaries: dict[str, SessionSummary] = {}
        self._unfinished: frozenset[str] = frozenset()
        self.title = label(self.tr("page_record.what_happened"), size="title")
        self.rows.addWidget(self.title)
        self.list = LineList(160, self)
        self.list.setAccessibleName(self.tr("page_record.sessions_newest_first"))
        self.list.currentItemChanged.connect(self._show_chosen)
        self.rows.addWidget(self.list, 3)
        self.details = self._make_details()
        self.rows.addWidget(self.details, 2)
        self.rows.addLayout(self._make_buttons())
        controller.record_changed.connect(self.load)
        controller.session_changed.connect(self._show_chosen)
        self._show_chosen()

    def _make_details(self) -> QWidget:
        box = QWidget(self)
        rows = QVBoxLayout(box)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(current_theme().px(4))
        self.findings = label()
        self.remark = label(tone="faint")
        self.state = label(tone="faint")
        for widget in (self.state, self.findings, self.remark):
            rows.addWidget(widget)
        rows.addStretch(1)
        return box

    def _make_buttons(self) -> FlowLayout:
        self.open = KeyButton(self.tr("page_record.replay"), "O", self, primary=True)
        self.open.clicked.connect(self._open)
        self.finish = KeyButton(self.tr("page_record.close_record"), "F", self)
        self.finish.clicked.connect(self._finish)
        self.rename = KeyButton(self.tr("page_record.rename"), "E", self)
        self.rename.clicked.connect(self._rename)
        self.annotate = KeyButton(self.tr("page_record.remark"), "R", self)
        self.annotate.clicked.connect(self._remark)
        self.report = KeyButton(self.tr("page_record.write_report"), "W", self)
        self.report.clicked.connect(self._report)
        self.tags = KeyButton(self.tr("page_record.write_tags"), "G", self)
        self.tags.clicked.connect(self._tags)
        self.find_tag = KeyButton(self.tr("page_record.find_tag"), "T", self)
        self.find_tag.clicked.connect(self._find)
        self.remove = KeyButton(self.tr("page_record.remove"), "Del", self)
        self.remove.clicked.connect(self._remove)
        self.undo = KeyButton(self.tr("page_record.undo"), "U", self)
        self.undo.clicked.connect(self.controller.undo.undo)
        self.undo.setEnabled(self.controller.undo.canUndo())
        self.controller.undo.canUndoChanged.connect(self.undo.setEnabled)
        flow = FlowLayout(spacing=current_theme().px(8))
        for button in (
            self.open,
            self.finish,
            self.rename,
            self.annotate,
            self.report,
            self.tags,
            self.find_tag,
            self.remove,
            self.undo,
        ):
            flow.addWidget(button)
        return flow

    # --- showing -------------------------------------------------------------------------------

    def entered(self) -> None:
        self.load()
        self.list.setFocus()

    @Slot()
    def load(self) -> None:
        """Read the list of sessions again."""
        self.controller.ask_store(
            lambda store: (store.sessions(), frozenset(s.id for s in store.cut_off())),
            self._loaded,
        )

    def _loaded(self, found: "tuple[tuple[SessionSummary, ...], frozenset[str]]") -> None:
        summaries, self._unfinished = found
        chosen = self.chosen_id()
        self._summaries = {s.id: s for s in summaries if not s.removed}
        self.list.blockSignals(True)
        self.list.clear()
        for summary in self._summaries.values():
            item = QListWidgetItem(self._line(summary))
            item.setData(_ID, summary.id)
            self.list.addItem(item)
            if summary.id == chosen:
                self.list.setCurrentItem(item)
        if self.list.currentRow() < 0 and self.list.count():
            self.list.setCurrentRow(0)
        self.list.blockSignals(False)
        self._show_chosen()

    def chosen_id(self) -> str:
        """The session that is chosen; "" if none."""
        item = self.list.currentItem()
        return str(item.data(_ID)) if item is not None else ""

    def _chosen(self) -> "SessionSummary | None":
        return self._summaries.get(self.chosen_id())

    def _line(self, summary: "SessionSummary") -> str:
        parts = [
            local_start(summary).strftime("%Y-%m-%d  %H:%M"),
            _minutes(summary.duration_ns),
            summary.name or self.tr("page_record.without_name"),
            ", ".join(self._finding(f) for f in summary.findings)
            or self.tr("page_record.no_verdict"),
        ]
        if summary.state.value != "ended":
            parts.insert(2, summary.state.value)
        return "   ·   ".join(parts)

    def _finding(self, finding: "Finding") -> str:
        from benchmeter.conformity.verdict import Verdict
        from benchmeter.words.verdicts import verdict_word

        if finding.kind.value == "part":
            word = (
                verdict_word(Verdict(finding.word))
                if finding.word
                else self.tr("page_record.no_verdict_yet")
            )
            return f"{finding.subject}: {word}"
        return self.tr("page_record.recovery_words").format(words=finding.word)

    @Slot()
    def _show_chosen(self) -> None:
        summary = self._chosen()
        some = summary is not None
        state = summary.state.value if summary is not None else ""
        live = state == "open"
        for button in (self.open, self.report, self.tags, self.remove):
            button.setEnabled(some and not live)
        for button in (self.rename, self.annotate):
            button.setEnabled(some)
        self.finish.setVisible(self.chosen_id() in self._unfinished)
        if summary is None:
            self.state.setText(self.tr("page_record.nothing_recorded_yet_every"))
            self.findings.setText("")
            self.remark.setText("")
            self.say_next(self.tr("page_record.record_something_first_connect"))
            return
        self.state.setText(self._state_words(summary))
        restyle(self.state, "tone", "caution" if state == "cut off" else "faint")
        self.findings.setText("\n".join(self._finding(f) for f in summary.findings))
        self.remark.setText(summary.remark)
        if live:
            self.say_next(self.tr("page_record.session_being_recorded_end"))
        else:
            self.say_next(self.tr("page_record.replay_o_or_write"))

    def _state_words(self, summary: "SessionSummary") -> str:
        counts = self.tr("page_record.readings_readings_events_events").format(
            readings=summary.reading_count, events=summary.event_count, zone=summary.zone
        )
        if summary.state.value == "cut off":
            said = self.tr("page_record.session_ended_without_close")
        elif summary.state.value == "open":
            said = self.tr("page_record.session_being_recorded")
        else:
            said = self.tr("page_record.closed")
        return f"{said} {counts}"

    # --- doing ---------------------------------------------------------------------------------

    def change(self, work: "Callable[[Store], Any]") -> None:
        """Let the store change something, then show it."""
        self.controller.ask_store(work, lambda _done: self.load())

    @Slot()
    def _open(self) -> None:
        if self._chosen() is not None:
            self.controller.start_replay(self.chosen_id())

    @Slot()
    def _finish(self) -> None:
        session_id = self.chosen_id()
        self.change(lambda store: store.finish(session_id))

    @Slot()
    def _rename(self) -> None:
        summary = self._chosen()
        if summary is not None:
            self.ask_line.emit(
                LineWanted(
                    f"rename:{summary.id}",
                    self.tr("page_record.new_name_session"),
                    self.tr("page_record.customer_unit"),
                    summary.name,
                )
            )

    @Slot()
    def _remark(self) -> None:
        summary = self._chosen()
        if summary is not None:
            self.ask_line.emit(
                LineWanted(
                    f"remark:{summary.id}",
                    self.tr("page_record.remark_session"),
                    self.tr("page_record.what_customer_said"),
                    summary.remark,
                )
            )

    @Slot()
    def _report(self) -> None:
        summary = self._chosen()
        if summary is not None:
            name = f"benchmeter-{local_start(summary):%Y-%m-%d-%H%M}.pdf"
            self.ask_line.emit(
                LineWanted(
                    f"report:{summary.id}",
                    self.tr("page_record.write_report_file_pdf"),
                    text=str(Path.home() / name),
                )
            )

    @Slot()
    def _tags(self) -> None:
        summary = self._chosen()
        if summary is not None:
            name = f"benchmeter-{local_start(summary):%Y-%m-%d-%H%M}-tags.pdf"
            self.ask_line.emit(
                LineWanted(
                    f"tags:{summary.id}",
                    self.tr("page_record.write_tags_judged_parts"),
                    text=str(Path.home() / name),
                )
            )

    @Slot()
    def _find(self) -> None:
        prompt = self.tr("page_record.scan_code_tag_or")
        self.ask_line.emit(LineWanted("find", prompt, text=""))

    def _look_for(self, code: str) -> None:
        from benchmeter.reports.tag_code import parse_tag_code

        try:
            wanted, _check = parse_tag_code(readable(code))
        except InputError as fault:
            self.controller.report(fault)
            return
        self.controller.ask_store(lambda store: store.session(wanted).id, self._choose)

    def _choose(self, session_id: str) -> None:
        for row in range(self.list.count()):
            if self.list.item(row).data(_ID) == session_id:
                self.list.setCurrentRow(row)
                self.list.setFocus()
                return
        self.controller.say(
            self.tr("page_record.session_was_taken_out"),
            self.tr("page_record.command_line_still_shows"),
        )

    @Slot()
    def _remove(self) -> None:
        session_id = self.chosen_id()
        self.controller.undo.push(
            _Edit(
                self,
                lambda store: store.remove(session_id),
                lambda store: store.restore(session_id),
            )
        )
        self.controller.say(
            self.tr("page_record.session_taken_out_list"),
            self.tr("page_record.u_brings_back"),
        )

    def take_line(self, purpose: str, text: str) -> None:
        kind, _, session_id = purpose.partition(":")
        if kind == "find":
            self._look_for(text)
            return
        summary = self._summaries.get(session_id)
        if summary is None:
            super().take_line(purpose, text)
            return
        before_name, before_remark = summary.name, summary.remark
        if kind == "rename":
            self.controller.undo.push(
                _Edit(
                    self,
                    lambda store: store.rename(session_id, text),
                    lambda store: store.rename(session_id, before_name),
                )
            )
        elif kind == "remark":
            self.controller.undo.push(
                _Edit(
                    self,
                    lambda store: store.remark(session_id, text),
                    lambda store: store.remark(session_id, before_remark),
                )
            )
        elif kind == "report":
            self.controller.write_report(session_id, Path(text).expanduser())
        elif kind == "tags":
            self.controller.write_tags(session_id, Path(text).expanduser())


def local_start(summary: "SessionSummary") -> datetime:
    """When it began, on the clock of where it was recorded."""
    try:
        return summary.started.astimezone(ZoneInfo(summary.zone))
    except (KeyError, ValueError, OSError):
        return summary.started


def _minutes(duration_ns: int) -> str:
    minutes, seconds = divmod(duration_ns // 1_000_000_000, 60)
    return f"{minutes}:{seconds:02d} min"


def cut_off_words(summaries: "tuple[SessionSummary, ...]") -> tuple[str, str]:
    """Id of the latest session that was cut off, and what to say of it; empty if there is none."""
    if not summaries:
        return "", ""
    latest = max(summaries, key=lambda summary: summary.started)
    text = QCoreApplication.translate(
        "RecordPage",
        "page_record.session_time_ended_without",
    )
    return latest.id, text.format(time=local_start(latest).strftime("%Y-%m-%d %H:%M"))
