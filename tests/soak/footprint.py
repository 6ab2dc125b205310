"""What the process holds, once a second: memory, threads, files, widgets, references to None."""

import statistics
import sys
import threading
from dataclasses import astuple, dataclass

import psutil
from PySide6.QtCore import QObject, QTimer, Slot
from PySide6.QtWidgets import QApplication

__all__ = ["Footprint", "Held"]

_SECOND_MS = 1000
_PART = 5  # of the time after the warm-up: the first and the last fifth are compared


@dataclass(frozen=True, slots=True)
class Held:
    """What is held at one time, or typically.

    Attributes:
        rss_mb: resident memory.
        none: sys.getrefcount(None); always the same from Python 3.12 on.
    """

    rss_mb: float
    threads: float
    handles: float
    widgets: float
    none: float


class Footprint(QObject):
    """Takes a sample each second."""

    def __init__(self) -> None:
        super().__init__()
        self.samples: list[Held] = []
        self._process = psutil.Process()
        self._timer = QTimer(self, interval=_SECOND_MS)
        self._timer.timeout.connect(self._sample)
        self._timer.start()

    def stop(self) -> None:
        self._timer.stop()

    @Slot()
    def _sample(self) -> None:
        self.samples.append(self.now())

    def now(self) -> Held:
        """What is held just now."""
        return Held(
            self._process.memory_info().rss / 1e6,
            threading.active_count(),
            self._process.num_fds() if hasattr(psutil.Process, "num_fds") else 0,
            len(QApplication.allWidgets()),
            sys.getrefcount(None),
        )

    def compared(self, warm_up_s: float) -> tuple[Held, Held, float]:
        """Typically held at the beginning and at the end, and minutes between the two."""
        after = self.samples[min(round(warm_up_s), len(self.samples) // 2) :]
        part = max(len(after) // _PART, 1)
        minutes = max(len(after) - part, 1) / 60
        return _typical(after[:part]), _typical(after[-part:]), minutes


def _typical(samples: list[Held]) -> Held:
    """Memory and references: the median; what comes and goes with a session: the least."""
    rss, threads, handles, widgets, none = zip(*map(astuple, samples), strict=True)
    return Held(
        round(statistics.median(rss), 1),
        min(threads),
        min(handles),
        min(widgets),
        statistics.median(none),
    )
