"""How long the event loop was deaf, what it was busy with, and how much the computer had to do with it."""

import gc
import os
import subprocess
import sys
import threading
import time
from bisect import bisect_left
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from types import FrameType

from PySide6.QtCore import QObject, Qt, QTimer, Slot

__all__ = ["EDGES_MS", "Stall", "Stalls", "histogram", "reference"]

EDGES_MS = (20, 50, 100, 200, 500, 1000)
_BEAT_MS = 10
_KEPT_S = 0.02
_LOOK_S = 0.02
_DEAF_S = 0.08  # after which it is looked what the interpreter does
_LOOKS = 4
_FRAMES = 4

_Clocks = tuple[float, float, float]  # waiting for a processor; used by this thread; by all


@dataclass
class Stall:
    """A turn of the event loop that came late.

    Attributes:
        at_s: since the beginning.
        length_s: how late.
        noise_s: of that, what the computer did not give.
        used_s: processor time of the GUI thread in that time, and of all threads.
        doing: the last thing that the person did, `since_s` before the stall's end.
        seen: what the interpreter was doing meanwhile.
    """

    at_s: float
    length_s: float
    noise_s: float
    used_s: tuple[float, float]
    doing: str
    since_s: float
    seen: tuple[str, ...] = ()

    @property
    def own_s(self) -> float:
        return max(self.length_s - self.noise_s, 0.0)


class Stalls(QObject):
    """Beats a hundred times a second on the GUI thread and notes which beats came late."""

    def __init__(self, doing: Callable[[], tuple[str, float]]) -> None:
        super().__init__()
        self.beats = 0
        self._doing = doing
        self._late: list[tuple[float, float, _Clocks, str, float, tuple[str, ...]]] = []
        self._seen: list[str] = []
        self._thread = threading.get_ident()
        self._waits = _run_queue()
        self._clocks = self._read_clocks()
        self._last = self._begin = time.monotonic()
        self._timer = QTimer(self, interval=_BEAT_MS, timerType=Qt.TimerType.PreciseTimer)
        self._timer.timeout.connect(self._beat)

    @contextmanager
    def watched(self) -> Iterator[None]:
        """Watch until the end of the block."""
        over = threading.Event()
        looker = threading.Thread(target=self._look, args=(over,), name="looking")
        self._last = self._begin = time.monotonic()
        self._timer.start()
        looker.start()
        gc.callbacks.append(self._collected)
        try:
            yield
        finally:
            gc.callbacks.remove(self._collected)
            self._timer.stop()
            over.set()
            looker.join()

    @Slot()
    def _beat(self) -> None:
        now = time.monotonic()
        self.beats += 1
        clocks = self._read_clocks()
        late_s = now - self._last - _BEAT_MS / 1000
        if late_s > _KEPT_S:
            name, begun = self._doing()
            seen, self._seen = tuple(self._seen), []
            waited, own, every = (b - a for a, b in zip(self._clocks, clocks, strict=True))
            self._late.append((now - late_s, now, (waited, own, every), name, begun, seen))
        self._clocks = clocks
        self._seen.clear()
        self._last = now

    def _read_clocks(self) -> _Clocks:
        return self._waits(), time.thread_time(), time.process_time()

    def _look(self, over: threading.Event) -> None:
        """On a thread of its own: what does the interpreter do while there is no beat?"""
        while not over.wait(_LOOK_S):
            if time.monotonic() - self._last > _DEAF_S and len(self._seen) < _LOOKS:
                self._seen.append(_what_runs(self._thread))

    def _collected(self, phase: str, info: dict[str, int]) -> None:
        if info["generation"] < 2:
            return
        if phase == "start":
            self._collects = time.monotonic()
        elif (took := time.monotonic() - self._collects) > _KEPT_S:
            self._seen.append(f"garbage collection, {took * 1000:.0f} ms")

    def found(self, reference: Path) -> list[Stall]:
        """The stalls, with what the reference process lacked in the same time."""
        spans = [tuple(map(float, line.split())) for line in reference.read_text().splitlines()]
        ends = [end for _, end in spans]
        stalls = []
        for begin, end, (waited_s, own_s, all_s), name, begun, seen in self._late:
            lacked_s = 0.0
            for place in range(bisect_left(ends, begin), len(spans)):
                low, high = spans[place]
                if low >= end:
                    break
                lacked_s += min(high, end) - max(low, begin)
            noise_s = min(max(lacked_s, waited_s), end - begin)
            stalls.append(
                Stall(
                    begin - self._begin,
                    end - begin,
                    noise_s,
                    (own_s, all_s),
                    name,
                    end - begun,
                    seen,
                )
            )
        return stalls


@contextmanager
def reference(path: Path) -> Iterator[None]:
    """A process that only sleeps, and writes to `path` when it was woken late."""
    script = Path(__file__).with_name("reference.py")
    with subprocess.Popen([sys.executable, "-I", str(script), str(path)]) as process:
        while not path.exists():
            time.sleep(0.01)
        try:
            yield
        finally:
            process.kill()


def histogram(stalls: list[Stall]) -> dict[int, int]:
    """How many are up to each of EDGES_MS, what the computer did not give taken off; 0: longer."""
    counts = Counter(next((e for e in EDGES_MS if s.own_s * 1000 <= e), 0) for s in stalls)
    return {edge: counts[edge] for edge in (*EDGES_MS, 0)}


def _run_queue() -> Callable[[], float]:
    """How long this thread has waited for a processor, seconds (Linux; else always 0)."""
    try:
        file = os.open("/proc/thread-self/schedstat", os.O_RDONLY)
    except OSError:
        return lambda: 0.0
    return lambda: int(os.pread(file, 100, 0).split()[1]) / 1e9


def _what_runs(thread: int) -> str:
    """The GUI thread's innermost calls; and what the others are at that are ours and do not wait."""
    names = {t.ident: t.name for t in threading.enumerate()}
    told: list[str] = []
    for ident, frame in sys._current_frames().items():
        if ident == thread:
            told.insert(0, _calls(frame))
        elif names.get(ident) != "looking" and frame.f_code.co_name not in ("wait", "_worker"):
            told.append(f"{names.get(ident)}: {_calls(frame)}")
    return " | ".join(told)


def _calls(frame: FrameType | None) -> str:
    """The innermost call, and from inside to outside those of the program and of the plots."""
    told: list[str] = []
    while frame is not None:
        path = Path(frame.f_code.co_filename)
        if not told or "benchmeter" in path.parts or "pyqtgraph" in path.parts:
            told.append(f"{path.name}:{frame.f_lineno} {frame.f_code.co_name}")
        frame = frame.f_back
    if len(told) > _FRAMES + 1:
        told[_FRAMES:] = ["…", told[-1]]
    return " < ".join(told)
