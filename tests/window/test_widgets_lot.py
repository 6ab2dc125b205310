"""A carton on one screen: counts, names of the parts to set aside, pictures to scale."""

from decimal import Decimal

import numpy as np
import pytest
from PySide6.QtGui import QColor

from benchmeter.conformity.verdict import Measurement, Verdict
from benchmeter.quantities.quantity import Quantity
from benchmeter.scenes.lot_scene import LotReadings, lot_scene, readings_of_checks
from benchmeter.statistics.lot import (
    WORDS,
    MeasurementReadings,
    readings_of,
    statistics_of,
)
from benchmeter.window.pages.bench.lot_view import LotView
from benchmeter.window.theme import palette as palettes
from benchmeter.window.widgets.lot_histogram import LotHistogram, LotTrend
from benchmeter.words.presentation import PLAIN
from tests.fakes import bench_states as made

pytestmark = pytest.mark.gui


@pytest.fixture
def day(qapp):
    return palettes.apply(qapp, palettes.palette("day")).palette


@pytest.fixture
def view(qtbot, day):
    widget = LotView()
    qtbot.addWidget(widget)
    widget.resize(1040, 640)
    return widget


def show(view, *findings):
    checks = [made.judged_check(f, n, f"B-{n}") for n, f in enumerate(findings, 1)]
    view.show_scene(lot_scene(readings_of_checks(checks), PLAIN))


def test_the_counts_are_spoken_the_worst_first(view):
    show(view, made.FAN_GOOD, made.FAN_BAD, made.FAN_CLOSE, made.FAN_OPEN, made.FAN_UNREAD)
    assert view.answer.text() == "2 of 5 good, 2 bad, 1 not decided"
    spoken = view.counts.accessibleDescription()
    assert spoken == "1 open, 1 fail, 1 no reading, 1 conditional pass, 1 pass"


def test_as_many_sections_are_shown_as_there_are(view):
    show(view, made.FAN_GOOD, made.FAN_GOOD)
    assert [rows.isHidden() for rows in view._sections] == [False] * 2
    show(view)
    assert [rows.isHidden() for rows in view._sections] == [True] * 2
    assert view.counts.isHidden() and view.title.isHidden()


def test_ten_thousand_parts_are_drawn(view):
    values = np.round(np.random.default_rng(2).normal(40, 0.5, 10_000), 2) * 1e-6
    codes = np.full(10_000, WORDS.index(Verdict.PASS), np.uint8)
    section = MeasurementReadings(made.HERM, values, codes, Decimal("1e-8"))
    view.show_scene(lot_scene(LotReadings("a carton", (section,), codes), PLAIN))
    assert view.answer.text() == "10000 of 10000 good"
    view.grab()


# --- pictures ----------------------------------------------------------------------------------


def statistics(section, *values, words=None):
    codes = np.zeros(len(values), np.uint8)
    return statistics_of(MeasurementReadings(section, np.array(values, float), codes, None))


@pytest.fixture
def histogram(qtbot, day):
    widget = LotHistogram()
    qtbot.addWidget(widget)
    widget.resize(520, widget.heightForWidth(520))
    return widget


def test_the_histogram_is_to_scale(histogram, day):
    """38 to 42 µF in ten bins: the readings of the third are between 38.8 and 39.2 µF."""
    histogram.show_section(statistics(made.HERM, 39e-6, 39e-6, 39.1e-6))
    line, picture = histogram.line(), histogram.grab().toImage()
    assert histogram.x_of(38e-6) == pytest.approx(line.left())
    assert histogram.x_of(42e-6) == pytest.approx(line.right())
    bar = QColor(day.edge).rgb()
    y = int(line.center().y())
    inked = [x for x in range(picture.width()) if picture.pixel(x, y) == bar]
    assert inked[0] == pytest.approx(histogram.x_of(38.8e-6), abs=3)
    assert inked[-1] == pytest.approx(histogram.x_of(39.2e-6), abs=3)


def test_what_is_outside_stands_beyond_its_limit(histogram, day):
    histogram.show_section(statistics(made.HERM, 37e-6, 40.1e-6))
    picture, line = histogram.grab().toImage(), histogram.line()
    bad = QColor(day.bad).rgb()
    inked = {
        x
        for x in range(picture.width())
        for y in range(int(line.top()), int(line.bottom()))
        if picture.pixel(x, y) == bad
    }
    assert inked and max(inked) < line.left()
    assert "1 of 2" in histogram.accessibleDescription()


@pytest.mark.parametrize(("low", "high"), [(None, "5"), ("1", None), (None, None), ("1", "5")])
def test_every_kind_of_limits_can_be_drawn(qtbot, histogram, low, high):
    limits = (None if text is None else Decimal(text) for text in (low, high))
    section = Measurement("coil", None, *limits, Quantity.RESISTANCE, "Ω")
    trend = LotTrend()
    qtbot.addWidget(trend)
    for values in ([], [2.0], [2.0] * 9, [2.0, np.nan, 7.0], list(np.linspace(0, 9, 1000))):
        histogram.show_section(statistics(section, *values))
        trend.show_section(section, np.array(values, float))
        histogram.grab()
        trend.grab()


def test_a_trend_shows_where_a_reading_was_outside(qtbot, day):
    """One of 2,000, the 1,500th: three quarters along the line."""
    trend = LotTrend()
    qtbot.addWidget(trend)
    trend.resize(516, trend.heightForWidth(516))
    values = np.full(2000, 40e-6)
    values[1500] = 37.5e-6
    trend.show_section(made.HERM, values)
    picture, bad = trend.grab().toImage(), QColor(day.bad).rgb()
    inked = [x for x in range(516) for y in range(picture.height()) if picture.pixel(x, y) == bad]
    assert np.mean(inked) == pytest.approx(8 + 500 * 0.75, abs=3)


def test_the_counts_of_arrays_are_those_of_the_checks(view):
    findings = [made.judged_check(f).verdict.sections[1] for f in (made.FAN_GOOD, made.FAN_BAD)]
    assert statistics_of(readings_of(made.FAN, findings)).outside_count == 1
