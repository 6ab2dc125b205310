"""What may replace the part in hand, at the bench. The rule itself is tested with `conformity`."""

import time
from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from benchmeter.checking.part_check import PartCheck
from benchmeter.checking.stock import read_stock
from benchmeter.conformity.verdict import Rule
from benchmeter.files.folders import Folders
from benchmeter.parts.nameplate.label import parse_label
from benchmeter.readings.inputs import BeginCheck
from benchmeter.window.pages.bench.replacement_view import ReplacementView
from benchmeter.window.shell.window import Window
from tests.fakes import bench_states as made
from tests.fakes import meter_states as meter
from tests.fakes.kind_states import kind_check
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
    view = window.bench.desks.shown()
    assert isinstance(view, ReplacementView) and view.isVisible()
    return view


def lines(view: ReplacementView) -> list[str]:
    return [view.list.item(row).text() for row in range(view.list.count())]


def test_it_is_pointed_out_where_a_capacitor_is_bad(qtbot: QtBot, window: Window) -> None:
    buttons = window.bench.buttons
    live(qtbot, window, made.bench_outcome(check=made.new_check()))
    assert buttons.replacement.property("primary") == "false"
    publish(qtbot, window, made.bench_outcome(check=OLD, at_s=30))
    assert buttons.replacement.isVisible() and buttons.replacement.property("primary") == "true"
    assert buttons.part.property("primary") == "false"
    good = made.judged_check(made.FAN_GOOD, 2, "replacement 1")
    publish(qtbot, window, made.bench_outcome(check=good, at_s=40))
    assert buttons.replacement.property("primary") == "false"
    assert buttons.part.property("primary") == "true"


def test_it_is_offered_for_no_other_kind_of_part(qtbot: QtBot, window: Window) -> None:
    coil = kind_check("ignitor", "40-90 ohm", {"element": "0.2"})
    assert coil.verdict is not None
    live(qtbot, window, made.bench_outcome(check=coil))
    assert not window.bench.buttons.replacement.isVisible()


def test_what_fits_comes_first_and_each_line_says_why(
    qtbot: QtBot, window: Window, stock: Callable[[str], None]
) -> None:
    stock(meter.STOCK)
    view = opened(qtbot, window, OLD)
    words = [line.partition(" · ")[0] for line in lines(view)]
    assert words == [
        "Measure it first",
        "Measure it first",
        "Look, then measure it first",
        "None left",
        "Does not fit",
        "Does not fit",
    ]
    first, _, looser, *_, voltage, capacitance = lines(view)
    assert "round, 3 left, van shelf 2" in first
    assert "±6 %, the old part ±5 %" in looser
    assert "370 V, the old part 440 V" in voltage
    assert "45/5 µF, not 40/6 µF" in capacitance
    assert view.answer.text() == "3 parts of the list may fit"
    assert "van shelf 2" in window.next_line.text()


def test_lines_that_cannot_be_used_are_told_with_their_number(
    qtbot: QtBot, window: Window, stock: Callable[[str], None]
) -> None:
    stock(meter.STOCK)
    told = opened(qtbot, window, OLD).faults.text().splitlines()
    assert told[0].startswith("Line 8 of stock.csv is left out: It has no label.")
    assert told[1].startswith("Line 9 of stock.csv is left out: ") and "tolerance" in told[1]


def test_of_many_such_lines_some_are_told_and_the_rest_counted(
    qtbot: QtBot, window: Window, stock: Callable[[str], None]
) -> None:
    stock("label\n40/6 µF ±5 % 440 V\n" + "no label at all\n" * 9)
    assert opened(qtbot, window, OLD).faults.text().splitlines()[3:] == ["And 6 more lines."]


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
    assert window.bench.desks.shown() is None and window.bench.reading.isVisible()
    assert window.controller.preferences.labels == ()  # none that was typed


def test_a_marked_part_is_measured_by_its_own_number(
    qtbot: QtBot, window: Window, stock: Callable[[str], None]
) -> None:
    stock(meter.STOCK)
    opened(qtbot, window, OLD)
    press(qtbot, window, Key.Key_Down)
    press(qtbot, window, Key.Key_Return)
    (command,) = window.controller.session.sent  # type: ignore[union-attr]
    assert command.part == "K 7"


@pytest.mark.parametrize("row", [3, 4, 5])
def test_what_is_not_there_or_does_not_fit_is_not_measured(
    qtbot: QtBot, window: Window, stock: Callable[[str], None], row: int
) -> None:
    stock(meter.STOCK)
    view = opened(qtbot, window, OLD)
    for _ in range(row):
        press(qtbot, window, Key.Key_Down)
    assert not view.measure.isEnabled()
    press(qtbot, window, Key.Key_Return)
    assert window.controller.session.sent == []  # type: ignore[union-attr]


def test_a_part_is_offered_only_after_it_was_measured_good(
    qtbot: QtBot, window: Window, stock: Callable[[str], None]
) -> None:
    """The old part stays the one to be replaced while replacements are measured."""
    stock(meter.STOCK)
    bad = made.judged_check(made.FAN_BAD, 2, "replacement 1")
    bad = replace(bad, rating=parse_label("40/6 µF ±5 % 440 V round"))
    good = made.judged_check(made.FAN_GOOD, 3, "K 7")
    view = opened(qtbot, window, OLD, bad, good)
    assert view.subject.text() == "To be replaced: old part, 40/6 µF ±5 % 440 V"
    assert view.answer.text() == "K 7 may go in"
    assert lines(view)[0].startswith("Good: it may go in · K 7")
    assert view.list.currentRow() == 0
    measured_bad = [line for line in lines(view) if line.startswith("Measured bad")]
    assert len(measured_bad) == 1 and "round, 3 left" in measured_bad[0]


def test_a_part_that_was_measured_by_another_rule_is_not_offered(
    qtbot: QtBot, window: Window, stock: Callable[[str], None]
) -> None:
    stock(meter.STOCK)
    good = made.judged_check(made.FAN_GOOD, 2, "K 7")
    assert good.verdict is not None
    good = replace(good, verdict=replace(good.verdict, rule=Rule.SIMPLE))
    view = opened(qtbot, window, OLD, good)
    assert "may fit" in view.answer.text()
    (line,) = (line for line in lines(view) if "K 7" in line)
    assert "another decision rule" in line


def test_what_no_meter_could_decide_is_not_offered(
    qtbot: QtBot, window: Window, stock: Callable[[str], None]
) -> None:
    stock(meter.STOCK)
    view = opened(qtbot, window, OLD, made.judged_check(made.FAN_UNDECIDED, 2, "K 7"))
    (line,) = (line for line in lines(view) if "K 7" in line)
    assert line.startswith("Not decided") and "may fit" in view.answer.text()


def test_where_nothing_fits_it_says_what_is_needed(
    qtbot: QtBot, window: Window, stock: Callable[[str], None]
) -> None:
    stock("label,count\n45/5 µF ±6 % 440 V,4\n")
    view = opened(qtbot, window, OLD)
    assert view.answer.text() == "No part of the list fits"
    assert "voltage" in view.why.text()


def test_without_a_list_it_teaches_where_it_goes_and_one_key_begins_it(
    qtbot: QtBot, window: Window, folders: Folders
) -> None:
    view = opened(qtbot, window, OLD)
    assert str(folders.stock) in view.why.text()
    assert "label,shape,count,place,own number" in view.why.text()
    assert not view.list.isVisible() and view.example.isVisible()
    press(qtbot, window, Key.Key_X)
    rest(qtbot, window)
    assert [item.count for item in read_stock(folders.stock).items] == [0]
    assert view.list.isVisible() and not view.example.isVisible()


def test_a_list_that_cannot_be_read_says_why_and_is_left_alone(
    qtbot: QtBot, window: Window, folders: Folders, stock: Callable[[str], None]
) -> None:
    stock("label,label\n")
    view = opened(qtbot, window, OLD)
    assert "two columns" in view.faults.text()
    assert not view.example.isVisible()
    stock(meter.STOCK)
    press(qtbot, window, Key.Key_A)
    rest(qtbot, window)
    assert len(lines(view)) == 6


def test_escape_goes_back_to_the_part(qtbot: QtBot, window: Window) -> None:
    opened(qtbot, window, OLD)
    press(qtbot, window, Key.Key_Escape)
    assert window.bench.desks.shown() is None
    assert window.bench.answer.isVisible() and window.bench.reading.hasFocus()


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
    assert window.bench.desks.shown() is view
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


def test_a_replay_offers_no_measuring(qtbot: QtBot, window: Window) -> None:
    window.controller.start_replay("0192")
    rest(qtbot, window)
    publish(qtbot, window, made.bench_outcome(check=OLD))
    buttons = window.bench.buttons
    assert not buttons.replacement.isVisible() and not buttons.meter.isVisible()


def test_a_long_list_is_looked_through_on_the_worker_and_its_best_are_shown(
    qtbot: QtBot, window: Window, stock: Callable[[str], None]
) -> None:
    many = "".join(f"{n % 79 + 1} µF ±6 % 440 V,{n}\n" for n in range(1, 2001))
    stock(f"label,count\n{many}40/6 µF ±5 % 440 V,1\n")
    live(qtbot, window, made.bench_outcome(check=OLD))
    began = time.thread_time()
    press(qtbot, window, Key.Key_P)
    rest(qtbot, window)
    assert time.thread_time() - began < 0.5  # CPU time of this thread alone; ours
    view = window.bench.desks.shown()
    assert isinstance(view, ReplacementView)
    assert lines(view)[0].startswith("Measure it first · 40/6 µF") and len(lines(view)) == 60
    assert "the best 60 of 2001 parts" in view.faults.text()
