"""Turns of the event loop: how long each is deaf, and how much of that is ours."""

import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication

__all__ = ["LIMIT_S", "Turn", "Turns"]

LIMIT_S = 0.1
_BETWEEN_S = 0.002
_THREADS = Path("/proc/self/task")  # Linux alone tells


@dataclass(frozen=True, slots=True)
class Turn:
    """One turn; times in seconds.

    Attributes:
        length_s: by the clock on the wall.
        used_s: processor time of the GUI thread.
        lacked_s: how long threads of this process were ready and got no processor; what the GUI
            thread waits for another thread is in it if that one got none.
        doing: what was done last, `since_s` before this turn.
    """

    length_s: float
    used_s: float
    lacked_s: float
    doing: str
    since_s: float

    @property
    def too_long(self) -> bool:
        return self.used_s > LIMIT_S or self.length_s - self.lacked_s > LIMIT_S

    def __str__(self) -> str:
        return (
            f"{self.used_s * 1000:4.0f} ms of the processor, {self.length_s * 1000:4.0f} ms in all, "
            f"{self.lacked_s * 1000:4.0f} ms without a processor, "
            f"{self.since_s:.2f} s after “{self.doing}”"
        )


class Turns:
    """Runs the event loop, one timed turn after the other."""

    def __init__(self, app: QApplication) -> None:
        self.found: list[Turn] = []
        self._app = app
        self._doing, self._at = "", time.perf_counter()

    def do(self, name: str, deed: Callable[[], object], seconds: float) -> None:
        """Let the event loop do something, as a key would, and run it for so long."""
        self._doing, self._at = name, time.perf_counter()
        QTimer.singleShot(0, deed)
        while time.perf_counter() - self._at < seconds:
            self._turn()
            time.sleep(_BETWEEN_S)

    def _turn(self) -> None:
        lacked, used, begun = _lacked_s(), time.thread_time(), time.perf_counter()
        self._app.processEvents()
        length = time.perf_counter() - begun
        used = time.thread_time() - used
        lack = length if lacked is None else (_lacked_s() or 0.0) - lacked
        self.found.append(Turn(length, used, max(lack, 0.0), self._doing, begun - self._at))

    def worst(self, count: int) -> list[Turn]:
        """Those that took most of the processor, and those that were longest."""
        return sorted(self.found, key=lambda turn: -max(turn.used_s, turn.length_s / 2))[:count]


def _lacked_s() -> float | None:
    """How long all threads have waited for a processor; none: it is not known here."""
    if not _THREADS.exists():
        return None
    total = 0
    for thread in _THREADS.iterdir():
        try:
            total += int((thread / "schedstat").read_text().split()[1])
        except OSError:  # it has ended
            continue
    return total / 1e9
