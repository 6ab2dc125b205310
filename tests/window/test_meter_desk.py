"""Part or meter, at the bench: parts of known value, the bias that they find, what is due.

The rules are tested with `conformity`; the meter of these tests is invented.
"""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from benchmeter.checking.commands import AcceptBias, BeginCheck
from benchmeter.checking.reference_parts import read_reference_parts
from benchmeter.files.folders import Folders
from benchmeter.scenes.bench_action_scene import Act
from benchmeter.scenes.bench_state import BenchState
from benchmeter.session.analyzers.part_check_analyzer import PartFinding
from benchmeter.window.pages.bench.meter_panel import MeterPanel
from benchmeter.window.shell.window import Window
from benchmeter.window.widgets.keys import KeyButton
from tests.fakes import bench_states as made
from tests.fakes import meter_states as meter
from tests.fakes.window_acts import live, press, publish, rest
from tests.fakes.window_fakes import FakeEntrances

pytestmark = [pytest.mark.gui, pytest.mark.qt_log_ignore("propagateSizeHints")]

Key = Qt.Key
MICRO = meter.MICRO


@pytest.fixture(autouse=True)
def today(window: Window) -> None:
    window.controller.today = lambda: meter.TODAY


@pytest.fixture
def listed(folders: Folders) -> None:
    folders.reference_parts.write_text(meter.R45_LIST, encoding="utf-8")


def opened(qtbot: QtBot, window: Window) -> MeterPanel:
    """The desk, opened by its key in a live session, beside a part that is judged."""
    if window.controller.session is None:
        live(qtbot, window, made.bench_outcome(check=made.judged_check(made.FAN_GOOD)))
    press(qtbot, window, Key.Key_E)
    rest(qtbot, window)
    desk = window.bench.panels.shown()
    assert isinstance(desk, MeterPanel) and desk.isVisible()
    return desk


def sent(window: Window) -> list[object]:
    return window.controller.session.sent  # type: ignore[union-attr,return-value]


# --- reading a part of known value -------------------------------------------------------------


def test_return_reads_the_chosen_part(qtbot: QtBot, window: Window, listed: None) -> None:
    window.controller.prefer(accuracy=meter.ACCURACY)
    opened(qtbot, window)
    press(qtbot, window, Key.Key_Down)
    press(qtbot, window, Key.Key_Return)
    (command,) = sent(window)
    assert isinstance(command, BeginCheck)
    assert (command.part, command.channel, command.accuracy) == (
        "R7.5",
        "capacitor",
        meter.ACCURACY,
    )
    assert command.reference is not None and command.reference.value_si == Decimal("7.502e-6")
    assert window.bench.panels.shown() is None and window.bench.stage.reading.hasFocus()
    assert window.controller.preferences.labels == ()  # its name is no label of a part


def test_a_value_of_the_future_is_refused_with_a_reason(
    qtbot: QtBot, window: Window, listed: None
) -> None:
    window.controller.today = lambda: date(2025, 1, 1)
    opened(qtbot, window)
    press(qtbot, window, Key.Key_Return)
    assert sent(window) == []
    assert any("2026-01-10" in e.notice.text for e in window.notices.history())


def test_a_part_again_reads_the_reference_again(
    qtbot: QtBot, window: Window, services: FakeEntrances
) -> None:
    live(qtbot, window, made.bench_outcome(check=meter.reference_check("45.05 uF")))
    window.bench.stage.buttons.of[Act.AGAIN].click()
    (command,) = sent(window)
    assert isinstance(command, BeginCheck)
    assert command.reference == meter.R45


def test_the_verdict_on_the_meter_takes_the_place_of_one_on_a_part(
    qtbot: QtBot, window: Window
) -> None:
    live(qtbot, window, made.bench_outcome(check=meter.reference_check("45.50 uF")))
    bench = window.bench
    assert bench.stage.answer.isVisible()
    assert bench.stage.answer.accessibleDescription().startswith("Meter differs.")
    assert not bench.stage.buttons.of[Act.TAG].isEnabled()  # there is no part to put it on
    assert not bench.stage.buttons.of[Act.REPLACEMENT].isVisible()
    assert "E shows" in window.next_line.text()


def test_a_reading_of_the_meter_is_none_of_the_parts(qtbot: QtBot, window: Window) -> None:
    checks = (made.judged_check(made.FAN_BAD), meter.reference_check("45.50 uF", number=2))
    live(qtbot, window, *(made.bench_outcome(check=c) for c in checks))
    window.bench.show_aside(BenchState.STATISTICS)
    view = window.bench.panels.shown().view  # type: ignore[union-attr]
    assert "1" in view.answer.text() and "R45" not in view.title.text()


# --- the history -------------------------------------------------------------------------------


def test_the_history_is_shown_in_a_chart_and_in_words(
    qtbot: QtBot, window: Window, services: FakeEntrances, listed: None
) -> None:
    window.controller.prefer(decimal_sign=",")
    services.meter_record = meter.record(meter.STEADY)
    view = opened(qtbot, window).view
    assert view.answer.text() == "The meter is off."
    assert view.chart.isVisible() and "0,5" in view.chart.accessibleDescription()
    for line in (view.meter, view.chart_text, view.bias_text, view.offer_text):
        assert line.isVisible()


def test_a_new_reading_is_looked_up_at_once(
    qtbot: QtBot, window: Window, services: FakeEntrances, listed: None
) -> None:
    view = opened(qtbot, window).view
    services.meter_record = meter.record(meter.STEADY)
    check = meter.reference_check("45.50 uF", number=2)
    publish(qtbot, window, made.bench_outcome(check=check, at_s=30))
    rest(qtbot, window)
    assert view.answer.text() == "The meter is off."


# --- the bias ----------------------------------------------------------------------------------


def test_a_bias_is_taken_off_only_when_its_key_is_pressed(
    qtbot: QtBot, window: Window, services: FakeEntrances, listed: None
) -> None:
    """The mean of the last 8 of STEADY is 45.50375: 0.504 µF too much, rounded to a tenth of the
    meter's last digit of 0.01 µF (CALC)."""
    services.meter_record = meter.record(meter.STEADY)
    opened(qtbot, window)
    assert sent(window) == []
    assert "X takes" in window.next_line.text()
    press(qtbot, window, Key.Key_X)
    (command,) = sent(window)
    assert isinstance(command, AcceptBias)
    assert (command.channel, command.bias_si) == ("capacitor", Decimal("0.504") * MICRO)
    assert command.reference == meter.R45


def test_what_is_taken_off_is_said_as_soon_as_it_is(
    qtbot: QtBot, window: Window, services: FakeEntrances, listed: None
) -> None:
    services.meter_record = meter.record(meter.STEADY)
    view = opened(qtbot, window).view
    accepted = replace(made.bench_outcome(at_s=30), findings=(PartFinding(biases=(meter.bias(),)),))
    publish(qtbot, window, accepted)
    rest(qtbot, window)
    assert "taken off, as a person accepted" in view.offer_text.text()


def test_a_new_session_offers_it_again_and_takes_nothing_off(
    qtbot: QtBot, window: Window, services: FakeEntrances, listed: None
) -> None:
    services.meter_record = meter.record(meter.STEADY)
    live(qtbot, window, made.bench_outcome(check=made.half_check()))
    rest(qtbot, window)
    told = [e.notice.text for e in window.notices.history()]
    assert any(t.startswith("By R45 the meter is off by +0.504 µF") for t in told)
    assert sent(window) == [] and window.controller.view.biases == ()  # type: ignore[union-attr]


# --- what is due -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("days", "severity", "says"),
    [
        (-1, "warning", "ran out on 2026-11-24, 1 day ago"),
        (0, "info", "runs out today"),
        (30, "info", "runs out in 30 days"),
        (31, None, ""),
    ],
)
def test_a_meter_that_is_due_is_told_once_a_session(
    qtbot: QtBot,
    window: Window,
    services: FakeEntrances,
    days: int,
    severity: str | None,
    says: str,
) -> None:
    services.setup = meter.due_setup(meter.TODAY + timedelta(days=days))
    live(qtbot, window, made.bench_outcome())
    window.show_record()
    window.show_place(0)
    window.controller.session_changed.emit()
    rest(qtbot, window)
    told = [e for e in window.notices.history() if e.notice.text.startswith("Bench meter: ")]
    if severity is None:
        assert told == []
    else:
        (entry,) = told
        assert entry.notice.severity == severity and says in entry.notice.text
        assert entry.count == 1


def test_a_reference_part_that_is_overdue_is_told(
    qtbot: QtBot, window: Window, listed: None
) -> None:
    live(qtbot, window, made.bench_outcome())
    rest(qtbot, window)
    told = [e.notice.text for e in window.notices.history()]
    assert [t.partition(",")[0] for t in told] == ["R7.5: Its calibration ran out on 2026-06-01"]


def test_a_replay_is_no_beginning(
    qtbot: QtBot, window: Window, services: FakeEntrances, listed: None
) -> None:
    services.setup = meter.due_setup(date(2026, 1, 1))
    window.controller.start_replay("0192")
    rest(qtbot, window)
    assert list(window.notices.history()) == []


# --- adding a part -----------------------------------------------------------------------------


def test_a_part_is_added_by_keyboard_alone(
    qtbot: QtBot, window: Window, folders: Folders, listed: None
) -> None:
    desk = opened(qtbot, window)
    press(qtbot, window, Key.Key_A)
    for text in ("R 10", "10.002 kohm", "0.05 %", "2026-03-01"):
        from PySide6.QtWidgets import QApplication

        qtbot.keyClicks(QApplication.focusWidget(), text)
        press(qtbot, window, Key.Key_Return)
    rest(qtbot, window)
    assert folders.reference_parts.read_text(encoding="utf-8").startswith(meter.R45_LIST)
    parts, errors = read_reference_parts(folders.reference_parts)
    assert ([p.name for p in parts], errors) == (["R45", "R7.5", "R 10"], ())
    assert desk.view.isVisible()
    assert desk.view.list.currentItem().text().startswith("R 10")
    assert desk.form.name_field.text() == ""


@pytest.mark.parametrize(
    ("field", "text", "says"),
    [
        ("value_field", "10.002", "has no unit"),
        ("uncertainty_field", "1 V", "voltage"),
        ("name_field", "r45", "in the list already"),
        ("date_field", "1 March", "Write it like 2026-01-10"),
        ("due_field", "2026-01-01", "before the date of the value"),
    ],
)
def test_what_is_wrong_is_told_at_its_field_and_nothing_typed_is_lost(
    qtbot: QtBot, window: Window, folders: Folders, listed: None, field: str, text: str, says: str
) -> None:
    desk = opened(qtbot, window)
    press(qtbot, window, Key.Key_A)
    form = desk.form
    form.name_field.setText("R10")
    form.value_field.setText("10.002 kΩ")
    form.uncertainty_field.setText("0.05 %")
    form.date_field.setText("2026-03-01")
    getattr(form, field).setText(text)
    press(qtbot, window, Key.Key_Return)
    rest(qtbot, window)
    assert form.isVisible() and says in form.fault.text()
    assert getattr(form, field).hasFocus() and getattr(form, field).text() == text
    assert folders.reference_parts.read_text(encoding="utf-8") == meter.R45_LIST
    press(qtbot, window, Key.Key_Escape)
    assert desk.view.isVisible()
    press(qtbot, window, Key.Key_A)
    assert getattr(form, field).text() == text


# --- around it ---------------------------------------------------------------------------------


def test_escape_goes_back_to_the_part(qtbot: QtBot, window: Window, listed: None) -> None:
    opened(qtbot, window)
    press(qtbot, window, Key.Key_Escape)
    assert window.bench.panels.shown() is None and window.bench.stage.reading.hasFocus()


@pytest.mark.parametrize("form", [False, True])
def test_no_two_buttons_share_a_key(qtbot: QtBot, window: Window, listed: None, form: bool) -> None:
    window.start_simulated()
    rest(qtbot, window)
    publish(qtbot, window, made.bench_outcome(check=made.judged_check(made.FAN_GOOD)))
    press(qtbot, window, Key.Key_H)
    opened(qtbot, window)
    if form:
        press(qtbot, window, Key.Key_A)
    keys = [b.key.toString() for b in window.findChildren(KeyButton) if b.isVisible()]
    assert sorted(k for k in keys if k) == sorted({k for k in keys if k})


def test_the_end_of_the_session_ends_it(qtbot: QtBot, window: Window, listed: None) -> None:
    opened(qtbot, window)
    window.controller.end_session()
    rest(qtbot, window)
    assert window.bench.panels.shown() is None


def test_nothing_of_it_is_imported_before_it_is_wanted() -> None:
    import subprocess
    import sys

    code = (
        "import sys, benchmeter.window.shell.window, benchmeter.window.pages.bench.bench_page;"
        "print([m for m in sys.modules if m.rpartition('.')[2] in ('meter_desk', 'meter_view',"
        " 'replacement_view', 'reference_form', 'control_chart_view', 'meter_plate')])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_a_story_that_ends_takes_no_desk_away(qtbot: QtBot, window: Window, listed: None) -> None:
    window.start_simulated()
    rest(qtbot, window)
    publish(qtbot, window, made.bench_outcome(check=made.judged_check(made.FAN_GOOD)))
    desk = opened(qtbot, window)
    window.controller.do_by_hand("leads fan")
    publish(qtbot, window, made.bench_outcome(at_s=30))
    assert window.bench.panels.shown() is desk and desk.view.list.hasFocus()
