"""A window on the real rooms below, whose simulated bench is quicker than life."""

from collections.abc import Iterator
from contextlib import contextmanager

from pytestqt.qtbot import QtBot

from benchmeter.files.folders import Folders
from benchmeter.record.store import Store
from benchmeter.tasks.opening import open_simulated
from benchmeter.tasks.running import RunningSession
from benchmeter.window.control.services import Publish, Services
from benchmeter.window.control.session_controller import SessionController
from benchmeter.window.shell.window import Window
from tests.fakes.window_acts import rest

__all__ = ["real_window"]


@contextmanager
def real_window(
    qtbot: QtBot, folders: Folders, *, pace: float = 12.0, story: bool = True
) -> Iterator[Window]:
    """The window, shown, complete and at rest; closed at the end.

    Args:
        pace: of the simulated bench.
        story: whether its scenario acts by itself.
    """
    made = Window(SessionController(_QuickEntrances(folders, pace, story)))
    qtbot.addWidget(made)
    made.controller.prefer(sound=False)
    with qtbot.waitExposed(made):
        made.show()
    made.activateWindow()
    qtbot.waitUntil(lambda: made._completed, timeout=10_000)
    rest(qtbot, made)
    yield made
    made.close()


class _QuickEntrances(Services):
    def __init__(self, folders: Folders, pace: float, story: bool) -> None:
        super().__init__(folders)
        self._pace, self._story = pace, story

    def open_simulated(self, store: Store, scenario: str, publish: Publish) -> RunningSession:
        return open_simulated(
            self.folders, store, scenario, publish, pace=self._pace, story=self._story
        )
