"""What happens right after the first paint, in the order in which it is needed."""

import gc
from threading import Event
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal, Slot

from benchmeter.window.control.session_controller import SessionController

if TYPE_CHECKING:
    from benchmeter.record.records import SessionSummary

__all__ = ["StartUp"]

_PLOT_S = 5.0


class StartUp(QObject):
    """Imports, stories, kinds of parts, sessions that were cut off: all asked of the worker.

    Signals:
        plot_imported: the plot can be drawn from now on.
        stories_found: a tuple of Story.
        kinds_found: a PartKindsFound.
        cut_off_found: the id of the latest session that was cut off, and a sentence; or two "".
    """

    plot_imported = Signal()
    stories_found = Signal(object)
    kinds_found = Signal(object)
    cut_off_found = Signal(str, str)

    def __init__(self, controller: SessionController, parent: QObject) -> None:
        super().__init__(parent)
        self._controller = controller
        self._plot_there = Event()

    def begin_imports(self) -> None:
        """The plot's library first: the worker's own imports would draw it out."""
        self._controller.ask(_import_beside, self._import_plot)
        self._controller.ask(lambda: self._plot_there.wait(_PLOT_S), lambda _there: None)
        self._controller.warm_up()

    def ask_what_there_is(self) -> None:
        """Stories, kinds and cut-off sessions; then nothing is looked at as garbage any more."""
        services = self._controller.services
        self._controller.ask(services.stories, self.stories_found.emit)
        self._controller.ask(services.part_kinds, self.kinds_found.emit)
        self._controller.ask_store(lambda store: store.cut_off(), self._cut_off)
        self._controller.ask(_keep_for_good, lambda _done: None)

    def stop_waiting(self) -> None:
        """The window is closed: the worker waits for the plot no more."""
        self._plot_there.set()

    def _import_plot(self, _done: object) -> None:
        from benchmeter.window.control.plot_import import PlotImport

        steps = PlotImport(self)
        steps.done.connect(self._plot_done)
        steps.go_on()

    @Slot()
    def _plot_done(self) -> None:
        self._plot_there.set()
        self.plot_imported.emit()

    def _cut_off(self, summaries: "tuple[SessionSummary, ...]") -> None:
        from benchmeter.scenes.record_scene import cut_off_words

        self.cut_off_found.emit(*cut_off_words(summaries, self._controller.seen().presentation))


def _keep_for_good() -> None:
    """Look for garbage no more in what is imported by now: that would hold everything for 50 ms."""
    if not gc.get_freeze_count():
        gc.freeze()


def _import_beside() -> None:
    from benchmeter.window.control.plot_import import import_beside

    import_beside()
