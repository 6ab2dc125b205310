"""What may replace the part in hand, at the bench. The rule itself is tested with `conformity`."""

import threading
from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from benchmeter.checking.commands import BeginCheck
from benchmeter.checking.part_check import PartCheck
from benchmeter.checking.stock import read_stock
from benchmeter.conformity.verdict import Rule
from benchmeter.files.folders import Folders
from benchmeter.scenes.replacement_scene import ReplacementAct
from benchmeter.tasks import replacing
from benchmeter.tasks.replacing import replace_part
from benchmeter.window.pages.bench.replacement_view import ReplacementView
from benchmeter.window.shell.window import Window
from tests.fakes import bench_states as made
from tests.fakes import meter_states as meter
from tests.fakes.window_acts import live, press, publish, rest

pytestmark = [pytest.mark.gui, pytest.mark.qt_log_ignore("propagateSizeHints")]

Key = Qt.Key
OLD = made.judged_check(made.FAN_BAD)


@pytest.fixture
def stock(folders: Folders) -> Callable[[str], None]:
    def write(text: str) -> None:
        folders.stock.write_text(text, encoding="utf-8")

    return write


def opened(qtbot: QtBot, window: Window, *checks: PartCheck) -> ReplacementView:
    """The list, opened by its key when these checks were made."""
    live(qtbot, window, *(made.bench_outcome(check=check) for check in checks))
    press(qtbot, window, Key.Key_P)
    rest(qtbot, window)
    view = window.bench.panels.shown()
    assert isinstance(view, ReplacementView) and view.isVisible()
    return view


def lines(view: ReplacementView) -> list[str]:
    return [view.list.item(row).text() for row in range(view.list.count())]


def test_return_measures_the_chosen_part_by_the_rule_of_the_old_one(
    qtbot: QtBot, window: Window, stock: Callable[[str], None]
) -> None:
    stock(meter.STOCK)
    opened(qtbot, window, replace(OLD, rule=Rule.SIMPLE))
    press(qtbot, window, Key.Key_Return)
    assert window.controller.session.sent == [  # type: ignore[union-attr]
        BeginCheck(
            time_ns=0,
            part="replacement 1",
            label="40/6 µF ±5 % 440 V round",
            accuracy=made.ACCURACY.text,
            rule="simple",
            channel="capacitor",
        )
    ]
    assert window.bench.panels.shown() is None and window.bench.stage.reading.isVisible()
    assert window.controller.preferences.labels == ()  # none that was typed


def test_what_is_not_there_or_does_not_fit_is_not_measured(
    qtbot: QtBot, window: Window, stock: Callable[[str], None]
) -> None:
    stock(meter.STOCK)
    view = opened(qtbot, window, OLD)
    for _ in range(3):
        press(qtbot, window, Key.Key_Down)
    assert not view.buttons[ReplacementAct.MEASURE].isEnabled()
    press(qtbot, window, Key.Key_Return)
    assert window.controller.session.sent == []  # type: ignore[union-attr]


def test_without_a_list_it_teaches_where_it_goes_and_one_key_begins_it(
    qtbot: QtBot, window: Window, folders: Folders
) -> None:
    view = opened(qtbot, window, OLD)
    assert str(folders.stock) in view.why.text()
    assert "label,shape,count,place,own number" in view.why.text()
    assert not view.list.isVisible() and view.buttons[ReplacementAct.EXAMPLE].isVisible()
    press(qtbot, window, Key.Key_X)
    rest(qtbot, window)
    assert [item.count for item in read_stock(folders.stock).items] == [0]
    assert view.list.isVisible() and not view.buttons[ReplacementAct.EXAMPLE].isVisible()


def test_a_list_that_cannot_be_read_says_why_and_is_left_alone(
    qtbot: QtBot, window: Window, folders: Folders, stock: Callable[[str], None]
) -> None:
    stock("label,label\n")
    view = opened(qtbot, window, OLD)
    assert "two columns" in view.faults.text()
    assert not view.buttons[ReplacementAct.EXAMPLE].isVisible()
    stock(meter.STOCK)
    press(qtbot, window, Key.Key_A)
    rest(qtbot, window)
    assert len(lines(view)) == 6


def test_escape_goes_back_to_the_part(qtbot: QtBot, window: Window) -> None:
    opened(qtbot, window, OLD)
    press(qtbot, window, Key.Key_Escape)
    assert window.bench.panels.shown() is None
    assert window.bench.stage.answer.isVisible() and window.bench.stage.reading.hasFocus()


def test_readings_go_on_and_do_not_talk_over_it(
    qtbot: QtBot, window: Window, stock: Callable[[str], None]
) -> None:
    stock(meter.STOCK)
    opened(qtbot, window, OLD)
    words = window.next_line.text()
    publish(qtbot, window, made.bench_outcome(check=OLD, at_s=30))
    assert window.next_line.text() == words


def test_another_look_keeps_the_list_and_its_decimal_sign_follows(
    qtbot: QtBot, window: Window, stock: Callable[[str], None]
) -> None:
    stock("label,count\n40/6.5 µF ±5 % 440 V,4\n")
    view = opened(qtbot, window, OLD)
    press(qtbot, window, Key.Key_F9)
    window.controller.prefer(decimal_sign=",")
    rest(qtbot, window)
    assert window.bench.panels.shown() is view
    assert "40/6,5 µF" in lines(view)[0]


@pytest.mark.parametrize("zoom", [100, 200])
def test_no_two_buttons_share_a_key(
    qtbot: QtBot, window: Window, stock: Callable[[str], None], zoom: int
) -> None:
    from benchmeter.window.widgets.keys import KeyButton

    stock(meter.STOCK)
    window.controller.prefer(zoom=zoom)
    opened(qtbot, window, OLD)
    keys = [b.key.toString() for b in window.findChildren(KeyButton) if b.isVisible()]
    assert sorted(keys) == sorted(set(keys))


def test_a_long_list_is_looked_through_on_the_worker_and_its_best_are_shown(
    qtbot: QtBot,
    window: Window,
    stock: Callable[[str], None],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    threads = []

    def noting(*arguments: object) -> object:
        threads.append(threading.current_thread())
        return replace_part(*arguments)

    monkeypatch.setattr(replacing, "replace_part", noting)
    many = "".join(f"{n % 79 + 1} µF ±6 % 440 V,{n}\n" for n in range(1, 2001))
    stock(f"label,count\n{many}40/6 µF ±5 % 440 V,1\n")
    live(qtbot, window, made.bench_outcome(check=OLD))
    press(qtbot, window, Key.Key_P)
    rest(qtbot, window)
    assert threads and threading.main_thread() not in threads
    view = window.bench.panels.shown()
    assert isinstance(view, ReplacementView)
    assert lines(view)[0].startswith("Measure it first · 40/6 µF") and len(lines(view)) == 60
    assert "the best 60 of 2001 parts" in view.faults.text()
