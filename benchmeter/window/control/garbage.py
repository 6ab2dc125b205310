"""Garbage is collected on the GUI thread alone.

Python collects on whichever thread makes the next object. On a measuring thread it would destroy
the widgets of a page that was closed, and Qt answers that with a crash or a hang.
"""

import gc

from PySide6.QtCore import QObject, QTimer

__all__ = ["GarbageCollector", "collect_due"]

_PERIOD_MS = 250


class GarbageCollector(QObject):
    """Collects at the thresholds of Python's own collector, which it stands in for."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        gc.disable()
        timer = QTimer(self, interval=_PERIOD_MS)
        timer.timeout.connect(collect_due)
        timer.start()


def collect_due() -> None:
    """Collect the oldest generation whose threshold is passed, and the younger ones with it."""
    counts, thresholds = gc.get_count(), gc.get_threshold()
    due = [i for i, count in enumerate(counts) if count > thresholds[i] > 0]
    if due:
        gc.collect(due[-1])
