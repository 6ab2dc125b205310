"""The recovery plot: it shows what it is given, stands still, and follows keys and palette."""

import math
import subprocess
import sys
from dataclasses import replace

import numpy as np
import pytest
from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QAccessible, QColor, QImage

from benchmeter.cooling.recovery import Estimate, Phase, Recovery, RiseJudgement, StepFit
from benchmeter.window.plot.axes import ElapsedAxis, elapsed
from benchmeter.window.plot.recovery_plot import RecoveryPlot
from benchmeter.window.theme import palette as palettes

pytestmark = [
    pytest.mark.gui,
    # The plugin without a screen says so of every window that is shown.
    pytest.mark.qt_log_ignore("propagateSizeHints"),
]

S = 10**9
FIT = StepFit(
    initial=Estimate(308.15, 308.0, 308.3),
    final=Estimate(320.15, 319.15, 322.15),
    time_constant_s=Estimate(240.0, 220.0, 270.0),
    residual=0.1,
    count=300,
)


def recovery(now_s=600, start_s=260, fit=FIT):
    return Recovery(
        time_ns=now_s * S,
        phase=Phase.RISING,
        power_ns=80 * S,
        start_ns=start_s * S if start_s is not None else None,
        fit=fit,
        fit_failure=None,
        settled_k=fit.final if fit else None,
        time_left_s=Estimate(700.0, 600.0, 900.0),
        discharge_k=317.0,
        outdoor_k=308.15,
        rise_k=Estimate(12.0, 11.0, 14.0),
        judgement=RiseJudgement.NOT_YET,
    )


@pytest.fixture
def plot(qtbot, qapp):
    palettes.apply(qapp, palettes.palette("day"))
    made = RecoveryPlot()
    qtbot.addWidget(made)
    made.resize(900, 500)
    made.show()
    qapp.processEvents()
    return made


def fill(plot, until=600):
    times = np.arange(0.0, until, 0.5)
    plot.add_readings("discharge", times, 308.15 + times / 100)
    plot.add_readings("outdoor", times, np.full(len(times), 307.0))
    plot.tick()


def test_curves_hold_the_readings_in_the_persons_unit(plot):
    """308.15 K = 35 °C = 95 °F (definition of the scales)."""
    plot.add_readings("outdoor", np.array([0.0, 10.0]), np.array([308.15, 308.15]))
    plot.tick()
    assert plot._content.series["outdoor"].curve.getData()[1] == pytest.approx([95.0, 95.0])
    plot.set_temperature_unit("°C")
    assert plot._content.series["outdoor"].curve.getData()[1] == pytest.approx([35.0, 35.0])


def test_one_curve_item_a_channel_for_the_whole_session(plot):
    fill(plot)
    first = plot._content.series["discharge"].curve
    items = len(plot._plot.getPlotItem().items)
    for until in range(600, 700, 10):
        plot.add_readings("discharge", np.array([float(until)]), np.array([314.0]))
        plot.tick()
    assert plot._content.series["discharge"].curve is first
    assert len(plot._plot.getPlotItem().items) == items


def test_a_dense_line_covers_each_pixel_column_and_a_flat_one_is_as_thick_as_its_pen(plot, qapp):
    """A pen of 3 covers 3 pixel rows; none of the columns between is left out."""
    times = np.arange(0.0, 600, 0.05)
    plot.add_readings("outdoor", times, np.full(len(times), 307.0))
    for _ in range(3):
        plot.tick()
        qapp.processEvents()
    series = plot._content.series["outdoor"]
    assert series.curve.opts["connect"] == "pairs"
    series.symbols.hide()
    box = plot._box
    area = box.mapRectToScene(box.boundingRect()).toAlignedRect()
    picture = plot._plot.grab(area).toImage()
    colour = series.pen.color()
    rows = [
        sum(picture.pixelColor(x, y) == colour for y in range(picture.height()))
        for x in range(20, int(picture.width() / 1.1) - 20)
    ]
    assert set(rows) == {round(series.pen.widthF())}


def test_another_view_is_painted_once(plot, qapp):
    class Paints(QObject):
        count = 0

        def eventFilter(self, _watched, event):
            self.count += event.type() is QEvent.Type.Paint
            return False

    def there_and_back():
        for move in (plot.move_earlier, plot.move_later):
            move()
            for _ in range(3):
                qapp.processEvents()

    fill(plot)
    plot.zoom_in()
    there_and_back()  # the axes take their room from their numbers
    paints = Paints()
    plot._plot.viewport().installEventFilter(paints)
    there_and_back()
    assert paints.count == 2


def test_pens_are_opaque_and_solid_and_lines_are_segmented(plot):
    """Anything else costs up to seconds a frame (measured)."""
    fill(plot)
    for channel in plot._content.series.values():
        pen = channel.pen
        assert pen.color().alpha() == 255
        assert pen.style() is Qt.PenStyle.SolidLine
        assert pen.widthF() <= 4
        assert channel.curve.opts["segmentedLineMode"] == "on"


def test_a_gap_is_a_gap(plot):
    plot.add_readings("outdoor", np.array([0.0, 1.0]), np.array([308.0, 308.0]))
    plot.add_readings("outdoor", np.array([60.0, 61.0]), np.array([308.0, 308.0]))
    plot.add_gap("outdoor", 1.5, 60.0)
    plot.tick()
    x, y = plot._content.series["outdoor"].curve.getData()
    assert x[np.isnan(y)] == [1.5]


def test_a_gap_that_ends_before_it_begins_is_refused(plot):
    with pytest.raises(ValueError, match="gap"):
        plot.add_gap("outdoor", 10.0, 5.0)


def test_the_fit_follows_its_own_formula(plot):
    """T(t) = final + (initial - final)·exp(-(t - start)/τ), computed here by hand."""
    fill(plot)
    plot.show_recovery(recovery())
    plot.tick()
    x, y = plot._forecast.fit.getData()
    i = len(x) // 2
    kelvin = 320.15 + (308.15 - 320.15) * math.exp(-(x[i] - 260) / 240)
    assert y[i] == pytest.approx((kelvin - 273.15) * 1.8 + 32)


def test_the_forecast_opens_from_now_to_the_interval_and_narrows_with_it(plot):
    fill(plot)
    plot.show_recovery(recovery())
    plot.tick()
    (x, low), (_, high) = (curve.getData() for curve in plot._forecast.area.curves)
    assert x[0] == 600
    assert high[0] == pytest.approx(low[0])
    widths = high - low
    assert np.all(np.diff(widths) > 0)
    assert widths[-1] < 3.0 * 1.8  # 319.15 to 322.15 K, in °F
    narrower = StepFit(FIT.initial, Estimate(320.15, 319.9, 320.4), FIT.time_constant_s, 0.1, 400)
    plot.show_recovery(recovery(fit=narrower))
    plot.tick()
    (_, low2), (_, high2) = (curve.getData() for curve in plot._forecast.area.curves)
    assert (high2 - low2)[-1] < widths[-1]


def test_the_settled_value_stands_in_words_too(plot):
    """320.15 K = 47 °C = 116.6 °F."""
    fill(plot)
    plot.show_recovery(recovery())
    plot.tick()
    assert "settles at 116.6 °F" in plot.accessibleDescription()


def test_restart_delay_start_and_markers_are_marked(plot):
    fill(plot)
    plot.show_recovery(recovery())
    plot.mark(330, "fan blade cleared")
    plot.tick()
    words = [thing.toPlainText() for thing in plot._markers.things if hasattr(thing, "toPlainText")]
    assert words == ["Restart delay 3:00", "Start", "fan blade cleared"]


def test_without_a_fit_there_is_no_forecast(plot):
    fill(plot)
    plot.show_recovery(recovery())
    plot.tick()
    plot.show_recovery(recovery(fit=None))
    plot.tick()
    assert (
        len(plot._forecast.fit.getData()[0] if plot._forecast.fit.getData()[0] is not None else [])
        == 0
    )


class Paints(QObject):
    def __init__(self):
        super().__init__()
        self.count = 0

    def eventFilter(self, watched, event):
        self.count += event.type() == QEvent.Type.Paint
        return False


def test_a_tick_with_something_new_paints_once_and_one_without_not_at_all(plot, qapp):
    fill(plot)
    qapp.processEvents()
    paints = Paints()
    plot._plot.viewport().installEventFilter(paints)
    for i in range(20):
        plot.add_readings("discharge", np.array([600.0 + i / 10]), np.array([314.0]))
        plot.tick()
        qapp.processEvents()
    assert paints.count <= 21
    for _ in range(20):
        plot.tick()
        qapp.processEvents()
    assert paints.count <= 21


def test_the_view_stands_still_and_jumps_by_a_tenth(plot):
    seen = set()
    for second in range(0, 1200, 4):
        plot.add_readings("discharge", np.array([float(second)]), np.array([310.0]))
        plot.tick()
        low, high = plot.x_range
        assert low <= second <= high
        seen.add((low, high))
    assert len(seen) <= 2 + math.log(1200 / 120) / math.log(1.09)


def test_following_keeps_the_stretch_and_the_present(plot):
    fill(plot)
    plot.follow()
    plot.zoom_in()
    plot.tick()
    width = plot.x_range[1] - plot.x_range[0]
    for second in range(600, 900, 5):
        plot.add_readings("discharge", np.array([float(second)]), np.array([310.0]))
        plot.tick()
        low, high = plot.x_range
        assert low <= second <= high
        assert high - low == pytest.approx(width)


@pytest.mark.parametrize(
    ("key", "check"),
    [
        (Qt.Key.Key_Left, lambda a, b: b[0] < a[0]),
        (Qt.Key.Key_Right, lambda a, b: b[0] > a[0]),
        (Qt.Key.Key_Plus, lambda a, b: b[1] - b[0] < a[1] - a[0]),
        (Qt.Key.Key_Minus, lambda a, b: b[1] - b[0] > a[1] - a[0]),
    ],
)
def test_keys_move_and_zoom_and_home_shows_everything(plot, qtbot, key, check):
    fill(plot)
    whole = plot.x_range
    qtbot.keyClick(plot, key)
    assert check(whole, plot.x_range)
    qtbot.keyClick(plot, Qt.Key.Key_Home)
    assert plot.x_range[0] == 0
    assert plot.x_range[1] >= 599.5


def test_it_takes_the_keyboard_and_has_no_foreign_menu(plot):
    assert plot.focusPolicy() is Qt.FocusPolicy.StrongFocus
    assert not plot._box.menuEnabled()


def test_clear_forgets_everything(plot):
    fill(plot)
    plot.mark(10, "x")
    plot.show_recovery(recovery())
    plot.tick()
    plot.clear()
    assert not plot._content.series
    assert not plot._markers.things
    assert "No temperatures yet" in plot.accessibleDescription()
    fill(plot)


@pytest.mark.parametrize("name", palettes.NAMES)
def test_every_colour_comes_from_the_palette(plot, qapp, name, tmp_path):
    chosen = palettes.palette(name)
    fill(plot)
    plot.show_recovery(recovery())
    plot.set_look(palettes.Theme(chosen))
    plot.to_png(tmp_path / "plot.png", (900, 500))
    picture = QImage(str(tmp_path / "plot.png"))
    assert (picture.width(), picture.height()) == (900, 500)
    colours = {
        picture.pixelColor(x, y).name() for x in range(picture.width()) for y in range(0, 500, 3)
    }
    for purpose in ("panel", "series_1", "series_2", "forecast", "hold_off", "ink"):
        assert QColor(getattr(chosen, purpose)).name() in colours, purpose


def test_a_picture_can_be_made_without_showing_a_window(qtbot, qapp, tmp_path):
    palettes.apply(qapp, palettes.palette("day"))
    made = RecoveryPlot()
    qtbot.addWidget(made)
    fill(made)
    made.to_png(tmp_path / "plot.png", (640, 400))
    assert QImage(str(tmp_path / "plot.png")).width() == 640
    with pytest.raises(OSError, match="cannot write"):
        made.to_png(tmp_path / "none" / "plot.png", (640, 400))


@pytest.mark.parametrize(
    ("seconds", "words"),
    [(0, "0:00"), (65, "1:05"), (3600, "1:00:00"), (3725, "1:02:05"), (-30, "−0:30")],
)
def test_elapsed_time_is_read_as_minutes_and_hours(seconds, words):
    assert elapsed(seconds) == words


def test_ticks_stand_at_whole_minutes_and_do_not_touch(qapp):
    axis = ElapsedAxis()
    for span in (30, 600, 7200, 86_400):
        step = axis.step(0, span, 800)
        assert span / step * axis.label_width < 800
        assert step in (1, 2, 5, 10, 15, 30) or step % 60 == 0


def test_widgets_do_not_bring_the_plotting_library_along():
    code = (
        "import sys;"
        "import benchmeter.window.widgets.reading_view, benchmeter.window.widgets.tolerance_ruler,"
        "benchmeter.window.widgets.verdict_plate, benchmeter.window.widgets.pulse_strip,"
        "benchmeter.window.widgets.notice_bar, benchmeter.window.widgets.caution;"
        "heavy = {'pyqtgraph', 'numpy', 'scipy', 'pint', 'sqlalchemy'} & set(sys.modules);"
        "sys.exit(str(heavy) if heavy else 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_symbols_stand_on_readings(plot):
    """Also beside the end of a line, where the next round time has no reading of its own."""
    fill(plot, until=700)
    for series in plot._content.series.values():
        times = series.history.query(0, 700, 10_000)[0]
        x, y = series.symbols.getData()
        assert len(x) > 2
        assert set(x) <= set(times)
        values = np.interp(x, *series.history.query(0, 700, 10_000))
        assert y == pytest.approx(plot._scale.degrees(values))


def test_the_fit_lies_over_the_readings_and_leaves_their_edges_free(plot):
    fill(plot)
    plot.show_recovery(recovery())
    plot.tick()
    readings = plot._content.series["discharge"].curve
    assert plot._forecast.fit.zValue() > readings.zValue()
    assert plot._forecast.fit.opts["pen"].widthF() < readings.opts["pen"].widthF()


def test_the_plot_is_a_table_too(plot):
    """308.15 K at 0 s = 95.0 °F, outdoor 307 K = 92.9 °F (definition of the scales)."""
    fill(plot)
    plot.mark(200, "fan blade cleared")
    plot.tick()
    head, *rows = plot.table()
    assert head == ("Elapsed time", "Discharge air, °F", "Outdoor air, °F", "Marker")
    assert rows[0] == ("0:00", "95.0 °F", "92.9 °F", "")
    assert ("3:20", "98.6 °F", "92.9 °F", "fan blade cleared") in rows  # 310.15 K = 37 °C
    assert [r[0] for r in rows] == sorted((r[0] for r in rows), key=lambda t: (len(t), t))
    assert "3:20: fan blade cleared" in plot.accessibleDescription()


def test_a_screen_reader_is_given_the_table(plot):
    QAccessible.setActive(True)
    try:
        fill(plot)
        plot.mark(200, "fan blade cleared")
        plot.tick()
        assert "3:20, 98.6 °F, 92.9 °F, fan blade cleared" in plot.accessibleDescription()
    finally:
        QAccessible.setActive(False)


def test_another_scale_is_refused(plot):
    with pytest.raises(ValueError, match="°C or °F"):
        plot.set_temperature_unit("K")


def test_once_settled_nothing_is_foretold(plot):
    fill(plot)
    plot.show_recovery(replace(recovery(), phase=Phase.SETTLED))
    plot.tick()
    assert plot._forecast.band is None
    assert plot._forecast.fit.getData()[0][-1] == 600
    assert "settled at 116.6 °F" in plot.accessibleDescription()
    assert "expected" not in plot.accessibleDescription()
