"""The desks of the bench at every size: nothing is cut off, Tab reaches everything."""

from collections.abc import Callable

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from benchmeter.files.folders import Folders
from benchmeter.scenes.bench_state import BenchState
from benchmeter.scenes.meter_actions import MeterAct
from benchmeter.window.shell.window import Window
from benchmeter.words.catalogue import PSEUDO
from tests.fakes import bench_states as made
from tests.fakes import meter_states as meter
from tests.fakes.window_acts import live, rest
from tests.fakes.window_fakes import FakeEntrances
from tests.window.test_window import _cut_off, _walk

pytestmark = [pytest.mark.gui, pytest.mark.qt_log_ignore("propagateSizeHints")]


def _replacement(window: Window) -> None:
    window.bench.show_aside(BenchState.REPLACEMENT)


def _meter(window: Window) -> None:
    window.bench.show_aside(BenchState.METER)


def _form(window: Window) -> None:
    window.bench.show_aside(BenchState.METER)
    window.bench.panels.shown().view.buttons[MeterAct.ADD].click()  # type: ignore[union-attr]


DESKS = {"replacement": _replacement, "meter": _meter, "form": _form}


@pytest.fixture(params=DESKS)
def show(request: pytest.FixtureRequest) -> Callable[[Window], None]:
    return DESKS[request.param]


@pytest.fixture(params=["with lists", "without"])
def lists(request: pytest.FixtureRequest, folders: Folders, services: FakeEntrances) -> None:
    if request.param == "with lists":
        folders.stock.write_text(meter.STOCK, encoding="utf-8")
        folders.reference_parts.write_text(meter.R45_LIST, encoding="utf-8")
        services.meter_record = meter.record(meter.STEADY)


def _come(qtbot: QtBot, window: Window, show: Callable[[Window], None]) -> None:
    window.controller.today = lambda: meter.TODAY
    live(qtbot, window, made.bench_outcome(check=made.judged_check(made.FAN_BAD)))
    show(window)
    rest(qtbot, window)


def _nothing_is_cut_off(qtbot: QtBot, window: Window) -> None:
    cut: list[tuple[object, ...]] = []
    for _ in range(50):
        QApplication.processEvents()
        if not (cut := _cut_off(window)):
            break
        qtbot.wait(20)
    assert cut == []
    assert (window.width(), window.height()) == (1280, 800)


@pytest.mark.parametrize("zoom", [100, 200])
def test_nothing_is_cut_off(
    qtbot: QtBot, window: Window, lists: None, show: Callable[[Window], None], zoom: int
) -> None:
    window.controller.prefer(zoom=zoom)
    _come(qtbot, window, show)
    _nothing_is_cut_off(qtbot, window)


def test_a_longer_language_has_room(
    qtbot: QtBot, window: Window, lists: None, show: Callable[[Window], None]
) -> None:
    window.controller.prefer(language=PSEUDO)
    _come(qtbot, window, show)
    _nothing_is_cut_off(qtbot, window)


def test_tab_reaches_every_control(
    qtbot: QtBot, window: Window, lists: None, show: Callable[[Window], None]
) -> None:
    _come(qtbot, window, show)
    _walk(qtbot, window)


def test_the_whole_desk_is_in_sight_at_1280_by_800(
    qtbot: QtBot, window: Window, lists: None, show: Callable[[Window], None]
) -> None:
    _come(qtbot, window, show)
    for _ in range(20):
        QApplication.processEvents()
    assert window._scroll.verticalScrollBar().maximum() == 0
