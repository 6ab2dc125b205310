"""The palettes, computed: contrast, colour deficiencies, schema.

Sources: contrast and relative luminance: WCAG 2.2, definitions and success criteria 1.4.3, 1.4.6,
1.4.11. Colour deficiencies: Machado, Oliveira, Fernandes, "A Physiologically-based Model for
Simulation of Color Vision Deficiency", IEEE TVCG 15(6), 2009, severity 1.0 (matrices from memory;
that each row sums to 1, so that grey stays grey, is checked). Colour difference: CIEDE2000, with
pairs of Sharma, Wu, Dalal, "The CIEDE2000 Color-Difference Formula", 2005, table 1 (from memory).
"""

import itertools
import math

import msgspec
import numpy as np
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QLabel,
    QListWidget,
    QPushButton,
    QToolTip,
    QVBoxLayout,
)

from benchmeter.window.theme import palette as palettes
from benchmeter.window.theme.labels import label
from benchmeter.window.theme.palette import Palette, Theme, palette
from benchmeter.window.widgets.keys import KeyButton

pytestmark = pytest.mark.gui

MACHADO = {
    "normal vision": np.eye(3),
    "protanopia": np.array(
        [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]]
    ),
    "deuteranopia": np.array(
        [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]]
    ),
    "tritanopia": np.array(
        [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]]
    ),
}  # fmt: skip


def linear(colour):
    parts = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)]) / 255
    return np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)


def contrast(one, other):
    """WCAG 2.2: (L1 + 0.05) / (L2 + 0.05)."""
    dark, light = sorted(float(linear(c) @ (0.2126, 0.7152, 0.0722)) for c in (one, other))
    return (light + 0.05) / (dark + 0.05)


def lab(rgb):
    """CIE 1976 L*a*b* of linear sRGB, D65 (IEC 61966-2-1)."""
    to_xyz = np.array(
        [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    )
    ratio = to_xyz @ rgb / (0.9505, 1.0, 1.089)
    f = np.where(ratio > (6 / 29) ** 3, np.cbrt(ratio), ratio / (3 * (6 / 29) ** 2) + 4 / 29)
    return 116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])


def ciede2000(one, other):
    (l1, a1, b1), (l2, a2, b2) = one, other
    mean = (math.hypot(a1, b1) + math.hypot(a2, b2)) / 2
    g = 0.5 * (1 - math.sqrt(mean**7 / (mean**7 + 25**7)))
    a1, a2 = a1 * (1 + g), a2 * (1 + g)
    c1, c2 = math.hypot(a1, b1), math.hypot(a2, b2)
    h1, h2 = (math.degrees(math.atan2(b, a)) % 360 for a, b in ((a1, b1), (a2, b2)))
    grey = c1 * c2 == 0
    dh = 0 if grey else (h2 - h1 + 180) % 360 - 180
    total = h1 + h2
    if grey:
        h = total
    elif abs(h1 - h2) <= 180:
        h = total / 2
    else:
        h = (total + 360 if total < 360 else total - 360) / 2
    dl, dc = l2 - l1, c2 - c1
    dbig = 2 * math.sqrt(c1 * c2) * math.sin(math.radians(dh / 2))
    lightness, c = (l1 + l2) / 2, (c1 + c2) / 2
    t = (
        1
        - 0.17 * math.cos(math.radians(h - 30))
        + 0.24 * math.cos(math.radians(2 * h))
        + 0.32 * math.cos(math.radians(3 * h + 6))
        - 0.20 * math.cos(math.radians(4 * h - 63))
    )
    sl = 1 + 0.015 * (lightness - 50) ** 2 / math.sqrt(20 + (lightness - 50) ** 2)
    sc, sh = 1 + 0.045 * c, 1 + 0.015 * c * t
    turn = math.radians(60 * math.exp(-(((h - 275) / 25) ** 2)))
    rt = -2 * math.sqrt(c**7 / (c**7 + 25**7)) * math.sin(turn)
    return math.sqrt((dl / sl) ** 2 + (dc / sc) ** 2 + (dbig / sh) ** 2 + rt * dc / sc * dbig / sh)


def test_black_on_white_is_21_to_1():
    """WCAG 2.2, contrast ratio: from 1 to 21."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)  # from memory


@pytest.mark.parametrize(
    ("one", "other", "difference"),
    [
        ((50, 2.6772, -79.7751), (50, 0, -82.7485), 2.0425),
        ((50, 0, 0), (50, -1, 2), 2.3669),
        ((50, 2.5, 0), (73, 25, -18), 27.1492),
        ((2.0776, 0.0795, -1.1350), (0.9033, -0.0636, -0.5514), 0.9082),
    ],
)
def test_the_difference_formula_agrees_with_its_published_pairs(one, other, difference):
    assert ciede2000(one, other) == pytest.approx(difference, abs=5e-5)


@pytest.mark.parametrize("matrix", MACHADO.values(), ids=MACHADO)
def test_the_simulation_leaves_grey_grey(matrix):
    assert matrix @ np.ones(3) == pytest.approx(np.ones(3), abs=2e-6)


@pytest.mark.parametrize("name", palettes.NAMES)
@pytest.mark.parametrize("purpose", ["ink", "good", "caution", "bad", "undecided"])
@pytest.mark.parametrize("surface", ["ground", "panel"])
def test_readings_and_verdicts_stand_out_7_to_1(name, purpose, surface):
    """WCAG 2.2, 1.4.6 (enhanced)."""
    p = palette(name)
    assert contrast(getattr(p, purpose), getattr(p, surface)) >= 7


@pytest.mark.parametrize("name", palettes.NAMES)
@pytest.mark.parametrize(
    ("mark", "under"),
    [
        *itertools.product(("on_verdict",), ("good", "caution", "bad", "undecided")),
        *itertools.product(("ink",), ("control", "band", "forecast", "hold_off")),
        ("on_accent", "accent"),
    ],
)
def test_words_on_a_coloured_surface_stand_out_7_to_1(name, mark, under):
    p = palette(name)
    assert contrast(getattr(p, mark), getattr(p, under)) >= 7


@pytest.mark.parametrize("name", palettes.NAMES)
@pytest.mark.parametrize(
    ("mark", "under"),
    [
        *itertools.product(
            (
                "faint_ink",
                "edge",
                "accent",
                "focus",
                "series_1",
                "series_2",
                "series_3",
                "series_4",
            ),
            ("ground", "panel"),
        ),
        *itertools.product(("good", "caution", "bad", "undecided", "faint_ink"), ("band",)),
        *itertools.product(
            ("series_1", "series_2", "series_3", "series_4"), ("hold_off", "forecast")
        ),
        ("edge", "control"),
        ("faint_ink", "control"),
    ],
)
def test_everything_else_that_tells_something_stands_out_4_5_to_1(name, mark, under):
    """WCAG 2.2, 1.4.3; it asks no more than 3:1 of lines (1.4.11)."""
    p = palette(name)
    assert contrast(getattr(p, mark), getattr(p, under)) >= 4.5


@pytest.mark.parametrize("name", palettes.NAMES)
@pytest.mark.parametrize("vision", MACHADO)
def test_series_can_be_told_apart(name, vision):
    """At least 15, many times what is just noticeable (about 1 to 2, common practice)."""
    seen = [lab(np.clip(MACHADO[vision] @ linear(c), 0, 1)) for c in palette(name).series]
    assert min(ciede2000(a, b) for a, b in itertools.combinations(seen, 2)) >= 15


def test_a_broken_colour_is_named():
    good = msgspec.to_builtins(palette("day"))
    with pytest.raises(msgspec.ValidationError, match="ink"):
        msgspec.convert(good | {"ink": "darkish"}, Palette)


def test_what_is_pressed_is_12_mm_high_at_96_dpi(qtbot, qapp):
    """12 mm = 12 / 25.4 × 96 = 45.4 px."""
    least = 12 / 25.4 * 96
    for zoom in (1.0, 1.5, 2.0):
        look = palettes.apply(qapp, palette("day"), zoom)
        button = QPushButton("Take (Space)")
        qtbot.addWidget(button)
        assert button.sizeHint().height() >= least * zoom
        assert look.target >= least * zoom


def test_distances_lie_on_a_grid_of_4_pixels():
    look = Theme(palette("day"))
    assert look.gap % 4 == 0
    assert look.target % 4 == 0


def test_zoom_scales_type_and_is_kept_in_its_limits(qtbot, qapp):
    label = QLabel("44.10 µF")
    qtbot.addWidget(label)
    palettes.apply(qapp, palette("day"), 1.0)
    label.show()
    small = label.fontMetrics().height()
    look = palettes.apply(qapp, palette("night"), 3.0)
    assert look.zoom == 2.0
    assert look.giant.pixelSize() == 2 * Theme(palette("day")).giant.pixelSize()
    assert label.fontMetrics().height() == pytest.approx(2 * small, abs=2)
    palettes.apply(qapp, palette("day"), 1.0)


@pytest.mark.qt_log_ignore("propagateSizeHints", "raise")
def test_what_is_shown_before_and_after_a_change_looks_the_same(qtbot, qapp):
    palettes.apply(qapp, palette("day"), 1.0)
    before, hidden, after = _dialog(qtbot), _dialog(qtbot), _dialog(qtbot)
    before.show()
    hidden.show()
    hidden.hide()
    for name, zoom in (("night", 1.0), ("sunlight", 2.0), ("night", 1.5)):
        palettes.apply(qapp, palette(name), zoom)
    hidden.show()
    after.show()
    for dialog in (before, hidden, after):
        dialog.adjustSize()
    qtbot.wait(50)
    pictures = [dialog.grab().toImage() for dialog in (before, hidden, after)]
    assert pictures[0] == pictures[1] == pictures[2]
    for dialog in (before, hidden, after):
        popup = dialog.findChild(QComboBox).view()
        for widget in (popup, *dialog.findChildren(QLabel)[:1]):
            widget.ensurePolished()
            assert widget.fontInfo().pixelSize() == round(17 * 1.5)
        assert (
            popup.palette().color(popup.viewport().backgroundRole()).name()
            == palette("night").panel
        )
    QToolTip.showText(QPoint(5, 5), "a tip", before)
    tip = next(w for w in qapp.topLevelWidgets() if w.inherits("QTipLabel"))
    assert tip.palette().color(tip.backgroundRole()).name() == palette("night").panel
    QToolTip.hideText()
    palettes.apply(qapp, palette("day"), 1.0)


def _dialog(qtbot):
    dialog = QDialog()
    qtbot.addWidget(dialog)
    rows = QVBoxLayout(dialog)
    choice, lines = QComboBox(), QListWidget()
    choice.addItems(("°C", "°F"))
    lines.addItems(("a line", "another"))
    line = label("small", size="small", tone="caution")
    for widget in (
        QLabel("44.10 µF"),
        line,
        QPushButton("Take"),
        KeyButton("Take", "R"),
        choice,
        lines,
    ):
        widget.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        rows.addWidget(widget)
    return dialog


def test_both_fonts_are_ours_and_have_the_trades_signs(qapp):
    from PySide6.QtGui import QFontInfo, QFontMetricsF

    palettes.apply(qapp, palette("day"))
    look = palettes.current_theme()
    for font in (look.body, look.giant):
        assert QFontInfo(font).family() == font.family()
        metrics = QFontMetricsF(font)
        assert all(metrics.inFontUcs4(ord(sign)) for sign in "µΩΔτ±−×°≤≥–→←")
        assert len({metrics.horizontalAdvance(digit) for digit in "0123456789"}) == 1
