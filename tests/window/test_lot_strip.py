"""Own numbers of a carton: counted on, typed, scanned."""

from dataclasses import replace
from decimal import Decimal
from itertools import chain

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtTest import QTest

from benchmeter.checking.check import begin_check, typed
from benchmeter.checking.commands import BeginCheck
from benchmeter.scenes.carton import CartonScene, carton_scene
from benchmeter.scenes.session_view import Activity, SessionView
from benchmeter.window.pages.bench.lot_strip import LotStrip
from benchmeter.window.widgets.code_field import CodeField, readable


def carton(*parts: tuple[str, str], place: str | None = None) -> CartonScene:
    """A carton of which the last part is in hand; it waits for the next one once it is judged."""
    checks = []
    for number, (part, reading) in enumerate(parts, 1):
        command = BeginCheck(time_ns=0, part=part, label="45 µF ±6 % 440 V", lot="box 7")
        check = begin_check(number, command, Decimal(0))
        checks.append(typed(check, number, reading) if reading else check)
    view = SessionView(activity=Activity.LIVE, check=checks[-1], checks=tuple(checks))
    return carton_scene(view, place)


EMPTY = replace(carton(("1", "45 uF")), size=0, number="1", before=None)


pytestmark = [pytest.mark.gui, pytest.mark.qt_log_ignore("propagateSizeHints")]


@pytest.fixture
def strip(qtbot):
    made = LotStrip()
    qtbot.addWidget(made)
    made.show()
    qtbot.waitExposed(made)
    return made


@pytest.fixture
def begun(strip):
    numbers = []
    strip.begin.connect(numbers.append)
    return numbers


def test_one_key_begins_the_part_that_is_counted_on(strip, begun):
    strip.show_carton(carton(("A-09", "45 uF")))
    strip.take_focus()
    QTest.keyClick(strip.field, Qt.Key.Key_Space)
    assert begun == ["A-10"]


def test_a_scanned_code_takes_the_place_of_the_one_that_was_counted_on(strip, begun):
    strip.show_carton(carton(("A-09", "45 uF")))
    strip.take_focus()
    QTest.keyClicks(strip.field, "X 44/7")
    QTest.keyClick(strip.field, Qt.Key.Key_Return)
    assert begun == ["X 44/7"]


def test_a_scanner_may_end_its_code_with_a_tab(strip, begun):
    strip.show_carton(EMPTY)
    strip.take_focus()
    QTest.keyClicks(strip.field, "77")
    QTest.keyClick(strip.field, Qt.Key.Key_Tab)
    assert begun == ["77"]


def test_a_tab_goes_on_where_nothing_was_scanned(strip, begun):
    strip.show_carton(carton(("A-09", "45 uF")))
    strip.take_focus()
    QTest.keyClick(strip.field, Qt.Key.Key_Tab)
    assert begun == []
    assert not strip.field.hasFocus()


def test_events_of_the_field_do_not_go_through_python():
    """One override of event() makes every paint, move and timer a call of the interpreter."""
    assert not {"event", "eventFilter"} & set(vars(CodeField))


def test_separators_of_a_code_are_left_out_and_told(strip, begun):
    left_out = []
    strip.left_out.connect(left_out.append)
    strip.show_carton(EMPTY)
    strip.take_focus()
    QTest.keyClicks(strip.field, "10ABC")
    QTest.keyClick(strip.field, Qt.Key.Key_BracketRight, Qt.KeyboardModifier.ControlModifier)
    QTest.sendKeyEvent(
        QTest.KeyAction.Click,
        strip.field,
        Qt.Key.Key_BracketRight,
        "\x1d",
        Qt.KeyboardModifier.ControlModifier,
    )
    QTest.keyClicks(strip.field, "21")
    QTest.keyClick(strip.field, Qt.Key.Key_Return)
    assert begun == ["10ABC21"]
    assert left_out
    assert left_out[0] >= 1


def test_no_shortcut_of_the_window_takes_a_separator_out_of_a_code(window):
    """ASCII: EOT, FS, GS, RS and US are Ctrl with D and with the signs, or digits, 4 to 7."""
    taken = {QKeySequence(f"Ctrl+{key}") for key in ("D", "\\", "]", "^", "_", *"4567")}
    for place in range(5):
        window.show_place(place)
    found = set(chain.from_iterable(map(QShortcut.keys, window.findChildren(QShortcut))))
    assert found and not found & taken


def test_a_pasted_code_keeps_what_can_be_seen(qtbot):
    field = CodeField()
    qtbot.addWidget(field)
    codes = []
    field.entered.connect(codes.append)
    from PySide6.QtCore import QMimeData

    mime = QMimeData()
    mime.setText("A\x1d1\n7\u0000")
    field.insertFromMimeData(mime)
    field.confirm()
    assert codes == ["A17"]


def test_what_can_be_seen_is_kept_whole():
    assert readable("\x1dé 45/5 µF—№7\r\n") == "é 45/5 µF—№7"


def test_an_empty_code_begins_nothing(strip, begun):
    strip.show_carton(EMPTY)
    strip.field.clear()
    strip.field.confirm()
    assert begun == []


def test_the_part_before_is_asked_for_and_offered_with_what_it_came_to(strip, begun):
    parts = (("1", "45 uF"), ("2", "40 uF"))
    asked = []
    strip.look_at.connect(asked.append)
    strip.show_carton(carton(*parts))
    strip.previous.click()
    strip.show_carton(carton(*parts, place="2"))
    assert strip.field.text() == "2" and "Bad" in strip.known.text()
    strip.following.click()
    strip.show_carton(carton(*parts))
    assert strip.field.text() == "3" and strip.known.text() == ""
    assert asked == ["2", None]


def test_while_a_part_is_measured_no_other_begins(strip, begun):
    strip.show_carton(carton(("1", "")))
    assert not strip.field.isEnabled()
