"""The picture of a session, drawn without a window."""

from dataclasses import replace

import pytest
from PySide6.QtGui import QColor, QImage

from benchmeter.window.headless import drawing, save_picture
from benchmeter.window.theme import palette as palettes
from benchmeter.words.presentation import Presentation
from tests.fakes.visits import channels, check, mark, record

pytestmark = [pytest.mark.gui, pytest.mark.qt_log_ignore("propagateSizeHints")]


def picture(tmp_path, made, **options):
    with drawing():
        save_picture(made, tmp_path / "a.png", Presentation(**options))
    return QImage(str(tmp_path / "a.png"))


def test_it_has_a_margin_on_each_side_and_is_opaque(qapp, tmp_path):
    """Eight pixels at the least, twice that on paper."""
    made = record(check(), events=[mark("The lid of the old part is domed.")])
    image = picture(tmp_path, made, temperature_unit="°F")
    assert not image.hasAlphaChannel()
    paper = QColor(palettes.palette("day").panel).rgb()
    width, height = image.width(), image.height()
    for x in range(0, width, 3):
        assert all(image.pixel(x, y) == paper for y in (*range(16), *range(height - 16, height)))
    for y in range(0, height, 3):
        assert all(image.pixel(x, y) == paper for x in (*range(16), *range(width - 16, width)))


def test_it_follows_the_unit(qapp, tmp_path):
    celsius = picture(tmp_path, record(check()), temperature_unit="°C")
    assert celsius != picture(tmp_path, record(check()), temperature_unit="°F")
    assert celsius != picture(tmp_path, record(check()), temperature_unit="°C", decimal_sign=",")
    with pytest.raises(ValueError, match="°C or °F"):
        picture(tmp_path, record(check()), temperature_unit="K")


def test_it_is_the_same_at_night(qapp, tmp_path):
    """A page is white whatever the window looks like, and its letters as large at any zoom."""
    day = picture(tmp_path, record(check()), temperature_unit="°C")
    palettes.apply(qapp, palettes.palette("night"), 2.0)
    try:
        night = picture(tmp_path, record(check()), temperature_unit="°C")
    finally:
        palettes.apply(qapp, palettes.palette("day"))
    assert (night.width(), night.height()) == (day.width(), day.height())
    assert night.pixel(2, 2) == day.pixel(2, 2)


def test_a_session_without_a_fit_has_a_picture_too(qapp, tmp_path):
    made = replace(record(recovery=None), channels=channels(outdoor=False))
    assert picture(tmp_path, made, temperature_unit="°C").width() > 0
