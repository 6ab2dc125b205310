"""The record: what happened?"""

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Qt, Slot
from PySide6.QtGui import QUndoCommand
from PySide6.QtWidgets import QListWidgetItem, QVBoxLayout, QWidget

from benchmeter.errors import InputError, Message, StoreDamaged
from benchmeter.scenes.offer import LineKind, LineWanted
from benchmeter.scenes.record_scene import RecordAct, RecordScene, record_scene
from benchmeter.scenes.visit_form_scene import visit_scene
from benchmeter.session.visit import Visit
from benchmeter.window.control.session_controller import SessionController
from benchmeter.window.pages.page import Page
from benchmeter.window.pages.visit_form import VisitForm
from benchmeter.window.theme.labels import label, restyle
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.code_field import readable
from benchmeter.window.widgets.flow import FlowLayout
from benchmeter.window.widgets.keys import KeyButton
from benchmeter.window.widgets.line_list import LineList

if TYPE_CHECKING:
    from benchmeter.record.records import SessionSummary
    from benchmeter.record.session_catalogue import Listed
    from benchmeter.record.store import Store

__all__ = ["RecordPage"]

_ID = Qt.ItemDataRole.UserRole
_KEYS = {
    RecordAct.REPLAY: "O",
    RecordAct.FINISH: "F",
    RecordAct.RENAME: "E",
    RecordAct.REMARK: "R",
    RecordAct.VISIT: "V",
    RecordAct.REPORT: "W",
    RecordAct.TAGS: "G",
    RecordAct.FIND: "T",
    RecordAct.REMOVE: "Del",
    RecordAct.UNDO: "U",
}


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
    """The sessions, newest first; one of them in words, and what can be done with it."""

    def __init__(self, controller: SessionController, parent: QWidget | None = None) -> None:
        super().__init__(controller, parent)
        self._sessions: tuple[SessionSummary, ...] = ()
        self._unfinished: frozenset[str] = frozenset()
        self._damaged: tuple[str, ...] = ()
        self._scene: RecordScene | None = None
        self._visited, self._stated = "", Visit()  # the session that is asked about
        self.title = label(self.tr("page_record.what_happened"), size="title")
        self.rows.addWidget(self.title)
        self.list = LineList(160, self)
        self.list.setAccessibleName(self.tr("page_record.sessions_newest_first"))
        self.list.currentItemChanged.connect(self.renew)
        self.rows.addWidget(self.list, 3)
        self.details = self._make_details()
        self.rows.addWidget(self.details, 2)
        self.choices = QWidget(self)
        self.choices.setLayout(self._make_buttons())
        self.rows.addWidget(self.choices)
        self.visit = VisitForm(self)
        self.visit.entered.connect(self._keep_visit)
        self.visit.put_off.connect(self._show_list)
        self.visit.hide()
        self.rows.addWidget(self.visit, 5)
        controller.record_changed.connect(self.load)
        controller.session_changed.connect(self.renew)
        controller.undo.canUndoChanged.connect(self._undo_changed)
        self.renew()

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
        flow = FlowLayout(spacing=current_theme().px(8))
        self.buttons: dict[RecordAct, KeyButton] = {}
        for act, key in _KEYS.items():
            button = KeyButton("", key, self, primary=act is RecordAct.REPLAY)
            button.setObjectName(act)
            button.clicked.connect(self._pressed)
            self.buttons[act] = button
            flow.addWidget(button)
        return flow

    # --- showing -------------------------------------------------------------------------------

    def entered(self) -> None:
        self.load()
        if self.visit.isVisible():
            self.visit.focus()
        else:
            self.list.setFocus()

    @Slot()
    def load(self) -> None:
        """Read the list of sessions again."""
        self.controller.ask_store(
            lambda store: store.listed(),
            self._loaded,
        )

    def _loaded(self, found: "Listed") -> None:
        for number in sorted({*found.damaged} - {*self._damaged}):
            self.controller.report(StoreDamaged("record.session_changed", number=number))
        self._damaged = found.damaged
        self._sessions = tuple(s for s in found.sessions if not s.removed)
        self._unfinished = found.unfinished
        self.renew()

    @Slot()
    def _undo_changed(self) -> None:
        if self.isVisible():  # what is not seen is drawn anew when it is entered
            self.renew()

    @Slot()
    def renew(self) -> None:
        """Draw the scene anew."""
        item = self.list.currentItem()
        self.show_scene(
            record_scene(
                self._sessions,
                str(item.data(_ID)) if item is not None else "",
                self.controller.seen().presentation,
                unfinished=self._unfinished,
                can_undo=self.controller.undo.canUndo(),
            )
        )

    def show_scene(self, scene: RecordScene) -> None:
        """Draw it."""
        before, self._scene = self._scene, scene
        if before is None or scene.lines != before.lines:
            self._fill(scene)
        stating = not self.visit.isHidden()
        self.say_next(self.tr("page_visit.next_step") if stating else scene.next_step)
        self.state.setText(scene.about)
        restyle(self.state, "tone", "caution" if scene.cautious else "faint")
        self.findings.setText(scene.findings)
        self.remark.setText(scene.remark)
        for act, offer in scene.actions.items():
            self.buttons[act].show_offer(offer)

    def _fill(self, scene: RecordScene) -> None:
        self.list.blockSignals(True)
        self.list.clear()
        for line in scene.lines:
            item = QListWidgetItem(line.words)
            item.setData(_ID, line.session_id)
            self.list.addItem(item)
            if line.session_id == scene.chosen:
                self.list.setCurrentItem(item)
        self.list.blockSignals(False)

    # --- doing ---------------------------------------------------------------------------------

    def change(self, work: "Callable[[Store], Any]") -> None:
        """Let the store change something, then show it."""
        self.controller.ask_store(work, lambda _done: self.load())

    @Slot()
    def _pressed(self) -> None:
        act = RecordAct(self.sender().objectName())
        scene = self._scene
        if scene is None:
            return
        offer, session_id = scene.actions[act], scene.chosen
        if offer.ask is not None:
            self.ask(offer.ask)
            return
        match act:
            case RecordAct.REPLAY:
                self.controller.start_replay(session_id)
            case RecordAct.FINISH:
                self.change(lambda store: store.finish(session_id))
            case RecordAct.VISIT:
                self._ask_visit(session_id)
            case RecordAct.REMOVE:
                self._remove(session_id)
            case RecordAct.UNDO:
                self.controller.undo.undo()

    # --- the visit -----------------------------------------------------------------------------

    def _ask_visit(self, session_id: str) -> None:
        from benchmeter.tasks.visiting import checked_parts

        self.controller.ask_store(
            lambda store: (store.visit(session_id), checked_parts(store, session_id)),
            lambda found: self.show_visit(session_id, *found),
        )

    def show_visit(self, session_id: str, visit: Visit, parts: Mapping[int, str]) -> None:
        """Open the form with what is stated of a session; `parts` by the number of their check."""
        self._visited, self._stated = session_id, visit
        name = next((s.name for s in self._sessions if s.id == session_id), "")
        tell = self.controller.seen().presentation
        self.visit.prepare(session_id, visit, visit_scene(visit, parts, name, tell))
        self._turn(to_visit=True)
        self.visit.focus()

    @Slot(object)
    def _keep_visit(self, visit: Visit) -> None:
        session_id, before = self._visited, self._stated
        self._show_list()
        if visit != before:
            self._edit(
                lambda store: store.describe(session_id, visit),
                lambda store: store.describe(session_id, before),
            )
            self.controller.tell(Message("page_visit.kept"))

    @Slot()
    def _show_list(self) -> None:
        self._turn(to_visit=False)
        self.list.setFocus()

    def _turn(self, *, to_visit: bool) -> None:
        """Show the form in place of the list, or the list again."""
        for widget in (self.title, self.list, self.details, self.choices):
            widget.setVisible(not to_visit)
        self.visit.setVisible(to_visit)
        self.renew()
        self.to_top.emit()

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
        self.controller.tell(Message("page_record.not_in_list"))

    def _edit(self, forth: "Callable[[Store], Any]", back: "Callable[[Store], Any]") -> None:
        self.controller.undo.push(_Edit(self, forth, back))

    def _remove(self, session_id: str) -> None:
        self._edit(lambda store: store.remove(session_id), lambda store: store.restore(session_id))
        self.controller.tell(Message("page_record.taken_out"))

    def take_line(self, wanted: LineWanted, text: str) -> None:
        session_id, before = wanted.subject, wanted.text or ""
        match wanted.kind:
            case LineKind.FIND:
                self._look_for(text)
            case LineKind.RENAME:
                self._edit(
                    lambda store: store.rename(session_id, text),
                    lambda store: store.rename(session_id, before),
                )
            case LineKind.REMARK:
                self._edit(
                    lambda store: store.remark(session_id, text),
                    lambda store: store.remark(session_id, before),
                )
            case LineKind.REPORT:
                self.controller.write_report(session_id, Path(text).expanduser())
            case LineKind.TAGS:
                self.controller.write_tags(session_id, Path(text).expanduser())
            case _:
                super().take_line(wanted, text)
