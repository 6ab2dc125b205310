"""What is under way in the window: preferences, store, the one session, its view."""

import logging
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import msgspec
from PySide6.QtCore import QObject, QTimer, Signal, Slot
from PySide6.QtGui import QUndoStack

from benchmeter.checking.commands import Command
from benchmeter.errors import InputError, Message
from benchmeter.files.output_file import OutputFile
from benchmeter.files.preferences import Preferences, load_preferences, save_preferences
from benchmeter.window.control.background import Background, notice_of
from benchmeter.window.control.relay import OutcomeRelay
from benchmeter.window.control.services import Services
from benchmeter.window.theme.palette import current_theme
from benchmeter.words.presentation import Presentation

if TYPE_CHECKING:
    from benchmeter.record.store import Store
    from benchmeter.scenes.session_view import SessionView
    from benchmeter.session.outcome import Outcome, Severity
    from benchmeter.tasks.running import ReplayControl, RunningSession
    from benchmeter.window.control.session_model import BenchView
    from benchmeter.window.control.session_seen import SessionSeen
    from benchmeter.window.control.stay_awake import StayAwake

__all__ = ["SessionController"]

_log = logging.getLogger(__name__)
_T = TypeVar("_T")
_LOOK_MS = 300


class SessionController(QObject):
    """Joins the screens with the session. Every method is for the GUI thread and returns at once.

    Signals:
        session_changed: a session has begun, or the one that was has ended.
        folded: a Changes, after outcomes were folded into `view`.
        noticed: a ToldNotice for the bar.
        preferences_changed: `preferences` is another one.
        record_changed: sessions were added, ended, renamed, removed.
    """

    session_changed = Signal()
    folded = Signal(object)
    noticed = Signal(object)
    preferences_changed = Signal()
    record_changed = Signal()

    def __init__(self, services: Services, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.services = services
        loaded = load_preferences(services.folders)
        self.preferences: Preferences = loaded.preferences
        self._settings_problem = loaded.problem
        self.background = Background(self)
        self.undo = QUndoStack(self)
        self.awake: StayAwake | None = None
        self.session: RunningSession | None = None
        self.view: BenchView | None = None
        self.shown_id = ""  # of the session that the view shows, also once it has ended
        self._seen: SessionSeen | None = None
        self.began_at: datetime | None = None
        self.opening = False
        self.today: Callable[[], date] = date.today
        self._relay: OutcomeRelay | None = None
        self._store: Store | None = None  # touched on the worker only
        self._begun: RunningSession | None = None  # likewise: the latest one that was opened
        self._shut = False
        self._told_of_held = False
        self._looking = QTimer(self, interval=_LOOK_MS)
        self._looking.timeout.connect(self._look_after)
        self._looking.start()

    # --- from the start to the end of the window ----------------------------------------------

    def warm_up(self) -> None:
        """After the first paint: say what was wrong with the settings, import, open the store.

        Before any session begins: what is begun later waits until all this is done.
        """
        if self._settings_problem is not None:
            self.report(self._settings_problem)
        self.ask(self._open_store, self._store_opened)
        self.ask(self.services.warm_up, _nothing)

    def tells_of_held(self) -> bool:
        """Whether readings would be lost by leaving now, and the user is told so: once."""
        held = None if self._begun is None else self._begun.held
        if held is None or self._told_of_held:
            return False
        self._told_of_held = True
        from benchmeter.session.outcome import Severity
        from benchmeter.tasks.running import held_message

        self.tell(held_message("tasks.held", held), Severity.ERROR)
        return True

    def shut(self) -> None:
        """Stop everything and wait for it, about a second at most."""
        if self._shut:
            return
        self._shut = True
        self._looking.stop()
        self._let_sleep()
        self.session = None
        if self._relay is not None:
            self._relay.stop()
        self.background.shut(self._shut_on_worker)

    def _shut_on_worker(self) -> None:
        """Also a session that was opened a moment ago, of which the window does not know yet."""
        try:
            if self._begun is not None:
                self._begun.stop()
                if self._begun.held is not None and (lost := self._begun.give_up()):
                    _log.error("given up, because the disk did not take it: %s", lost)
        finally:
            if self._store is not None:
                self._store.close()

    def _open_store(self) -> "Store":
        if self._store is None:
            self._store = self.services.open_store()
        return self._store

    def _store_opened(self, store: "Store") -> None:
        if store.refused is not None:
            self.report(store.refused)
        self.record_changed.emit()

    # --- asking, telling -----------------------------------------------------------------------

    def ask(self, work: Callable[[], _T], then: Callable[[_T], None]) -> None:
        """Let the worker do something; a fault becomes a notice."""
        self.background.run(work, then, self.report)

    def ask_store(self, work: "Callable[[Store], Any]", then: Callable[[Any], None]) -> None:
        """Let the worker do something with the store."""
        self.ask(lambda: work(self._open_store()), then)

    def report(self, fault: Exception) -> None:
        """Tell the user of a fault."""
        self.noticed.emit(notice_of(fault, Presentation.of(self.preferences)))

    def say(self, text: str, advice: str = "", severity: "Severity | None" = None) -> None:
        """Tell the user something; it only informs if nothing else is said."""
        from benchmeter.session.outcome import Severity
        from benchmeter.words.notice_words import ToldNotice

        self.noticed.emit(ToldNotice(severity or Severity.INFO, text, advice))

    def tell(self, message: Message, severity: "Severity | None" = None) -> None:
        """Tell the user a message of the catalogue."""
        told = self.seen().presentation.tell(message)
        self.say(told.text, told.advice, severity)

    def prefer(self, **changes: Any) -> None:
        """Change preferences and keep them."""
        fresh = msgspec.structs.replace(self.preferences, **changes)
        self.set_preferences(fresh)

    def set_preferences(self, fresh: Preferences) -> None:
        """Take these preferences and keep them."""
        if fresh == self.preferences:
            return
        self.preferences = fresh
        self.preferences_changed.emit()
        self.ask(lambda: save_preferences(self.services.folders, fresh), _nothing)

    # --- the session ---------------------------------------------------------------------------

    @property
    def replaying(self) -> bool:
        return self.session is not None and self.session.replay is not None

    @property
    def recording(self) -> bool:
        return self.session is not None and self.session.replay is None and self.session.running

    def seen(self) -> "SessionView":
        """The session as the scenes see it."""
        if self._seen is None:
            from benchmeter.window.control.session_seen import SessionSeen

            self._seen = SessionSeen()
        return self._seen.of(
            self.view,
            self.session,
            self.preferences,
            today=self.today(),
            opening=self.opening,
            session_id=self.shown_id,
        )

    def story_plays(self) -> bool:
        """Whether a story acts by itself at the simulated bench."""
        hands = self.session.hands if self.session is not None else None
        return hands is not None and hands.story_plays()

    def start_live(self, addresses: tuple[str, ...]) -> None:
        """Connect and record."""
        self._begin(lambda publish: self.services.open_live(self._open_store(), addresses, publish))

    def start_simulated(self, scenario: str) -> None:
        """Start the simulated bench; it is recorded like any other."""
        self._begin(
            lambda publish: self.services.open_simulated(self._open_store(), scenario, publish)
        )

    def start_replay(
        self, session_id: str, prepare: "Callable[[ReplayControl], object] | None" = None
    ) -> None:
        """Show a session of the record again; `prepare` is called on the worker before it runs."""

        def opening(publish: "Callable[[Outcome], None]") -> "RunningSession":
            session = self.services.open_replay(self._open_store(), session_id, publish)
            if prepare is not None and session.replay is not None:
                prepare(session.replay)
            return session

        self._begin(opening)

    def seek(self, time_ns: int) -> None:
        """Go to that time of a replay. A session is a fold: going back is beginning anew."""
        session = self.session
        if session is None or session.replay is None:
            return
        control = session.replay
        time_ns = min(max(time_ns, 0), control.length_ns)
        if control.seek(time_ns):
            return
        pace, paused = control.pace, control.paused

        def prepare(fresh: "ReplayControl") -> None:
            fresh.set_pace(pace)
            if paused:
                fresh.pause()
            fresh.seek(time_ns)

        self.start_replay(session.session_id, prepare)

    def end_session(self) -> None:
        """End the session on purpose and close its record."""
        session = self.session
        if session is None:
            return
        self.ask(session.stop, lambda _done: self._ended(session))

    def send(self, command: Command) -> None:
        """Let the technician do something in the session."""
        if self.session is None or not self.session.running:
            self.say(
                self.tr("window.nothing_being_recorded_so"),
                self.tr("window.connect_meter_or_start"),
                _warning(),
            )
            return
        self.session.send(command)

    def do_by_hand(self, name: str) -> None:
        """Let the hands at the simulated bench do something."""
        if self.session is not None and self.session.hands is not None:
            try:
                self.session.hands.do(name)
            except InputError as fault:
                self.report(fault)

    def _begin(
        self,
        opening: "Callable[[Callable[[Outcome], None]], RunningSession]",
    ) -> None:
        if self.opening:
            return
        if self.recording:
            self.say(
                self.tr("window.recording_going_goes"),
                self.tr("window.end_ctrl_e_before"),
                _warning(),
            )
            return
        self.opening = True
        before = self.session
        relay = OutcomeRelay(self)

        def work() -> "RunningSession":
            if before is not None:
                before.stop()
            session = self._begun = opening(relay.publish)
            session.start()
            return session

        def opened(session: "RunningSession") -> None:
            self.opening = False
            self._let_go()
            from benchmeter.window.control.session_model import BenchView

            self.session, self.view = session, BenchView(session.setup)
            self.shown_id = session.session_id
            self.began_at = datetime.now().astimezone()
            self._relay = relay
            relay.batch.connect(self._fold)
            relay.start()
            if session.replay is None:
                self._keep_awake()
            self.session_changed.emit()
            self.record_changed.emit()

        def failed(fault: Exception) -> None:
            self.opening = False
            relay.deleteLater()
            if before is not None and not before.running and self.session is before:
                self._ended(before)
            self.session_changed.emit()
            self.report(fault)

        self.session_changed.emit()
        self.background.run(work, opened, failed)

    def _keep_awake(self) -> None:
        if self.awake is None:
            from benchmeter.window.control.stay_awake import StayAwake

            self.awake = StayAwake(parent=self)
        self.awake.hold(self.tr("window.measurement_being_recorded"))

    def _let_sleep(self) -> None:
        if self.awake is not None:
            self.awake.release()

    def _let_go(self) -> None:
        relay, self._relay = self._relay, None
        if relay is not None:
            relay.stop()
            relay.deleteLater()

    def _ended(self, session: "RunningSession") -> None:
        if self.session is not session:
            return
        self._let_go()
        self.session = None
        self._let_sleep()
        self.session_changed.emit()
        self.record_changed.emit()

    @Slot(list)
    def _fold(self, outcomes: "list[Outcome]") -> None:
        if self.view is None:
            return
        from benchmeter.words.notice_words import tell_notice

        changes = self.view.take(outcomes)
        presentation = current_theme().presentation
        for notice in changes.notices:
            self.noticed.emit(tell_notice(notice, presentation))
        self.folded.emit(changes)

    @Slot()
    def _look_after(self) -> None:
        """A session may end by itself: a story is over, a disk is full for good."""
        session = self.session
        if session is not None and not session.running and session.replay is None:
            self._ended(session)

    # --- the record ----------------------------------------------------------------------------

    def write_tags(self, session_id: str, path: Path, check: int | None = None) -> None:
        """Write the tag of a check, or of each judged part, and say so when it is there."""
        wanted = self.preferences.tag_stock
        to = OutputFile.beside(self.services.folders, path)

        def work() -> None:
            from benchmeter.tasks.writing import Tags

            stocks = self.services.label_stocks()
            stock = next((s for s in stocks if s.name == wanted), stocks[0])
            self.services.write(Tags(session_id, to, stock, check))

        self.ask(work, lambda _done: self.say(self.tr("window.written_path").format(path=path)))

    def write_report(self, session_id: str, path: Path) -> None:
        """Write the report of a session, and say so when it is there."""
        self.say(self.tr("window.report_being_written_go"))
        presentation = Presentation.of(self.preferences)
        to = OutputFile.beside(self.services.folders, path)

        def work(_store: "Store") -> None:
            from benchmeter.tasks.writing import Report

            american = presentation.temperature_unit == "°F"
            self.services.write(Report(session_id, to, american, presentation))

        self.ask_store(
            work, lambda _done: self.say(self.tr("window.report_written_path").format(path=path))
        )


def _nothing(_result: object) -> None:
    pass


def _warning() -> "Severity":
    from benchmeter.session.outcome import Severity

    return Severity.WARNING
