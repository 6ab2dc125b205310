"""The bench: is this part good?"""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from msgspec import structs
from PySide6.QtCore import Slot
from PySide6.QtWidgets import QWidget

from benchmeter.checking.commands import BeginCheck, Command
from benchmeter.errors import Message
from benchmeter.parts.part_kind import PartKind
from benchmeter.scenes.bench import (
    BenchScene,
    begun_by_form,
    bench_scene,
    form_offer,
    live_reading,
)
from benchmeter.scenes.bench_action_scene import Act
from benchmeter.scenes.bench_state import BenchOpened, BenchState
from benchmeter.scenes.next_part import next_part
from benchmeter.scenes.offer import LineKind, LineWanted
from benchmeter.scenes.session_view import Activity, SessionView
from benchmeter.tasks.choices import Story
from benchmeter.window.control.meter_notices import MeterNotices
from benchmeter.window.control.session_controller import SessionController
from benchmeter.window.control.session_model import Changes
from benchmeter.window.pages.bench.bench_panels import BenchPanels
from benchmeter.window.pages.bench.bench_stage import BenchStage
from benchmeter.window.pages.bench.first_steps import FirstSteps
from benchmeter.window.pages.page import Page
from benchmeter.window.widgets.stack import Stack

__all__ = ["BenchPage"]

_ASIDE = {
    Act.STATISTICS: BenchState.STATISTICS,
    Act.REPLACEMENT: BenchState.REPLACEMENT,
    Act.METER: BenchState.METER,
}


class BenchPage(Page):
    """Draws the scene of the bench, and sends what its buttons offer."""

    def __init__(self, controller: SessionController, parent: QWidget | None = None) -> None:
        super().__init__(controller, parent)
        self._opened = BenchOpened()
        self._scene: BenchScene | None = None
        self._activity = Activity.NOTHING
        self._session_id = ""
        self._leaves = Stack(self)
        self.first_steps = FirstSteps(self)
        self.stage = BenchStage(controller.undo, self)
        for leaf in (self.first_steps, self.stage):
            self._leaves.add(leaf)
        for ways in (self.first_steps, self.stage.ways):
            ways.simulate.connect(self.simulate)
            ways.connect_meter.connect(self.connect_meter)
            ways.type_only.connect(self.type_only)
        self.rows.addWidget(self._leaves)
        self.panels = BenchPanels(controller, self._leaves, self)
        self.panels.begin.connect(self._begin_from_panel)
        self.panels.back.connect(self._come_back)
        self.panels.next_step.connect(self.renew)
        self._connect_stage()
        MeterNotices(controller)
        controller.session_changed.connect(self._session_changed)
        controller.folded.connect(self._folded)
        controller.preferences_changed.connect(self.renew)
        controller.undo.canUndoChanged.connect(self._undo_changed)
        self.renew()

    def _connect_stage(self) -> None:
        stage = self.stage
        stage.buttons.wanted.connect(self._do)
        stage.form.begin.connect(self._begin)
        stage.form.put_off.connect(self._close_form)
        stage.carton.begin.connect(self._begin_next)
        stage.carton.look_at.connect(self._look_at)
        stage.carton.statistics.connect(self._show_statistics)
        stage.carton.close_lot.connect(self._close_carton)
        for field in (stage.form, stage.carton):
            field.left_out.connect(self._say_left_out)

    # --- showing -------------------------------------------------------------------------------

    @Slot()
    def renew(self) -> None:
        """Draw the scene anew."""
        view = self.controller.seen()
        self._activity = view.activity
        self._opened = self._looked_at(self._opened.follow(view.check))
        self.show_scene(view, bench_scene(view, self._opened, self.panels.next_words()))

    def show_scene(self, view: SessionView, scene: BenchScene) -> None:
        """Draw it, and go along with what has come to the front."""
        before, self._scene = self._scene, scene
        self.say_next(scene.next_step)
        if scene.state is BenchState.FIRST_STEPS:
            self._leaves.show_leaf(self.first_steps)
            return
        if not scene.state.aside:
            self._leaves.show_leaf(self.stage)
        entered = before is None or scene.beneath is not before.beneath
        if entered and scene.beneath is BenchState.FORM:
            self.stage.form.prepare(
                self.controller.preferences.labels, form_offer(view, self._opened)
            )
        self.stage.show_scene(scene)
        self._show_live(view)
        if (scene.part and (before is None or scene.part != before.part)) or (
            entered and scene.beneath.answered
        ):
            self.to_top.emit()

    def _looked_at(self, opened: BenchOpened) -> BenchOpened:
        """What a person has opened, with what stands in the form."""
        field = self.stage.form.label_field
        return replace(
            opened,
            label=field.text(),
            in_label=field.hasFocus(),
            can_undo=self.controller.undo.canUndo(),
        )

    def _show_live(self, view: SessionView) -> None:
        if self.isVisible():
            self.stage.show_live(live_reading(view), view.now_ns)

    @Slot()
    def _session_changed(self) -> None:
        if self.controller.shown_id != self._session_id:
            self._session_id = self.controller.shown_id
            self._opened = BenchOpened()
        self._open(aside=None)

    @Slot()
    def _undo_changed(self) -> None:
        if self.isVisible():  # what is not seen is drawn anew when it is entered
            self.renew()

    @Slot(object)
    def _folded(self, changes: Changes) -> None:
        view = self.controller.seen()
        other = changes.restarted or changes.check or changes.biases or bool(changes.judged)
        if (
            other
            or view.activity is not self._activity
            or self._looked_at(self._opened) != self._opened
        ):
            self.renew()
        else:
            self._show_live(view)

    def offer_stories(self, stories: Sequence[Story]) -> None:
        self.first_steps.offer_stories(stories)
        self.stage.ways.offer_stories(stories)

    def offer_kinds(self, kinds: Sequence[PartKind]) -> None:
        """Tell which kinds of parts can be checked."""
        self.stage.form.set_kinds(kinds)

    def set_tight(self, on: bool) -> None:
        """Whether a strip needs room, too: the hands, or the keys of a replay."""
        self.stage.set_tight(on)

    # --- opening -------------------------------------------------------------------------------

    def _open(self, **opened: Any) -> None:
        self._opened = replace(self._opened, **opened)
        self.renew()

    def entered(self) -> None:
        self.renew()
        scene = self._scene
        if scene is None or scene.state is BenchState.FIRST_STEPS:
            return
        if scene.state.aside:
            self.panels.focus()
        elif scene.keys_to_form:
            self.stage.form.focus()
        else:
            self.stage.reading.setFocus()

    def open_form(self) -> None:
        """Ask for another part."""
        self._open(form=True)
        self.stage.form.focus()
        self.renew()

    def use_label(self, text: str, part: str, kind: str = "") -> None:
        """Take over label and name of the part that lies on the simulated bench."""
        self.open_form()
        self.stage.form.use_label(text, part, kind)
        self.renew()

    def show_aside(self, state: BenchState) -> None:
        """Show something in place of the part in hand."""
        self._opened = replace(self._opened, aside=state)
        self.panels.show(state)
        self.to_top.emit()
        self.renew()

    @Slot()
    def _show_statistics(self) -> None:
        self.show_aside(BenchState.STATISTICS)

    @Slot()
    def _come_back(self) -> None:
        self._open(aside=None)
        self.entered()

    @Slot()
    def _close_form(self) -> None:
        self.stage.reading.setFocus()
        self._open(form=False)

    @Slot()
    def _close_carton(self) -> None:
        check = self.controller.seen().check
        self._opened = replace(self._opened, closed_carton=check.lot if check is not None else "")
        self.open_form()

    @Slot(object)
    def _look_at(self, place: str | None) -> None:
        self._open(place=place)

    # --- doing ---------------------------------------------------------------------------------

    @Slot(object)
    def _do(self, act: Act) -> None:
        offer = self._scene.actions[act] if self._scene is not None else None
        if offer is None:
            return
        if offer.notice is not None:
            self.controller.say(offer.notice.text, offer.notice.advice)
        if offer.command is not None:
            self._send(offer.command)
        elif offer.ask is not None:
            self.ask(offer.ask)
        elif act in _ASIDE:
            self.show_aside(_ASIDE[act])
        elif act is Act.UNDO:
            self.controller.undo.undo()
        elif act is Act.TAKE:
            self.stage.carton.field.confirm()
        elif act in (Act.PART, Act.TYPING):
            self.open_form()

    def _send(self, command: Command) -> None:
        self.controller.send(command)
        self.stage.reading.setFocus()

    @Slot(object)
    def _begin(self, typed: BeginCheck) -> None:
        view = self.controller.seen()
        if not view.simulated:  # nothing simulated belongs to the person
            preferences = self.controller.preferences.with_label(typed.label)
            self.controller.set_preferences(structs.replace(preferences, accuracy=typed.accuracy))
        self._open(form=False)
        self._send(begun_by_form(view, typed))

    @Slot(object)
    def _begin_from_panel(self, command: BeginCheck) -> None:
        """What a panel begins is sent as it is: its label is none that a person typed."""
        self._open(form=False, aside=None)
        self.entered()
        self._send(command)

    @Slot(str)
    def _begin_next(self, number: str) -> None:
        check = self.controller.seen().check
        if check is not None:
            self._send(next_part(check, number))

    @Slot(int)
    def _say_left_out(self, count: int) -> None:
        """A scanned code held what nobody can see."""
        self.controller.tell(Message("page_lot.signs_left_out", {"count": count}))

    def take_line(self, wanted: LineWanted, text: str) -> None:
        if wanted.kind is LineKind.TAG:
            self.controller.write_tags(wanted.subject, Path(text).expanduser(), wanted.check)
        else:
            super().take_line(wanted, text)
