"""The one window: places at the left, what to do next above, pulses and notices below."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QSettings, QTimer, Signal, Slot
from PySide6.QtGui import QCloseEvent, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import (
    QApplication,
    QComboBox,
    QHBoxLayout,
    QLineEdit,
    QMainWindow,
    QVBoxLayout,
    QWidget,
)

from benchmeter.checking.safety import PartSafety
from benchmeter.files.resources import STANDARD_SCENARIO
from benchmeter.readings.events import EventKind
from benchmeter.scenes.offer import LineKind, LineWanted
from benchmeter.scenes.safety_scene import safety_scene
from benchmeter.window.control.session_controller import SessionController
from benchmeter.window.pages.bench.first_steps import FirstSteps
from benchmeter.window.pages.page import Page
from benchmeter.window.shell.appearance import Appearance
from benchmeter.window.shell.rail import Rail
from benchmeter.window.shell.start_up import StartUp
from benchmeter.window.theme.labels import label, restyle
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.scrolling import scroll_area
from benchmeter.window.widgets.stack import Stack

if TYPE_CHECKING:
    from benchmeter.tasks.choices import PartKindsFound, Story
    from benchmeter.window.control.session_model import Changes
    from benchmeter.words.notice_words import ToldNotice

__all__ = ["Window"]

_SECOND_MS = 1000
_ROOMY = 720  # height from which the strips need not scroll, at 100 %
_BENCH, _UNIT, _RECORD, _CONNECTIONS, _SETTINGS, _NOTICES = range(6)


class Window(QMainWindow):
    """Everything that is seen.

    What is not needed for the first paint is made right after it, by `complete`.

    Signals:
        first_painted: once, after the first paint.
        ready: once, when everything is there.
    """

    first_painted = Signal()
    ready = Signal()

    def __init__(self, controller: SessionController) -> None:
        super().__init__()
        self.controller = controller
        controller.setParent(self)
        self._painted = False
        self._completed = False
        self._session_id = ""
        self._asking: Page | None = None
        self._places: list[Page | None] = [None] * 6
        self._stories: tuple[Story, ...] = ()
        self.setWindowTitle("benchmeter")
        self.appearance = Appearance(controller, self)
        self.appearance.apply()
        self._make_shell()
        self._start_up = StartUp(controller, self)
        self._dress()
        self._restore_geometry()

    # --- making --------------------------------------------------------------------------------

    def _make_shell(self) -> None:
        body = QWidget(self)
        self.setCentralWidget(body)
        look = current_theme()
        columns = QHBoxLayout(body)
        columns.setContentsMargins(0, 0, 0, 0)
        columns.setSpacing(0)
        self.rail = Rail(
            (
                self.tr("window.bench"),
                self.tr("window.unit"),
                self.tr("window.record"),
                self.tr("window.connections"),
                self.tr("window.settings"),
                self.tr("window.notices"),
            )
        )
        self.rail.place.connect(self.show_place)
        self.rail.end.connect(self.controller.end_session)
        self.rail.colours.connect(self.appearance.next_palette)
        columns.addWidget(self.rail.area)
        self._column = QVBoxLayout()
        self._column.setContentsMargins(look.gap, look.px(8), look.gap, look.px(8))
        self._column.setSpacing(look.px(4))
        columns.addLayout(self._column, 1)
        self.next_line = label(self.tr("window.connect_meter_or_press"))
        self.next_line.setProperty("text_size", "title")
        self.next_line.setAccessibleName(self.tr("window.what_do_next"))
        self.stage = Stack()
        inside = QWidget()
        self._inside = QVBoxLayout(inside)
        self._inside.setContentsMargins(0, 0, 0, 0)
        self._inside.setSpacing(self._column.spacing())
        self._inside.addWidget(self.stage, 1)
        self._scroll = scroll_area(inside)
        self._column.addWidget(self.next_line)
        self._column.addWidget(self._scroll, 1)
        self._welcome = FirstSteps()
        self.stage.add(self._welcome)
        self._roomy: bool | None = None

    def complete(self) -> None:
        """Make what the first paint did not need; again is harmless."""
        if self._completed:
            return
        self._completed = True
        from benchmeter.window.control.sound import SessionSounds
        from benchmeter.window.pages.bench.bench_page import BenchPage
        from benchmeter.window.pages.entry_row import EntryRow
        from benchmeter.window.pages.hands_strip import HandsStrip
        from benchmeter.window.pages.replay_strip import ReplayStrip
        from benchmeter.window.shell.safety_row import SafetyRow
        from benchmeter.window.widgets.notice_bar import NoticeBar
        from benchmeter.window.widgets.pulse_strip import PulseStrip

        self.sound = SessionSounds(self)
        self.sound.on = self.controller.preferences.sound
        self.safety = SafetyRow()
        self.safety.take_residual.connect(self._take_residual)
        self.safety.prove_meter.connect(self._prove_meter)
        self.safety.type_residual.connect(self._ask_residual)
        self.entry = EntryRow()
        self.entry.entered.connect(self._line_entered)
        self.entry.closed.connect(self._line_closed)
        self.hands = HandsStrip()
        self.hands.do.connect(self.controller.do_by_hand)
        self.hands.use_label.connect(self._use_label)
        self.hands.folded.connect(self._strip_folded)
        self.rail.take_in(self.hands.fold)
        self.replay = ReplayStrip()
        self.replay.seek.connect(self.controller.seek)
        self.pulses = PulseStrip()
        self.notices = NoticeBar()
        self._column.addWidget(self.pulses)
        self._column.addWidget(self.notices)
        self.bench = BenchPage(self.controller, self)
        self._take_place(_BENCH, self.bench)
        self._arrange()
        self._connect()
        self._session_changed()
        self.show_place(_BENCH)
        self._dress()
        self.ready.emit()

    def _connect(self) -> None:
        self.controller.noticed.connect(self._noticed)
        self.controller.session_changed.connect(self._session_changed)
        self.controller.folded.connect(self._folded)
        self.controller.preferences_changed.connect(self._preferences_changed)
        self.bench.first_steps.view.connect(self._view_cut_off)
        self.bench.first_steps.finish.connect(self._finish_cut_off)
        application = QApplication.instance()
        assert isinstance(application, QApplication)
        application.focusChanged.connect(self._show_focus)
        # The place may become higher only after it has got the focus.
        self._scroll.verticalScrollBar().rangeChanged.connect(self._show_focus)
        self._second = QTimer(self, interval=_SECOND_MS)
        self._second.timeout.connect(self._each_second)
        self._second.start()

    def _arrange(self) -> None:
        """What to do next and the caution stand still; strips do, where there is room for them."""
        roomy = self.height() >= current_theme().px(_ROOMY)
        if roomy is self._roomy or not self._completed:
            return
        self._roomy = roomy
        restyle(self.next_line, "text_size", "title" if roomy else "lead")
        self._column.insertWidget(1, self.safety)
        self._show_safety()
        self._column.insertWidget(3, self.entry)
        strips = (self.hands, self.replay)
        if roomy:
            for place, strip in enumerate(strips, 4):
                self._column.insertWidget(place, strip)
        else:
            for strip in strips:
                self._inside.addWidget(strip)
        self._strip_folded()

    @Slot()
    def _show_focus(self) -> None:
        """Where typing goes is to be seen."""
        focus, inside = QApplication.focusWidget(), self._scroll.widget()
        if self._roomy or inside is None or not isinstance(focus, QLineEdit | QComboBox):
            return
        if inside.isAncestorOf(focus):
            self._scroll.ensureWidgetVisible(focus, 0, current_theme().gap)

    @Slot()
    def _strip_folded(self) -> None:
        """Pulses and verdict make room for a strip; what has been unfolded is to be seen."""
        strip = not (self.hands.isHidden() and self.replay.isHidden())
        self.pulses.set_compact(strip or not self._roomy)
        self.bench.set_tight(strip)
        if not self._roomy and not self.hands.isHidden():
            QTimer.singleShot(0, self, self._show_hands_strip)

    @Slot()
    def _show_hands_strip(self) -> None:
        self._scroll.ensureWidgetVisible(self.hands, 0, 0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._arrange()
        self._dress()

    def _make_place(self, number: int) -> Page:
        """Places are made when they are first wanted; the first window holds the bench alone."""
        from benchmeter.window.pages.connections_page import ConnectionsPage
        from benchmeter.window.pages.notices import NoticesPage
        from benchmeter.window.pages.record_page import RecordPage
        from benchmeter.window.pages.settings_page import SettingsPage
        from benchmeter.window.pages.unit_page import UnitPage

        makers: dict[int, Callable[[SessionController, QWidget], Page]] = {
            _UNIT: UnitPage,
            _RECORD: RecordPage,
            _CONNECTIONS: ConnectionsPage,
            _SETTINGS: SettingsPage,
            _NOTICES: NoticesPage,
        }
        place = makers[number](self.controller, self)
        self._take_place(number, place)
        if isinstance(place, NoticesPage):
            self.notices.history_changed.connect(place.show_notices)
            place.show_notices(self.notices.history())
        return place

    def _take_place(self, number: int, place: Page) -> None:
        self._places[number] = place
        self.stage.add(place)
        place.next_step.connect(self._next_step)
        place.ask_line.connect(self._ask_line)
        place.to_top.connect(self._to_top)
        place.simulate.connect(self.start_simulated)
        place.connect_meter.connect(self.show_connections)
        place.type_only.connect(self._type_only)
        place.offer_stories(self._stories)

    # --- places --------------------------------------------------------------------------------

    def place(self, number: int) -> Page:
        """The place at that number of the rail, made now if it was not there yet."""
        return self._places[number] or self._make_place(number)

    @Slot(int)
    def show_place(self, number: int) -> None:
        """Bring a place to the front."""
        self.complete()
        place = self.place(number)
        self.stage.show_leaf(place)
        self._scroll.verticalScrollBar().setValue(0)
        self.rail.choose(number)
        place.entered()
        self.next_line.setText(place.next_words())
        self._show_safety()

    @Slot()
    def show_unit(self) -> None:
        self.show_place(_UNIT)

    @Slot()
    def show_record(self) -> None:
        self.show_place(_RECORD)

    @Slot()
    def show_connections(self) -> None:
        self.show_place(_CONNECTIONS)

    def _current(self) -> Page | None:
        place = self.stage.shown()
        return place if isinstance(place, Page) else None

    @Slot(str)
    def _next_step(self, words: str) -> None:
        if self.sender() is self.stage.shown():
            self.next_line.setText(words)

    @Slot()
    def _to_top(self) -> None:
        self._scroll.verticalScrollBar().setValue(0)

    # --- the first paint and after -------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if not self._painted:
            self._painted = True
            QTimer.singleShot(0, self, self._after_first_paint)

    @Slot()
    def _after_first_paint(self) -> None:
        self._fit_screen()
        self.first_painted.emit()
        self._start_up.plot_imported.connect(self._plot_imported)
        self._start_up.stories_found.connect(self._stories_found)
        self._start_up.kinds_found.connect(self._kinds_found)
        self._start_up.cut_off_found.connect(self._cut_off_found)
        self._start_up.begin_imports()
        self.complete()
        self._start_up.ask_what_there_is()

    @Slot(object)
    def _stories_found(self, stories: "tuple[Story, ...]") -> None:
        self._stories = stories
        for place in self._places:
            if place is not None:
                place.offer_stories(stories)

    @Slot(object)
    def _kinds_found(self, found: "PartKindsFound") -> None:
        self.bench.offer_kinds(found.kinds)
        for fault in found.broken:
            self.controller.report(fault)

    @Slot()
    def _plot_imported(self) -> None:
        from benchmeter.window.pages.unit_page import UnitPage

        unit = self.place(_UNIT)
        assert isinstance(unit, UnitPage)
        unit.plot_ready()

    @Slot(str, str)
    def _cut_off_found(self, session_id: str, words: str) -> None:
        self.bench.first_steps.offer_cut_off(session_id, words)
        if words and not self.bench.first_steps.isVisible():
            self.controller.say(words, self.tr("window.view_or_close_record"))

    @Slot(str)
    def _view_cut_off(self, session_id: str) -> None:
        self.controller.start_replay(session_id)

    @Slot(str)
    def _finish_cut_off(self, session_id: str) -> None:
        def done(_done: object) -> None:
            self.bench.first_steps.offer_cut_off("", "")
            self.controller.say(self.tr("window.record_session_closed_nothing"))
            self.controller.record_changed.emit()

        self.controller.ask_store(lambda store: store.finish(session_id), done)

    # --- the session ---------------------------------------------------------------------------

    @Slot(str)
    def start_simulated(self, scenario: str = STANDARD_SCENARIO) -> None:
        """Start the simulated bench."""
        self.controller.start_simulated(scenario)

    @Slot()
    def _type_only(self) -> None:
        self.controller.start_live(())

    @Slot()
    def _session_changed(self) -> None:
        session = self.controller.session
        self.hands.show_hands(session.hands if session is not None else None)
        self.replay.show_replay(session.replay if session is not None else None)
        self._strip_folded()
        self.rail.end_button.setVisible(session is not None)
        self.rail.end_button.set_title(
            self.tr("window.end_replay")
            if self.controller.replaying
            else self.tr("window.end_recording")
        )
        self._show_session_words()
        self._show_pulses()
        self._show_safety()
        before, self._session_id = self._session_id, session.session_id if session else ""
        if session is None or self._session_id == before:
            return
        if self.stage.shown() in (self._places[_CONNECTIONS], self._places[_RECORD]):
            self.show_place(_BENCH)
        elif (place := self._current()) is not None:
            place.entered()

    @Slot(object)
    def _folded(self, changes: "Changes") -> None:
        self._show_pulses()
        turned = any(e.kind is EventKind.FUNCTION for e in changes.events)
        if changes.safety or changes.restarted or changes.check or turned:
            self._show_safety()
        self.replay.refresh()
        self.sound.hear(changes, self.controller.view, silent=self.controller.replaying)

    @Slot()
    def _each_second(self) -> None:
        self.hands.refresh()
        self.replay.refresh()
        self._show_session_words()

    def _show_pulses(self) -> None:
        view = self.controller.view
        if view is None or self.controller.session is None:
            self.pulses.show_pulses({}, None, 0)
        else:
            self.pulses.show_pulses(view.pulses, view.setup, view.now_ns)

    def _show_safety(self) -> None:
        view, session = self.controller.view, self.controller.session
        near_live_parts = self.stage.shown() in (self._places[_BENCH], self._places[_UNIT])
        self.safety.setVisible(near_live_parts and not self.controller.replaying)
        check = view.check if view is not None and self.stage.shown() is self.bench else None
        self.safety.show_scene(
            safety_scene(
                view.safety if view is not None and session is not None else PartSafety(),
                check,
                volts_shown=view is not None and view.shows_volts(),
                recording=session is not None and not self.controller.replaying,
                compact=self._roomy is False,
                tell=current_theme().presentation,
            )
        )

    def _show_session_words(self) -> None:
        at, session = self.controller.began_at, self.controller.session
        recording = session is not None and not self.controller.replaying
        if session is None or at is None:
            words = self.tr("window.not_recording")
        elif self.controller.replaying:
            words = self.tr("window.replay_from_record")
        else:
            words = self.tr("window.recording_since_time_disk").format(time=at.strftime("%H:%M"))
            story = self.hands.story_words()
            words = f"{words}\n{story}" if story else words
        self.rail.say(words, faint=not recording)

    @Slot(str, str, str)
    def _use_label(self, text: str, part: str, kind: str) -> None:
        self.show_place(_BENCH)
        self.bench.use_label(text, part, kind)

    # --- notices -------------------------------------------------------------------------------

    @Slot(object)
    def _noticed(self, notice: "ToldNotice") -> None:
        self.notices.add(notice)
        if notice.severity != "info" and not self.controller.replaying:
            self.sound.look()

    # --- lines of text -------------------------------------------------------------------------

    @Slot(object)
    def _ask_line(self, wanted: LineWanted) -> None:
        place = self.sender()
        self._asking = place if isinstance(place, Page) else self._current()
        self.entry.ask(wanted)

    @Slot()
    def _take_residual(self) -> None:
        from benchmeter.checking.commands import TakeVolts

        self.controller.send(TakeVolts(time_ns=0))

    @Slot()
    def _prove_meter(self) -> None:
        from benchmeter.checking.commands import ProveMeter

        view = self.controller.view
        if view is not None and view.shows_volts() and not view.safety.proof_by_hand:
            self.controller.send(ProveMeter(time_ns=0))
        else:
            self._ask_volts(LineKind.LIVE_SOURCE, self.tr("window.live_source"), "230 V AC")

    @Slot()
    def _ask_residual(self) -> None:
        self._ask_volts(LineKind.READING, self.tr("window.volts_left_part"), "0.4 V")

    def _ask_volts(self, kind: LineKind, asked: str, example: str) -> None:
        self._asking = self.bench
        self.entry.ask(LineWanted(kind, asked, example, subject="residual"))

    @Slot(object, str)
    def _line_entered(self, wanted: LineWanted, text: str) -> None:
        if self._asking is not None:
            self._asking.take_line(wanted, text)

    @Slot()
    def _line_closed(self) -> None:
        if (place := self._current()) is not None:
            place.entered()

    # --- looks ---------------------------------------------------------------------------------

    @Slot()
    def _preferences_changed(self) -> None:
        self.sound.on = self.controller.preferences.sound
        self.appearance.apply()
        self._arrange()
        self._dress()

    def _dress(self) -> None:
        self.rail.dress(bar=self.height() < current_theme().px(_ROOMY))

    # --- coming and going ----------------------------------------------------------------------

    def _settings(self) -> QSettings:
        path = self.controller.services.folders.data / "window.ini"
        return QSettings(str(path), QSettings.Format.IniFormat)

    def _restore_geometry(self) -> None:
        geometry = self._settings().value("geometry")
        if geometry is None or not self.restoreGeometry(geometry):
            self.resize(1280, 800)

    def _fit_screen(self) -> None:
        """Leave room for the frame, which is known only once the window is shown."""
        outer, room = self.frameGeometry(), self.screen().availableGeometry()
        if not self.isMaximized() and not room.contains(outer):
            self.resize(self.size().boundedTo(room.size() - (outer.size() - self.size())))
            self.move(room.topLeft())

    def closeEvent(self, event: QCloseEvent) -> None:
        """Leaving is safe: the record is closed, which takes about a second at most.

        Where a full disk does not take what was read, that is said first; who leaves all the same
        gives it up.
        """
        if self.controller.tells_of_held():
            event.ignore()
            return
        if self._completed:
            self._second.stop()
        self._start_up.stop_waiting()
        settings = self._settings()
        settings.setValue("geometry", self.saveGeometry())
        settings.sync()
        self.controller.shut()
        super().closeEvent(event)
