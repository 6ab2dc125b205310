"""The control chart and the plate of the meter, as they are painted and spoken."""

from collections.abc import Sequence
from datetime import date

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QImage
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from benchmeter.checking.meter_history import ReferenceHistory
from benchmeter.conformity.reference_part import MeterVerdict
from benchmeter.conformity.verdict import Verdict
from benchmeter.scenes.meter_scene import METER_TONE, meter_icon
from benchmeter.window.theme import palette
from benchmeter.window.theme.icons import paint_icon, verdict_icon
from benchmeter.window.theme.palette import current_theme
from benchmeter.window.widgets.control_chart_view import ControlChartView
from benchmeter.window.widgets.meter_plate import meter_plate_text
from benchmeter.window.widgets.tolerance_ruler import ToleranceRuler
from benchmeter.words.presentation import Presentation
from tests.fakes import meter_states as meter

pytestmark = [pytest.mark.gui, pytest.mark.qt_log_ignore("propagateSizeHints")]


def history(shown: Sequence[str]) -> ReferenceHistory:
    (found,) = meter.record(shown).histories
    return found


@pytest.fixture(params=palette.NAMES)
def chart(qtbot: QtBot, request: pytest.FixtureRequest) -> ControlChartView:
    app = QApplication.instance()
    assert isinstance(app, QApplication)
    palette.apply(app, palette.palette(request.param))
    made = ControlChartView()
    qtbot.addWidget(made)
    made.resize(620, made.heightForWidth(620))
    return made


def colour_at(chart: ControlChartView, at: QPointF) -> QColor:
    return chart.grab().toImage().pixelColor(at.toPoint())


def test_points_stand_in_the_order_of_time_and_higher_the_more_the_meter_reads(
    chart: ControlChartView,
) -> None:
    chart.show_history(history(("45.02", "45.05", "45.01")))
    first, second, third = (chart.place(number) for number in range(3))
    assert first.x() < second.x() < third.x()
    assert second.y() < first.y() < third.y()


def test_a_point_beyond_the_limits_is_told_by_its_shape(chart: ControlChartView) -> None:
    """A square has corners where a disc has none; JUMPED has its odd reading at the 8th place."""
    found = history(meter.JUMPED)
    assert [p.out_of_control for p in found.chart.points].index(True) == 7
    chart.show_history(found)
    corner = QPointF(4, 4)
    assert colour_at(chart, chart.place(7) + corner) == current_theme().colour("bad")
    assert colour_at(chart, chart.place(2)) == current_theme().colour("ink")
    assert colour_at(chart, chart.place(2) + corner) != current_theme().colour("ink")


def test_it_is_spoken_reading_by_reading(chart: ControlChartView) -> None:
    chart.show_history(history(meter.JUMPED))
    words = chart.accessibleDescription()
    assert words.count("µF") >= len(meter.JUMPED)
    assert "+0.320 µF, beyond the limits" in words and "after a jump" in words


@pytest.mark.parametrize("shown", [("45.02",), ("45.00",) * 9, ("45.00", "45.00"), meter.STEADY])
@pytest.mark.parametrize("width", [240, 620, 1800])
def test_every_point_and_every_word_stays_inside(
    chart: ControlChartView, shown: Sequence[str], width: int
) -> None:
    chart.resize(width, chart.heightForWidth(width))
    chart.show_history(history(shown))
    area = chart.plot()
    assert all(area.contains(chart.place(number)) for number in range(len(shown)))
    assert area.right() < width and area.bottom() < chart.height()
    assert not chart.grab().isNull()


def test_a_bias_far_from_zero_does_not_run_the_points_together(chart: ControlChartView) -> None:
    """Its least and greatest reading are 0.03 µF apart, and more than a fifth of the height."""
    chart.show_history(history(meter.STEADY))
    heights = [chart.place(number).y() for number in range(len(meter.STEADY))]
    assert max(heights) - min(heights) > 0.2 * chart.plot().height()


def test_nothing_is_an_empty_chart(chart: ControlChartView) -> None:
    chart.show_history(None)
    assert chart.accessibleDescription() == ""
    assert not chart.grab().isNull()


# --- the plate ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("shown", "accuracy", "word"),
    [
        ("45.05 uF", meter.ACCURACY, "Meter agrees"),
        ("45.50 uF", meter.ACCURACY, "Meter differs"),
        ("45.50 uF", "", "Cannot tell"),
        ("none", meter.ACCURACY, "No reading"),
    ],
)
def test_the_plate_says_what_the_reading_means_for_the_meter(
    shown: str, accuracy: str, word: str
) -> None:
    """CALC: U of 45.50 ± (0.5 % + 0.02) is 0.2858, with 0.05 of the reference 0.290 µF."""
    text = meter_plate_text(meter.reference_check(shown, accuracy=accuracy), meter.TODAY)
    assert text.word == word
    if shown != "none":
        assert "R45 is 45 µF" in text.sentence
        assert any("certificate 4711" in line for line in text.numbers)


def test_an_overdue_value_is_told_today_and_not_in_a_replay() -> None:
    check = meter.reference_check("45.05 uF")
    late = date(2027, 2, 1)
    assert any("ran out on 2027-01-10" in line for line in meter_plate_text(check, late).numbers)
    assert not any("ran out" in line for line in meter_plate_text(check, date.min).numbers)


def test_numbers_of_the_plate_have_the_persons_decimal_sign() -> None:
    text = meter_plate_text(
        meter.reference_check("45.50 uF"), meter.TODAY, Presentation(decimal_sign=",")
    )
    assert "45,50 µF" in text.sentence and "." not in text.sentence.replace(". ", "")[:-1]
    assert any("0,05 µF" in line for line in text.numbers)


def test_no_verdict_on_a_meter_looks_like_one_on_a_part(qtbot: QtBot) -> None:
    def drawn(name: str) -> bytes:
        image = QImage(48, 48, QImage.Format.Format_ARGB32)
        image.fill(Qt.GlobalColor.white)
        from PySide6.QtCore import QRectF
        from PySide6.QtGui import QPainter

        painter = QPainter(image)
        paint_icon(painter, name, QRectF(0, 0, 48, 48), QColor("black"))
        painter.end()
        return bytes(image.constBits())

    meters = [drawn(meter_icon(word)) for word in MeterVerdict]
    parts = [drawn(verdict_icon(word)) for word in Verdict]
    assert len(set(meters)) == len(meters) and not set(meters) & set(parts)
    assert set(METER_TONE) == set(MeterVerdict)


# --- the ruler ---------------------------------------------------------------------------------


def test_the_ruler_of_a_known_part_shows_its_value_and_the_reading_beside_it(qtbot: QtBot) -> None:
    ruler = ToleranceRuler(known=True)
    qtbot.addWidget(ruler)
    ruler.resize(600, 180)
    (section,) = meter.reference_check("45.50 uF").sections
    ruler.show_section(section)
    assert ruler.line().left() < ruler.x_of(45e-6) < ruler.x_of(45.5e-6) < ruler.line().right()
    assert "known: 45 µF" in ruler.accessibleDescription()
