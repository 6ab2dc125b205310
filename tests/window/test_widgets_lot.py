"""A carton on one screen: counts, names of the parts to set aside, pictures to scale."""

from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest
from PySide6.QtGui import QColor

from benchmeter.conformity.verdict import Measurement, Reason, Verdict
from benchmeter.quantities.quantity import Quantity
from benchmeter.statistics.lot import (
    WORDS,
    MeasurementReadings,
    readings_of,
    statistics_of,
)
from benchmeter.window.pages.bench.lot_view import LotReadings, LotView, readings_of_checks
from benchmeter.window.theme import palette as palettes
from benchmeter.window.widgets.lot_histogram import LotHistogram, LotTrend
from benchmeter.words.presentation import Presentation
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


def carton(*findings):
    return [made.judged_check(f, n, f"B-{n}") for n, f in enumerate(findings, 1)]


def test_an_empty_carton_teaches_what_to_do(view):
    view.show_lot([])
    assert view.answer.text() == "No carton yet"
    assert "Name the carton" in view.next_words()
    assert view.counts.isHidden()


def test_a_carton_is_counted_and_its_bad_parts_are_named(view):
    view.show_lot(
        carton(made.FAN_GOOD, made.FAN_BAD, made.FAN_CLOSE, made.FAN_OPEN, made.FAN_UNREAD)
    )
    assert view.answer.text() == "2 of 5 good, 2 bad, 1 not decided"
    spoken = view.counts.accessibleDescription()
    assert spoken == "1 open, 1 fail, 1 no reading, 1 conditional pass, 1 pass"
    assert view.next_words().startswith("Set aside: B-2, B-4.")
    assert "B-5" in view.next_words()


def test_a_good_carton_leaves_nothing_to_set_aside(view):
    view.show_lot(carton(made.FAN_GOOD, made.FAN_CLOSE))
    assert view.answer.text() == "2 of 2 good"
    assert view.next_words() == "Nothing to set aside."


def test_a_part_that_is_not_finished_is_told_and_not_counted(view):
    view.show_lot([*carton(made.FAN_GOOD), made.half_check(2)], "Carton 7")
    assert view.answer.text() == "1 of 1 good"
    assert view.title.text() == "Carton 7; 1 not finished"


def test_more_parts_than_can_be_named_are_counted(view):
    view.show_lot(carton(*[made.FAN_BAD] * 13))
    assert view.next_words().endswith("B-10 and 3 more.")


def test_few_parts_are_too_few_to_say_more(view):
    view.show_lot(carton(*[made.FAN_GOOD] * 5))
    assert "too small to say anything else: 8 readings are needed" in view._sections[1].facts.text()


def test_parts_of_two_labels_have_sections_of_their_own(view):
    other = replace(made.FAN, rated_si=Decimal("5e-6"), low_si=Decimal("4.7e-6"))
    checks = carton(made.FAN_GOOD, made.FAN_GOOD)
    odd = made.judged_check(made.finding(other, "5.00", Verdict.PASS, Reason.INSIDE), 3)
    lot = readings_of_checks([*checks, odd])
    assert [len(s.values_si) for s in lot.sections] == [3, 2, 1]
    view.show_readings(lot)
    assert [rows.isHidden() for rows in view._sections] == [False] * 3
    view.show_readings(None)
    assert [rows.isHidden() for rows in view._sections] == [True] * 3


def test_ten_thousand_parts_stand_in_words_as_in_the_command(view):
    chance = np.random.default_rng(2)
    values = np.round(chance.normal(40, 0.5, 10_000), 2) * 1e-6
    codes = np.full(10_000, WORDS.index(Verdict.PASS), np.uint8)
    section = MeasurementReadings(made.HERM, values, codes, Decimal("1e-8"))
    view.show_readings(LotReadings("a carton", (section,), codes))
    assert view.answer.text() == "10000 of 10000 good"
    facts = view._sections[0].facts.text()
    for words in ("outside the limits: ", "mean ", "from rated ", "Cp ", "no trend seen"):
        assert words in facts
    view.grab()


def test_the_persons_decimal_sign_is_used_and_the_minus_is_one(qapp, view):
    palettes.apply(qapp, palettes.palette("day"), 1.0, Presentation(decimal_sign=","))
    values = np.array([38.5e-6 + i * 1e-8 for i in range(30)])
    section = MeasurementReadings(made.HERM, values, np.zeros(30, np.uint8), None)
    view.show_readings(LotReadings("a carton", (section,), section.codes))
    facts = view._sections[0].facts.text()
    assert "from rated \u22121,3" in facts  # 38.5 + 0.145 - 40
    assert "." not in facts
    palettes.apply(qapp, palettes.palette("day"))


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
    findings = [s.verdict.sections[1] for s in carton(made.FAN_GOOD, made.FAN_BAD)]
    assert statistics_of(readings_of(made.FAN, findings)).outside_count == 1
