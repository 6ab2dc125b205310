"""The window's tests run without a screen unless told otherwise."""

import gc
import os

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

    from benchmeter.files.folders import Folders
    from benchmeter.window.shell.window import Window
    from tests.fakes.window_fakes import FakeEntrances


@pytest.fixture(autouse=True)
def _english(request: pytest.FixtureRequest) -> None:
    """Texts are found by their codes, as in the program."""
    if "qapp" in request.fixturenames:
        from benchmeter.window.theme.language import speak

        speak(request.getfixturevalue("qapp"))


@pytest.fixture(autouse=True)
def _garbage_on_this_thread() -> "Iterator[None]":
    """As in the program: no measuring thread destroys a widget."""
    from benchmeter.window.control.garbage import collect_due

    gc.disable()
    yield
    collect_due()
    gc.enable()


@pytest.fixture
def services(folders: "Folders") -> "FakeEntrances":
    """Fake rooms below the window."""
    from tests.fakes.window_fakes import FakeEntrances

    return FakeEntrances(folders)


@pytest.fixture
def window(qtbot: "QtBot", services: "FakeEntrances") -> "Iterator[Window]":
    """A window on them, shown and at rest."""
    from benchmeter.window.control.session_controller import SessionController
    from benchmeter.window.shell.window import Window
    from tests.fakes.window_acts import rest

    made = Window(SessionController(services))  # type: ignore[arg-type]
    qtbot.addWidget(made)
    made.complete()
    made.controller.prefer(sound=False)
    with qtbot.waitExposed(made):
        made.show()
    made.activateWindow()
    rest(qtbot, made)
    made.resize(1280, 800)  # the screen that is not there is smaller
    yield made
    made.close()
