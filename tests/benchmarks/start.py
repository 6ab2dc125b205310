"""From the start of the process to the first painted window, and to the plot.

Floor: a bare QMainWindow of PySide6, started in the same way.
"""

import json
import subprocess
import sys
import time
from tempfile import TemporaryDirectory

from tests.benchmarks.measure import Row, compiled_once, in_turn, p50

__all__ = ["run"]

_HEAVY = ("pyqtgraph", "sqlalchemy", "pint", "scipy", "CoolProp")

_BARE = """
import sys
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication, QMainWindow

class Bare(QMainWindow):
    def paintEvent(self, event):
        super().paintEvent(event)
        QTimer.singleShot(0, app.quit)

app = QApplication(sys.argv)
window = Bare()
window.resize(1280, 800)
window.show()
app.exec()
"""

# The real way in; the window is told only to say when it has painted.
_OURS = """
import sys
from benchmeter.gui import window

class Told(window.Window):
    def __init__(self, *given):
        super().__init__(*given)
        self.first_painted.connect(said)

def said():
    print(*(name for name in HEAVY if name in sys.modules), flush=True)
    sys.stdin.readline()

HEAVY = sys.argv.pop(1).split(",")
window.Window = Told
from benchmeter.__main__ import main
main(sys.argv[1:])
"""

_TO_PLOT = """
import json, sys, time
from PySide6.QtCore import QTimer
from benchmeter.gui import window

beats = []

class Watched(window.Window):
    def __init__(self, *given):
        super().__init__(*given)
        self.first_painted.connect(self.watch)

    def watch(self):
        self.heart = QTimer(self, interval=1)
        self.heart.timeout.connect(self.beat)
        self.heart.start()

    def beat(self):
        beats.append(time.monotonic())
        unit = self._places[1]
        if unit is not None and unit.plot is not None:
            unit.plot.grab()
            gaps = [b - a for a, b in zip(beats, beats[1:])]
            print(json.dumps({"gap": max(gaps, default=0.0)}), flush=True)
            sys.stdin.readline()

window.Window = Watched
from benchmeter.__main__ import main
main(sys.argv[1:])
"""


def run(quick: bool) -> list[Row]:
    rounds = 1 if quick else 15
    heavy: set[str] = set()
    gaps: list[float] = []
    painted: list[float] = []
    drawn: list[float] = []
    with TemporaryDirectory() as folder, compiled_once() as environment:

        def bare() -> None:
            command = [sys.executable, "-c", _BARE]
            subprocess.run(command, check=True, capture_output=True, env=environment)

        def ours() -> None:
            said, took = _until_it_speaks(environment, _OURS, ",".join(_HEAVY), "--data", folder)
            heavy.update(said.split())
            painted.append(took)

        def to_plot() -> None:
            said, took = _until_it_speaks(environment, _TO_PLOT, "--data", folder)
            gaps.append(json.loads(said)["gap"] * 1e3)
            drawn.append(took)

        floor, *_ = in_turn(rounds, bare, ours, to_plot, warm_up=1)
    return [
        Row("start to the first painted window, p50", p50(painted[1:]), "ms", 1.4, p50(floor)),
        Row("heavy libraries loaded at the first paint", float(len(heavy)), "", 0),
        Row("start to the plot, p50", p50(drawn[1:]), "ms", 7.0, p50(floor)),
        Row("longest gap of the GUI until the plot, p50", p50(gaps), "ms", 120.0),
    ]


def _until_it_speaks(
    environment: dict[str, str], program: str, *arguments: str
) -> tuple[str, float]:
    """The first line of a program, and the milliseconds from its start to there."""
    begin = time.perf_counter()
    with subprocess.Popen(
        [sys.executable, "-c", program, *arguments],
        env=environment,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as process:
        assert process.stdout is not None and process.stderr is not None
        line = process.stdout.readline()
        took = (time.perf_counter() - begin) * 1e3
        if not line:
            raise RuntimeError(f"it ended with {process.wait()}: {process.stderr.read()}")
        process.kill()
    return line, took
