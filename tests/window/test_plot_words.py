"""The words of markers: none meets another, none is cut off, none leaves the plot."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtGui import QFontMetricsF

from benchmeter.window.plot.plot_words import place_words
from benchmeter.window.plot.recovery_plot import RecoveryPlot
from benchmeter.window.theme import palette as palettes

pytestmark = [pytest.mark.gui, pytest.mark.qt_log_ignore("propagateSizeHints")]


def measure(text):
    return 8.0 * len(text) + 8


def shorten(text, width):
    """Eight pixels a letter, the last one an ellipsis."""
    if measure(text) <= width:
        return text
    letters = int((width - 8) // 8) - 1
    return f"{text[:letters]}…" if letters > 0 else "…"


@given(
    st.lists(st.tuples(st.floats(0, 900), st.text("ab ", min_size=1, max_size=60)), max_size=25),
    st.integers(1, 6),
)
def test_words_never_meet_and_never_leave_the_plot(words, rows):
    words = sorted(words)
    placed = place_words(words, 900.0, rows, measure, shorten)
    assert [w.line for w in placed] == [line for line, _ in words]
    shown = [w for w in placed if w.text]
    for word in shown:
        assert 0 <= word.row < rows
        assert word.left >= 0
        assert word.right <= 900
        assert measure(word.text) <= word.right - word.left + 1e-9
    for i, one in enumerate(shown):
        for other in shown[i + 1 :]:
            assert one.row != other.row or one.right <= other.left or other.right <= one.left


def test_with_room_for_all_none_is_shortened_and_no_line_crosses_a_word():
    words = [(30.0, "the lid is domed"), (60.0, "replacement 1 goes back"), (90.0, "power")]
    placed = place_words(words, 900.0, 5, measure, shorten)
    assert [w.text for w in placed] == [text for _, text in words]
    assert [w.row for w in placed] == [0, 1, 2]


def test_at_the_right_edge_a_word_stands_left_of_its_line():
    (word,) = place_words([(880.0, "fan blade cleared")], 900.0, 3, measure, shorten)
    assert word.right == 880.0


def test_a_word_is_shortened_where_the_next_of_its_row_begins():
    first, second = place_words([(0.0, "a" * 30), (100.0, "b")], 900.0, 1, measure, shorten)
    assert first.text.endswith("…")
    assert len(first.text) > 5
    assert first.right <= second.left


MARKS = (
    (30, "The lid of the old part is domed."),
    (78, "Replacement 1 goes back to the counter."),
    (180, "Replacement 2 is in: C, HERM and FAN wired as before."),
    (205, "Power"),
    (454, "Start"),
    (1480, "The customer is shown the readings at the unit."),
)


@pytest.mark.parametrize("zoom", [1.0, 2.0])
def test_in_the_plot_no_word_overlaps_another(qtbot, qapp, zoom):
    palettes.apply(qapp, palettes.palette("day"), zoom)
    plot = RecoveryPlot()
    qtbot.addWidget(plot)
    plot.resize(int(900 * zoom), int(500 * zoom))
    plot.show()
    times = np.arange(0.0, 1500.0)
    plot.add_readings("discharge", times, 300 + times / 100)
    for at, text in MARKS:
        plot.mark(at, text)
    for _ in range(3):
        qapp.processEvents()
        plot._redraw()
    shown = [t for t in plot._markers.things if hasattr(t, "toPlainText")]
    rects = [t.mapRectToScene(t.boundingRect()) for t in shown]
    area = plot._box.sceneBoundingRect()
    assert len(shown) == len(MARKS)
    for i, rect in enumerate(rects):
        assert area.adjusted(-1, -1, 1, 1).contains(rect)
        for other in rects[i + 1 :]:
            both = rect.intersected(other)
            assert both.width() < 1 or both.height() < 1
    for text in (t.toPlainText() for t in shown):
        assert QFontMetricsF(plot._look.body).horizontalAdvance(text) < area.width()
    for _, text in MARKS:
        assert text in plot.accessibleDescription()
    palettes.apply(qapp, palettes.palette("day"))
