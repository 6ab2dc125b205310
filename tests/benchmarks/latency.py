"""From a byte on the wire to the reading in the GUI thread, while the plot of 8 x 1e6 is drawn.

A pty, the real chain with its record, the relay, the recovery plot. Floor: a frame of that run.
"""

import json
import os
import subprocess
import sys
import time
import tty
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
from PySide6.QtCore import QEventLoop, QObject, QTimer, Slot
from PySide6.QtGui import QPaintEvent

from benchmeter.files.folders import Folders
from benchmeter.record.store import Store
from benchmeter.session.outcome import Outcome
from benchmeter.tasks.opening import open_live
from benchmeter.window.control.relay import OutcomeRelay
from tests.benchmarks.measure import Row, p50, p99
from tests.benchmarks.plots import Scene, application

__all__ = ["run"]

_RATE = 100  # lines a second
_SEEN_MS = 50.0  # later is seen to be late

# A process of its own: its line carries its number, and it says when it wrote each.
_INSTRUMENT = """
import json, os, sys, time
line, count, rate = (int(a) for a in sys.argv[1:])
sent = []
begin = time.monotonic()
for number in range(count):
    time.sleep(max(0, begin + number / rate - time.monotonic()))
    sent.append(time.monotonic_ns())
    os.write(line, b"T1=%.2fC T2=20.00C\\n" % (number / 100))
print(json.dumps(sent))
"""


class _Screen(QObject):
    """What the unit's screen does with a batch, and when."""

    def __init__(self, scene: Scene) -> None:
        super().__init__()
        self._scene = scene
        self.seen: dict[int, int] = {}
        self.stamped: dict[int, int] = {}

    @Slot(list)
    def take(self, outcomes: list[Outcome]) -> None:
        now = time.monotonic_ns()
        for outcome in outcomes:
            for reading in outcome.readings:
                if reading.channel == "one" and reading.value is not None:
                    number = round((reading.value - 273.15) * 100)
                    self.seen[number] = now
                    self.stamped[number] = reading.time_ns
        self._scene.feed(len(outcomes))
        self._scene.plot.tick_soon()


class _Frames:
    """How long the plot draws, frame by frame: what is made ready, and its paint."""

    def __init__(self, scene: Scene) -> None:
        self.taken: list[float] = []
        self._drawn = 0.0
        self._redraw, self._paint = scene.plot._redraw, scene.graph.paintEvent
        scene.plot._redraw = self.redraw
        scene.graph.paintEvent = self.paint

    def redraw(self) -> None:
        begin = time.perf_counter()
        self._redraw()
        self._drawn = time.perf_counter() - begin

    def paint(self, event: QPaintEvent) -> None:
        begin = time.perf_counter()
        self._paint(event)
        self.taken.append((self._drawn + time.perf_counter() - begin) * 1e3)
        self._drawn = 0.0


def run(quick: bool) -> list[Row]:
    scene = Scene(application(), 10_000 if quick else 1_000_000)
    count = 100 if quick else 1500
    screen, relay = _Screen(scene), OutcomeRelay()
    frames = _Frames(scene)
    relay.batch.connect(screen.take)
    master, slave = os.openpty()
    tty.setraw(slave)
    with TemporaryDirectory() as folder:
        folders = Folders(Path(folder) / "data")
        with Store.open(folders, write=True) as store:
            link = f"serial:{os.ttyname(slave)}?profile=text-two-probes&channel=one,two"
            session = open_live(folders, store, [link], relay.publish)
            session.start()
            relay.start()
            _spin(1.0)
            command = [sys.executable, "-c", _INSTRUMENT, str(master), str(count), str(_RATE)]
            with subprocess.Popen(command, stdout=subprocess.PIPE, pass_fds=[master]) as instrument:
                _spin(count / _RATE + 0.7)
                assert instrument.stdout is not None
                sent = json.load(instrument.stdout)
            session.stop()
            relay.stop()
            stored = store.session(session.session_id).reading_count
    os.close(master)
    os.close(slave)
    known = [n for n in range(count) if n in screen.seen]
    waited = np.array([(screen.seen[n] - sent[n]) / 1e6 for n in known])
    late = np.array([(screen.stamped[n] - sent[n]) / 1e6 for n in known])
    late -= late.min()
    frame = p99(frames.taken)
    quarter = len(waited) // 4
    return [
        Row("byte to reading in the GUI thread, p50", p50(waited), "ms", _SEEN_MS),
        Row("byte to reading in the GUI thread, p99", p99(waited), "ms", 1.5, frame),
        Row(
            "the same, end later than beginning, p50, against a frame",
            max(p50(waited[-quarter:]) - p50(waited[:quarter]), 0.0), "ms", 0.5, frame,
        ),
        Row("stamp later than the quickest, p99, against a frame", p99(late), "ms", 1.0, frame),
        Row("readings lost on the way", float(2 * count - stored), "", 0),
    ]  # fmt: skip


def _spin(seconds: float) -> None:
    """The event loop as it runs in the window; the application's own would close it at its end."""
    loop = QEventLoop()
    QTimer.singleShot(int(seconds * 1000), loop.quit)
    loop.exec()
