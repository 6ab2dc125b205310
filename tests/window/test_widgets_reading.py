"""The reading view: digits that do not jump, states in words, nothing old in full colour."""

import itertools

import pytest
from PySide6.QtGui import QColor

from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.status import Status
from benchmeter.session.acquisition.channel_state import ChannelState, ChannelStatus
from benchmeter.window.theme import palette as palettes
from benchmeter.window.widgets.reading_view import ReadingView
from benchmeter.words.presentation import Presentation
from tests.fakes.readings import reading_in_si

pytestmark = pytest.mark.gui

S = 10**9
STATUS = {
    ChannelStatus.OVERLOAD: Status.OVERLOAD,
    ChannelStatus.WRONG_FUNCTION: Status.WRONG_FUNCTION,
    ChannelStatus.NO_CONTACT: Status.NO_CONTACT,
    ChannelStatus.NO_VALUE: Status.NO_VALUE,
    ChannelStatus.SUSPECT: Status.SUSPECT,
}


def pulse(state=ChannelStatus.SETTLED, value=44.1e-6, text="44.10 µF", resolution=1e-8, **more):
    status = STATUS.get(state, Status.OK)
    reading = reading_in_si(
        "capacitor", 10 * S, value if status.has_value else None, status, resolution, text
    )
    return ChannelState("capacitor", state, 8 * S, reading, **more)


@pytest.fixture
def view(qtbot, qapp):
    palettes.apply(qapp, palettes.palette("day"))
    made = ReadingView()
    qtbot.addWidget(made)
    made.resize(620, 220)
    return made


def inked(view, colour):
    """Whether any pixel of the digits has that colour."""
    picture = view.grab().toImage()
    bottom = int(view.digit_cells()[0].bottom())
    wanted = QColor(colour).rgb()
    return any(
        picture.pixel(x, y) == wanted
        for x in range(0, int(view.digit_cells()[-1].right()), 2)
        for y in range(0, min(bottom, picture.height()), 2)
    )


def test_digit_cells_stay_where_they_are_when_the_value_changes(view):
    seen = []
    for value, text in ((44.1e-6, "44.10 µF"), (9.98e-6, "9.98 µF"), (1.11e-6, "1.11 µF")):
        view.show_pulse(pulse(value=value, text=text), Quantity.CAPACITANCE, 11 * S)
        seen.append(view.digit_cells())
    view.show_pulse(pulse(ChannelStatus.OVERLOAD), Quantity.CAPACITANCE, 11 * S)
    assert all(cells == seen[0] for cells in [*seen, view.digit_cells()])


def test_the_same_digit_is_drawn_at_the_same_pixels(view):
    """44.10 and 44.17: all but the last cell is equal, pixel by pixel (edges within a shade)."""
    pictures = []
    for value, text in ((44.1e-6, "44.10 µF"), (44.17e-6, "44.17 µF")):
        view.show_pulse(pulse(value=value, text=text), Quantity.CAPACITANCE, 11 * S)
        pictures.append(view.grab().toImage())
    last = int(view.digit_cells()[-1].left())
    height = int(view.digit_cells()[0].bottom())
    first, second = (p.copy(0, 0, last, height) for p in pictures)
    assert all(
        abs(first.pixelColor(x, y).lightness() - second.pixelColor(x, y).lightness()) < 20
        for x in range(last)
        for y in range(height)
    )
    assert pictures[0].copy(last, 0, 60, height) != pictures[1].copy(last, 0, 60, height)


def test_digits_fit_into_their_cells_at_any_width(view):
    for width in (300, 620, 1400):
        view.resize(width, 300)
        cells = view.digit_cells()
        assert cells[-1].right() < width
        assert all(a.right() <= b.left() + 0.01 for a, b in itertools.pairwise(cells))


@pytest.mark.parametrize("palette", palettes.NAMES)
@pytest.mark.parametrize("state", [ChannelStatus.STALE, ChannelStatus.LOST])
def test_an_old_value_is_never_in_full_colour(view, qapp, palette, state):
    chosen = palettes.palette(palette)
    palettes.apply(qapp, chosen)
    view.show_pulse(pulse(ChannelStatus.SETTLED), Quantity.CAPACITANCE, 12 * S)
    assert inked(view, chosen.ink)
    view.show_pulse(pulse(state), Quantity.CAPACITANCE, 12 * S)
    assert not inked(view, chosen.ink)
    assert inked(view, chosen.faint_ink)


def test_the_raw_indication_is_one_switch_away(view):
    before = view.heightForWidth(620)
    view.show_pulse(pulse(text="+4.41000E-05"), Quantity.CAPACITANCE, 11 * S)
    view.show_raw(True)
    assert view.heightForWidth(620) > before


def test_the_persons_decimal_sign_is_used(view, qapp):
    palettes.apply(qapp, palettes.palette("day"), 1.0, Presentation(decimal_sign=","))
    view.show_pulse(pulse(), Quantity.CAPACITANCE, 11 * S)
    assert view.accessibleDescription().startswith("44,10 µF")
    palettes.apply(qapp, palettes.palette("day"))
