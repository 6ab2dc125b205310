"""Importing the plot's library in small steps.

It makes Qt classes, so it must be imported in the GUI thread: on another, while slots ran here, it
ended the program about once in fifty starts. In one piece it would hold the window for 0.2 s.
"""

import importlib
from collections.abc import Iterator

from PySide6 import QtCore, QtGui, QtWidgets
from PySide6.QtCore import QObject, QTimer, Signal, Slot

__all__ = ["PlotImport", "import_beside"]

_NAMES_A_STEP = 40

# What the library imports besides Qt and itself.
_BESIDE = (
    "numpy",
    "xml.etree.ElementTree",
    "pydoc",
    "cProfile",
    "sysconfig",
    "multiprocessing.connection",
    "importlib.resources",
)


def import_beside() -> None:
    """What needs no Qt; may run on the worker."""
    for name in _BESIDE:
        importlib.import_module(name)


class PlotImport(QObject):
    """Runs the steps, one a turn of the event loop.

    Signals:
        done: the plot can be built.
    """

    done = Signal()

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._steps = _steps()

    @Slot()
    def go_on(self) -> None:
        """Take a step, and the next one when the window has had its turn."""
        if next(self._steps, None) is None:
            self.done.emit()
        else:
            QTimer.singleShot(0, self, self.go_on)


def _steps() -> Iterator[str]:
    for module in (QtCore, QtGui, QtWidgets):
        names = dir(module)  # the library touches them all; a class is made when first touched
        for first in range(0, len(names), _NAMES_A_STEP):
            for name in names[first : first + _NAMES_A_STEP]:
                getattr(module, name)
            yield f"{module.__name__} from {names[first]}"
    for name in ("pyqtgraph", "benchmeter.window.plot.recovery_plot"):
        importlib.import_module(name)
        yield name
