"""The window's tests run without a screen unless told otherwise."""

import os

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

    from benchmeter.gui.window import Window
    from benchmeter.settings.folders import Folders
    from tests.fakes.window_fakes import FakeEntrances


@pytest.fixture
def entrances(folders: "Folders") -> "FakeEntrances":
    """Fake rooms below the window."""
    from tests.fakes.window_fakes import FakeEntrances

    return FakeEntrances(folders)


@pytest.fixture
def window(qtbot: "QtBot", entrances: "FakeEntrances") -> "Iterator[Window]":
    """A window on them, shown and at rest."""
    from benchmeter.gui.window import Window
    from benchmeter.gui.workplace import Workplace
    from tests.fakes.window_acts import rest

    made = Window(Workplace(entrances))  # type: ignore[arg-type]
    qtbot.addWidget(made)
    made.complete()
    made.workplace.prefer(sound=False)
    with qtbot.waitExposed(made):
        made.show()
    made.activateWindow()
    rest(qtbot, made)
    made.resize(1280, 800)  # the screen that is not there is smaller
    yield made
    made.close()
