"""The unit's plot is given every reading of the session once, and keeps it."""

import pytest
from pytestqt.qtbot import QtBot

from benchmeter.readings.events import Event, EventKind
from benchmeter.session.outcome import Outcome
from benchmeter.window.pages.unit_page import UnitPage
from benchmeter.window.shell.window import Window
from tests.fakes import bench_states as made
from tests.fakes.window_acts import live, publish, rest

pytestmark = [pytest.mark.gui, pytest.mark.qt_log_ignore("propagateSizeHints")]

S = made.SECOND


def _outcomes(first: int, last: int) -> list[Outcome]:
    """One reading of the discharge air a second."""
    return [
        Outcome(n * S, readings=(made.reading("discharge", n, 300.0 + n),))
        for n in range(first, last)
    ]


def _unit(window: Window) -> UnitPage:
    place = window.place(1)
    assert isinstance(place, UnitPage) and place.plot is not None
    return place


def _held(unit: UnitPage) -> list[float]:
    """The times that the plot holds."""
    assert unit.plot is not None
    series = unit.plot._content.series
    if "discharge" not in series:
        return []
    return list(series["discharge"].history.query(-1.0, 1e9, 10_000)[0])


def test_the_end_of_a_session_leaves_its_plot_as_it_is(qtbot: QtBot, window: Window) -> None:
    live(qtbot, window, *_outcomes(0, 5))
    unit = _unit(window)
    assert _held(unit) == [0, 1, 2, 3, 4]
    assert unit.plot is not None
    unit.plot.zoom_in()
    stretch = unit.plot.x_range
    publish(qtbot, window, *_outcomes(5, 8))
    window.controller.end_session()
    rest(qtbot, window)
    assert _held(unit) == [0, 1, 2, 3, 4, 5, 6, 7]
    assert unit.plot.x_range == stretch


def test_another_session_begins_the_plot_anew(qtbot: QtBot, window: Window) -> None:
    live(qtbot, window, *_outcomes(0, 5))
    window.controller.end_session()
    rest(qtbot, window)
    live(qtbot, window, *_outcomes(2, 4))
    assert _held(_unit(window)) == [2, 3]


def test_time_that_goes_back_begins_the_plot_anew(qtbot: QtBot, window: Window) -> None:
    live(qtbot, window, *_outcomes(0, 5))
    publish(qtbot, window, *_outcomes(1, 3))
    assert _held(_unit(window)) == [1, 2]


def test_a_plot_that_comes_late_is_given_what_it_missed(qtbot: QtBot, window: Window) -> None:
    live(qtbot, window)
    late = UnitPage(window.controller)
    qtbot.addWidget(late)
    window.controller.folded.disconnect(_unit(window)._folded)
    mark = Event(EventKind.MARK, 2 * S, "", "filter out")
    publish(qtbot, window, *_outcomes(0, 3), Outcome(2 * S, events=(mark,)))
    late.plot_ready()
    publish(qtbot, window, *_outcomes(3, 5))
    assert _held(late) == [0, 1, 2, 3, 4]
    assert late.plot is not None
    assert [marker.text for marker in late.plot._content.marks] == ["filter out"]
