"""What is seen first: the verdict, the caution, what to do next, at any zoom."""

import pytest
from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from benchmeter.cooling.recovery import Phase
from benchmeter.session.acquisition.channel_state import ChannelStatus
from benchmeter.window.shell.window import Window
from tests.fakes import bench_states as made
from tests.fakes.window_acts import live, press, publish, rest
from tests.fakes.window_fakes import FakeEntrances

pytestmark = [pytest.mark.gui, pytest.mark.qt_log_ignore("propagateSizeHints")]

Key = Qt.Key


def _come_to_rest(qtbot: QtBot) -> None:
    for _ in range(10):
        QApplication.processEvents()
    qtbot.wait(50)


def _in_sight(window: Window, widget: QWidget, top: int) -> bool:
    """Whether the upper `top` px of the widget are within the window and not scrolled away."""
    if not widget.isVisible():
        return False
    place = QRect(widget.mapTo(window, QPoint(0, 0)), widget.size())
    place.setHeight(min(top, place.height()))
    area = window._scroll
    room = window.rect()
    if area.widget().isAncestorOf(widget):  # type: ignore[union-attr]
        room = QRect(area.mapTo(window, QPoint(0, 0)), area.viewport().size())
    return room.contains(place)


def test_the_verdict_takes_the_first_place_and_gives_it_back(qtbot: QtBot, window: Window) -> None:
    live(qtbot, window, made.bench_outcome(check=made.half_check()))
    bench = window.bench
    measuring = bench.stage.reading.digit_font().pixelSize()
    assert not bench.stage.answer.isVisible()
    publish(qtbot, window, made.bench_outcome(check=made.judged_check(made.FAN_BAD), at_s=21))
    _come_to_rest(qtbot)
    assert bench.stage.answer.isVisible() and not bench.stage.plate.isVisible()
    assert "Fail" in bench.stage.answer.accessibleDescription()
    assert bench.stage.answer.geometry().top() < bench.stage.reading.geometry().top()
    word = round(48 * bench.stage.answer.look.zoom)  # of the plate, at 100 %
    assert bench.stage.reading.digit_font().pixelSize() < word < measuring
    press(qtbot, window, Key.Key_N)
    assert bench.stage.form.isVisible() and not bench.stage.answer.isVisible()
    press(qtbot, window, Key.Key_Escape)
    assert bench.stage.answer.isVisible() and bench.stage.reading.hasFocus()


@pytest.mark.parametrize("zoom", [150, 175, 200])
def test_caution_next_step_and_verdict_are_in_sight_at_any_zoom(
    qtbot: QtBot, window: Window, zoom: int
) -> None:
    window.resize(1280, 800)
    window.controller.prefer(zoom=zoom)
    live(qtbot, window, made.bench_outcome(check=made.judged_check(made.FAN_CLOSE)))
    _come_to_rest(qtbot)
    assert _in_sight(window, window.next_line, 10_000)
    assert _in_sight(window, window.safety.caution, 10_000)
    line = 48 * zoom // 100
    assert _in_sight(
        window, window.bench.stage.answer, 4 * line
    )  # two of its word, two of its reason
    assert window.pulses.height() <= line
    window._scroll.verticalScrollBar().setValue(10_000)
    assert _in_sight(window, window.safety.caution, 10_000)


def test_the_settled_value_is_in_sight_at_200_percent(qtbot: QtBot, window: Window) -> None:
    window.resize(1280, 800)
    window.controller.prefer(zoom=200)
    live(qtbot, window, *made.unit_outcomes(Phase.SETTLED, 600))
    window.show_unit()
    _come_to_rest(qtbot)
    figure = window.place(1).figures["settled"]  # type: ignore[attr-defined]
    assert _in_sight(window, figure, 10_000) and "°F" in figure.text()


def test_where_one_types_is_in_sight_at_200_percent(qtbot: QtBot, window: Window) -> None:
    window.resize(1280, 800)
    window.controller.prefer(zoom=200)
    live(qtbot, window, made.bench_outcome(check=made.judged_check(made.FAN_BAD)))
    press(qtbot, window, Key.Key_N)
    _come_to_rest(qtbot)
    assert _in_sight(window, window.bench.stage.form.label_field, 10_000)


def test_in_a_replay_nothing_scrolls_and_nothing_is_to_be_done(
    qtbot: QtBot, window: Window
) -> None:
    window.resize(1280, 800)
    window.controller.start_replay("0192")
    rest(qtbot, window)
    publish(qtbot, window, made.bench_outcome(check=made.judged_check(made.FAN_CLOSE)))
    _come_to_rest(qtbot)
    assert window._scroll.verticalScrollBar().maximum() == 0
    assert window.next_line.text().startswith("Replay: judged")


@pytest.mark.parametrize("judged", [False, True])
def test_with_the_hands_unfolded_nothing_scrolls_at_1280_by_800(
    qtbot: QtBot, window: Window, judged: bool
) -> None:
    window.resize(1280, 800)
    window.start_simulated()
    rest(qtbot, window)
    check = made.judged_check(made.FAN_CLOSE) if judged else made.half_check()
    publish(qtbot, window, made.bench_outcome(check=check))
    press(qtbot, window, Key.Key_H)
    _come_to_rest(qtbot)
    assert window.hands.isVisible()
    assert window._scroll.verticalScrollBar().maximum() == 0


def test_one_line_names_the_worst_state(qtbot: QtBot, window: Window) -> None:
    window.resize(1280, 800)
    window.controller.prefer(zoom=200)
    live(qtbot, window, made.bench_outcome(ChannelStatus.LOST, made.half_check()))
    assert window.pulses._line()[1].startswith("Capacitance meter: lost")
    publish(qtbot, window, made.bench_outcome(ChannelStatus.SETTLED, at_s=30))
    assert window.pulses._line()[1] == "All 4 instruments send"


# --- the story of the simulated bench ----------------------------------------------------------


def test_while_the_story_plays_nothing_is_asked_for_and_h_is_no_letter(
    qtbot: QtBot, window: Window, services: FakeEntrances
) -> None:
    press(qtbot, window, Key.Key_B)
    rest(qtbot, window)
    publish(qtbot, window, made.bench_outcome(ChannelStatus.MOVING, uf=0.02))
    assert "story plays" in window.next_line.text()
    assert not window.bench.stage.form.isVisible()
    press(qtbot, window, Key.Key_H)
    assert window.hands.isVisible() and window.bench.stage.form.label_field.text() == ""
    publish(qtbot, window, made.bench_outcome(check=made.half_check(), at_s=21))
    assert window.next_line.text() == "The story plays: next the leads go on C and FAN"
    press(qtbot, window, Key.Key_3)
    assert services.hands is not None and not services.hands.story_plays()
    publish(qtbot, window, made.bench_outcome(check=made.half_check(), at_s=22))
    assert "Lift the leads" in window.next_line.text()


def test_who_takes_the_hands_is_led_to_a_check(
    qtbot: QtBot, window: Window, services: FakeEntrances
) -> None:
    press(qtbot, window, Key.Key_B)
    rest(qtbot, window)
    press(qtbot, window, Key.Key_H)
    press(qtbot, window, Key.Key_1)
    publish(qtbot, window, made.bench_outcome(ChannelStatus.MOVING, uf=0.02))
    assert window.next_line.text().startswith("Y takes")
    assert (
        window.bench.stage.form.isVisible() and not window.bench.stage.form.label_field.hasFocus()
    )
    press(qtbot, window, Key.Key_Y)
    press(qtbot, window, Key.Key_Return)
    sent = services.opened[0].sent
    assert [type(command).__name__ for command in sent] == ["BeginCheck"]
    assert sent[0].label == "40/6 µF ±5 % 440 V"  # type: ignore[union-attr]
    assert window.controller.preferences.labels == ()  # nothing simulated is kept


def test_of_on_and_off_one_key_does_both(
    qtbot: QtBot, window: Window, services: FakeEntrances
) -> None:
    press(qtbot, window, Key.Key_B)
    rest(qtbot, window)
    press(qtbot, window, Key.Key_H)
    control = Qt.KeyboardModifier.ControlModifier
    press(qtbot, window, Key.Key_1, control)
    press(qtbot, window, Key.Key_1, control)
    assert services.hands is not None and services.hands.done == ["unit on", "unit off"]


def test_each_story_has_its_key_and_b_plays_the_standard_one(
    qtbot: QtBot, window: Window, services: FakeEntrances
) -> None:
    steps = window.bench.first_steps
    qtbot.waitUntil(lambda: bool(steps.ways.story_buttons))  # asked for after the first paint
    assert [b.title() for b in steps.ways.story_buttons] == ["Short visit"]
    press(qtbot, window, Key.Key_1)
    rest(qtbot, window)
    assert services.scenario == "short-visit"
    window.controller.end_session()
    rest(qtbot, window)
    assert window.bench.stage.ways.isVisible()
    press(qtbot, window, Key.Key_B)
    rest(qtbot, window)
    assert services.scenario == "walk-in-cooler"


def test_a_replay_asks_for_no_label(qtbot: QtBot, window: Window) -> None:
    window.controller.start_replay("0192")
    rest(qtbot, window)
    publish(qtbot, window, made.bench_outcome(ChannelStatus.MOVING, uf=0.02))
    assert not window.bench.stage.form.isVisible() and window.bench.stage.side.isVisible()


def test_the_meters_own_words_are_one_key_away(qtbot: QtBot, window: Window) -> None:
    live(qtbot, window, made.bench_outcome(check=made.half_check()))
    assert window.bench.stage.reading._shown.raw == ""
    press(qtbot, window, Key.Key_I)
    assert window.bench.stage.reading._shown.raw == "39.2 µF"
    press(qtbot, window, Key.Key_I)
    assert window.bench.stage.reading._shown.raw == ""
