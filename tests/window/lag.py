"""How long the window is deaf: each turn of the event loop timed while somebody works at it.

Run it from the folder of the project, with a display: `python -m tests.window.lag [SECONDS [SEED]]`.
The simulated bench plays at its own pace for two thirds of the time, then its record is replayed;
a random person goes from place to place, changes colours, zoom, unit and the window's size, writes
markers and opens notices. A histogram and the worst turns are printed.
"""

import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from random import Random

from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from benchmeter.files.folders import Folders
from benchmeter.record.store import Store
from benchmeter.session.outcome import Severity
from benchmeter.window.control.services import Services
from benchmeter.window.control.session_controller import SessionController
from benchmeter.window.shell.window import Window
from tests.fakes.bench_states import SETUP
from tests.window.turns import Turns

EDGES_MS = (2, 5, 10, 20, 50, 100, 200, 500, 1000)
_SESSIONS = 200
_PACE_S = 0.4
_SIZES = ((1280, 800), (1920, 1080), (1024, 700))


def histogram(lengths_s: list[float]) -> str:
    """One line for each class of lengths."""
    counts = Counter(next((e for e in EDGES_MS if s * 1000 <= e), 0) for s in lengths_s)
    lines = [f"  up to {edge:5d} ms: {counts[edge]}" for edge in EDGES_MS if counts[edge]]
    return "\n".join([*lines, *([f"  longer: {counts[0]}"] if counts[0] else [])])


def _fill(folders: Folders) -> None:
    """Many sessions, for a long list."""
    folders.make()
    with Store.open(folders, write=True) as store:
        for number in range(_SESSIONS):
            at = datetime(2024, 1, 1 + number % 28, tzinfo=UTC)
            store.begin(SETUP, name=f"visit {number}", started=at, zone="UTC").close()


def _deeds(window: Window, chance: Random) -> dict[str, Callable[[], object]]:
    work = window.controller

    def press(keys: str) -> Callable[[], None]:
        def deed() -> None:
            wanted = QKeySequence(keys)[0]
            focus = QApplication.focusWidget() or window
            QTest.keyClick(focus, wanted.key(), wanted.keyboardModifiers())

        return deed

    def unit() -> None:
        other = "°F" if work.preferences.temperature_unit == "°C" else "°C"
        work.prefer(temperature_unit=other)

    keys = ("F1", "F2", "F3", "F4", "F5", "F6", "F8", "F9", "Ctrl++", "Ctrl+-", "Ctrl+0", "H", "M")
    keys = (*keys, "Esc", "F1", "F2", "F3", "F9", "Ctrl++")
    return {
        **{f"{place} {key}": press(key) for place, key in enumerate(keys)},
        "unit": unit,
        "size": lambda: window.resize(*chance.choice(_SIZES)),
        "notice": lambda: work.say("The probe has stopped sending.", "Plug it.", Severity.WARNING),
    }


def main(arguments: list[str]) -> int:
    seconds = float(arguments[0]) if arguments else 60.0
    chance = Random(int(arguments[1]) if len(arguments) > 1 else 1)
    app = QApplication(sys.argv[:1])
    with tempfile.TemporaryDirectory() as folder:
        folders = Folders(Path(folder))
        _fill(folders)
        window = Window(SessionController(Services(folders)))
        window.controller.prefer(sound=False)
        window.show()
        window.activateWindow()
        window.ready.connect(lambda: window.start_simulated("short-visit"))
        while not window.controller.recording or not window.controller.background.idle():
            app.processEvents()
            time.sleep(0.005)
        turns, deeds = Turns(app), _deeds(window, chance)
        for name, deed in deeds.items():
            turns.do(name, deed, _PACE_S)
        _work(turns, deeds, chance, seconds * 2 / 3)
        session = window.controller.session
        assert session is not None
        turns.do("end", window.controller.end_session, 2.0)
        turns.do("replay", lambda: window.controller.start_replay(session.session_id), 1.0)
        replay = window.controller.session
        if replay is not None and replay.replay is not None:
            replay.replay.set_pace(None)
        _work(turns, deeds, chance, seconds / 3)
        window.close()
    found = turns.found
    sys.stdout.write(f"{len(found)} turns in {seconds:.0f} s, time of the processor:\n")
    sys.stdout.write(f"{histogram([turn.used_s for turn in found])}\n")
    sys.stdout.write("".join(f"  {turn}\n" for turn in turns.worst(12)))
    # A processor that others use, too, is slower at times.
    return int(sum(turn.too_long for turn in found) > 2)


def _work(
    turns: Turns, deeds: dict[str, Callable[[], object]], chance: Random, seconds: float
) -> None:
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        name = chance.choice(list(deeds))
        turns.do(name, deeds[name], chance.uniform(0.1, 2 * _PACE_S))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
