#!/usr/bin/env python3
"""Make the pictures of the README anew, from the simulated bench.

    .venv/bin/python packaging/pictures.py

Plays scenarios in a window without a display, faster than in life, and stops at the moments that
the README tells of. Takes a minute; writes `resources/pictures/*.png`.
"""

import os
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

os.environ["QT_QPA_PLATFORM"] = "offscreen"

from PySide6.QtWidgets import QApplication

from benchmeter.files.folders import Folders
from benchmeter.files.resources import STANDARD_SCENARIO
from benchmeter.record.store import Store
from benchmeter.session.outcome import Outcome
from benchmeter.tasks.opening import open_simulated
from benchmeter.tasks.running import RunningSession
from benchmeter.window.control.services import Publish, Services
from benchmeter.window.control.session_controller import SessionController
from benchmeter.window.shell.window import Window

TARGET = Path(__file__).resolve().parent.parent / "resources" / "pictures"
SIZE = (1280, 800)
LARGEST_BYTES = 200_000
PATIENCE_S = 120


class Hurried(Services):
    """Plays simulated benches faster than in life."""

    pace = 1.0

    def open_simulated(self, store: Store, scenario: str, publish: Publish) -> RunningSession:
        def take(outcome: Outcome) -> None:
            self.time_s = outcome.time_ns / 1e9
            publish(outcome)

        self.time_s = 0.0
        return open_simulated(self.folders, store, scenario, take, pace=self.pace)


class Photographer:
    """One window, and the camera in front of it."""

    def __init__(self, data: Path) -> None:
        self.services = Hurried(Folders(data))
        self.window = Window(SessionController(self.services))
        self.window.controller.prefer(sound=False)
        self.window.resize(*SIZE)
        self.window.show()
        self._for(1.0)
        self.window.resize(*SIZE)  # the screen that is not there is smaller

    def play_until(self, time_s: float, pace: float, scenario: str = STANDARD_SCENARIO) -> None:
        """Play a scenario from its start to a moment."""
        self.services.pace, self.services.time_s = pace, 0.0
        self.window.start_simulated(scenario)
        self.wait(time_s)

    def end(self) -> None:
        """End the session."""
        self.window.controller.end_session()
        self._until(lambda: not self.window.controller.recording)

    def take(self, name: str) -> None:
        """Write one picture, once the window has come to rest."""
        self._for(0.3)
        path = TARGET / f"{name}.png"
        self.window.grab().save(str(path))
        size = path.stat().st_size
        if size > LARGEST_BYTES:
            raise SystemExit(f"{path} has {size} bytes; {LARGEST_BYTES} are the limit.")
        print(f"{path}: {size // 1000} kB")

    def wait(self, time_s: float) -> None:
        """Let the scenario play on until a moment."""
        self._until(lambda: self.services.time_s >= time_s)

    def _until(self, reached: Callable[[], bool]) -> None:
        end = time.monotonic() + PATIENCE_S
        while not reached():
            if time.monotonic() > end:
                raise SystemExit("The window did not get there in time.")
            self._for(0.01)

    def _for(self, seconds: float) -> None:
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            QApplication.processEvents()
            time.sleep(0.002)


def main() -> int:
    """Exit status."""
    app = QApplication(sys.argv[:1])
    TARGET.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        camera = Photographer(Path(folder))
        camera.play_until(70, pace=5)  # replacement 1 has just been judged
        camera.take("bench-fail")
        camera.end()
        camera.play_until(700, pace=50)  # discharge air rises
        camera.window.show_unit()
        camera.take("unit-rising")
        camera.wait(2320)
        camera.take("unit-settled")
        camera.end()
        camera.window.show_place(0)
        camera.play_until(24, 5, "shop-bench")  # the leads are on the second pair of a compressor
        camera.take("bench-compressor")
        camera.end()
        camera.play_until(74, 5, "carton-of-forty")  # the third part has just been judged
        camera.take("bench-carton")
        camera.end()
        camera.window.show_record()
        camera.take("record")
        camera.window.close()
    del app
    return 0


if __name__ == "__main__":
    sys.exit(main())
