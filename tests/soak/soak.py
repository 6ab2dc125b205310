"""The real window under a real X server, a random person at it, and what came of it."""

import gc
import os
import threading
import time
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

from PySide6.QtCore import QCoreApplication, QEvent, QTimer
from PySide6.QtWidgets import QApplication

from benchmeter.files.folders import Folders
from benchmeter.record.store import Store
from benchmeter.tasks.recheck import recheck
from benchmeter.window.control.services import Services
from benchmeter.window.control.session_controller import SessionController
from benchmeter.window.shell.window import Window
from tests.soak.faults import Faults
from tests.soak.footprint import Footprint, Held
from tests.soak.person import Person
from tests.soak.stalls import Stall, Stalls, reference
from tests.soak.thermometer import Thermometer

__all__ = ["Seen", "soak"]

_WARM_UP_S = 120.0
_SESSION_S = 75.0
_SESSIONS = 6  # at least, so many in the whole time
_READY_S = 60.0
_TOO_LATE = "The session has ended, so what was done last is not in its record."


@dataclass
class Seen:
    """What came of it.

    Attributes:
        faults: what nobody should ever see, and how often.
        stalls: turns of the event loop that came late.
        begin, end, minutes: what was held after the warm-up and at the end, and the time between.
        start_s: the longest turn of the event loop before all was imported.
        leaving_s: how long closing took.
        left: threads that were still there afterwards.
        differences: what a recheck of the sessions found, and what is missing in the record.
        notices: what the user was told, and how often.
    """

    seconds: float
    actions: int
    presses: int
    beats: int
    stalls: list[Stall]
    faults: dict[str, int]
    begin: Held
    end: Held
    minutes: float
    start_s: float
    leaving_s: float
    left: list[str]
    sessions: int = 0
    replays: int = 0
    readings: int = 0
    verdicts: int = 0
    markers: int = 0
    reports: int = 0
    differences: list[str] = field(default_factory=list)
    notices: dict[str, int] = field(default_factory=dict)


def soak(folder: Path, seconds: float, seed: int) -> Seen:
    """Let somebody work at the window for so long; needs a display.

    Args:
        folder: an empty one, for the record and everything else.
    """
    os.environ["HOME"] = str(folder)  # where reports go if nothing else is typed
    people: list[Person] = []

    def doing() -> tuple[str, float]:
        return (people[0].doing, people[0].begun_s) if people else ("start", time.monotonic())

    app = QApplication(["benchmeter"])
    faults = Faults(doing)
    thermometer = Thermometer(folder / "thermometer", Random(seed))
    with faults.heard():
        window = Window(SessionController(Services(Folders(folder / "data"))))
        told: Counter[str] = Counter()
        window.controller.noticed.connect(lambda notice: told.update((notice.text,)))
        replayed: set[int] = set()  # not the sessions themselves: that would keep them
        window.controller.session_changed.connect(
            lambda: replayed.add(window.controller.replaying and id(window.controller.session))
        )
        start_s = _start(app, window)
        patience_s = min(_SESSION_S, seconds / _SESSIONS)
        person = Person(window, Random(seed), folder, thermometer, patience_s)
        people.append(person)
        stalls, footprint = Stalls(doing), Footprint()
        with reference(folder / "reference.txt"), stalls.watched():
            _work(app, person, seconds)
        footprint.stop()
        begin, end, minutes = footprint.compared(_WARM_UP_S)
        person.begin("leave")
        leaving_s = _leave(app, window)
        thermometer.close()
        left = [t.name for t in threading.enumerate() if t is not threading.main_thread()]
    seen = Seen(
        seconds=seconds, actions=person.done, presses=person.fingers.presses, beats=stalls.beats,
        stalls=stalls.found(folder / "reference.txt"), faults=dict(faults.told),
        begin=begin, end=end, minutes=minutes, start_s=start_s, leaving_s=leaving_s, left=left,
        replays=len(replayed - {0}), markers=len(person.bench.marked),
        reports=len(person.sessions.reports), notices=dict(told),
    )  # fmt: skip
    _read_record(Folders(folder / "data"), person, seen)
    return seen


def _start(app: QApplication, window: Window) -> float:
    """Show the window and wait until all is imported; its longest turn meanwhile, seconds."""
    until = time.monotonic() + _READY_S
    ready: list[bool] = []
    window.ready.connect(lambda: ready.append(True))
    window.show()
    longest_s = 0.0
    while not ready or not window.isActiveWindow() or not window.controller.background.idle():
        window.activateWindow()
        before = time.monotonic()
        app.processEvents()
        longest_s = max(longest_s, time.monotonic() - before)
        time.sleep(0.01)
        assert time.monotonic() < until, "the window does not come"
    return longest_s


def _work(app: QApplication, person: Person, seconds: float) -> None:
    """Until the time is over."""
    lives = [person.life()]
    timer = QTimer(singleShot=True)

    def go_on() -> None:
        pause_s = 1.0
        try:
            pause_s = next(lives[-1])
        except Exception:
            lives.append(person.life())
            raise
        finally:
            timer.start(round(pause_s * 1000))

    timer.timeout.connect(go_on)
    timer.start(0)
    QTimer.singleShot(round(seconds * 1000), lambda: app.exit(0))  # quit would close
    app.exec()
    timer.stop()


def _leave(app: QApplication, window: Window) -> float:
    """Close the window, whatever is under way; how long that took, seconds."""
    before = time.monotonic()
    window.close()
    took_s = time.monotonic() - before
    window.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    app.processEvents()
    gc.collect()
    return took_s


def _read_record(folders: Folders, person: Person, seen: Seen) -> None:
    """Decode and judge every session again; look for what was noted."""
    marks: set[tuple[str, str]] = set()
    with Store.open(folders, write=True) as store:
        for summary in store.sessions(removed=True):
            seen.sessions += 1
            if summary.state.value != "ended":
                seen.differences.append(f"{summary.id} is {summary.state.value}")
            found = recheck(store, summary.id)
            seen.readings += found.readings
            seen.verdicts += found.verdicts
            seen.differences += [f"{summary.id}: {d}" for d in found.differences]
            marks |= {(summary.id, event.text) for event in store.events(summary.id)}
    missing = [m for m in person.bench.marked if (m.session_id, m.text) not in marks]
    if len(missing) > seen.notices.get(_TOO_LATE, 0):
        seen.differences += [f"not in the record: {m.text} in {m.session_id}" for m in missing]
    seen.differences += [
        f"not written: {p.name}" for p in person.sessions.reports if not p.exists()
    ]
