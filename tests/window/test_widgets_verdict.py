"""Ruler and plate: to scale, and each verdict with its own word and shape."""

import itertools
from dataclasses import replace

import pytest
from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QColor, QImage, QPainter

from benchmeter.checking.part_check import Step
from benchmeter.conformity.verdict import (
    Measurement,
    Reason,
    Verdict,
)
from benchmeter.parts.by_label import kind_by_label
from benchmeter.parts.conclusion import (
    Conclusion,
)
from benchmeter.parts.part_kind import AlikeRule, PartKind
from benchmeter.parts.rated_part import CapacitorKind
from benchmeter.quantities.quantity import Quantity
from benchmeter.window.theme import palette as palettes
from benchmeter.window.theme.icons import paint_icon, verdict_icon
from benchmeter.window.widgets.plate_text import plate_text
from benchmeter.window.widgets.tolerance_ruler import ToleranceRuler, scale_of
from benchmeter.window.widgets.verdict_plate import VerdictPlate
from benchmeter.words.presentation import Presentation
from tests.fakes.capacitor_findings import FAN, HERM, START, D, finding, judged, part, section_check
from tests.fakes.concluded import CONCLUDED

pytestmark = pytest.mark.gui

BY_LABEL = kind_by_label(CapacitorKind.RUN)


@pytest.fixture
def day(qapp):
    return palettes.apply(qapp, palettes.palette("day")).palette


@pytest.fixture
def ruler(qtbot, day):
    made = ToleranceRuler()
    qtbot.addWidget(made)
    made.resize(656, 180)
    return made


def test_the_ruler_is_to_scale(ruler):
    """Half a band at either side: 39.6 to 50.4 µF over the line's length."""
    ruler.show_section(section_check(HERM, finding(HERM, 44.1)), None)
    line = ruler.line()
    for microfarad in (39.6, 42.3, 44.1, 45.0, 47.7, 50.4):
        expected = line.left() + (microfarad - 39.6) / (50.4 - 39.6) * line.width()
        assert ruler.x_of(microfarad * 1e-6) == pytest.approx(expected, abs=1e-6)


def test_the_scale_takes_in_a_reading_with_its_whole_bar(ruler):
    check = section_check(HERM, finding(HERM, 38.0, Verdict.FAIL, Reason.BELOW))
    ruler.show_section(check, None)
    assert ruler.line().left() <= ruler.x_of(37.4e-6)
    assert ruler.x_of(50.4e-6) == pytest.approx(ruler.line().right())


def test_a_reading_far_outside_leaves_the_scale_alone(ruler):
    """12 µF is 30 µF below the band, 5.4 µF wide: an arrow at the edge, not a squeezed band."""
    ruler.show_section(section_check(HERM, finding(HERM, 12.0, Verdict.FAIL, Reason.BELOW)), None)
    assert ruler.x_of(42.3e-6) == pytest.approx(ruler.line().left() + ruler.line().width() / 4)
    assert ruler.x_of(12e-6) < 0
    colour = QColor(palettes.palette("day").bad).rgb()
    picture = ruler.grab().toImage()
    y = int(ruler.line().center().y())
    assert any(picture.pixel(x, y) == colour for x in range(int(ruler.line().left()) + 30))


def test_the_live_reading_never_moves_the_scale(ruler):
    check = section_check(HERM, finding(HERM, 44.1))
    before = scale_of(check)
    for live in (0.0, 30e-6, 44e-6, 900e-6):
        ruler.show_section(check, live)
        assert ruler.x_of(45e-6) == pytest.approx(
            ruler.line().left() + before.place(45e-6) * ruler.line().width()
        )


def test_bar_and_disc_are_drawn_where_they_belong(ruler):
    """44.1 ± 0.6 µF: the bar's ends at 43.5 and 44.7, nothing of it beyond."""
    ruler.show_section(section_check(HERM, finding(HERM, 44.1)), None)
    picture = ruler.grab().toImage()
    colour = QColor(palettes.palette("day").good).rgb()
    y = int(ruler.line().center().y())
    inked = [x for x in range(picture.width()) if picture.pixel(x, y) == colour]
    assert inked[0] == pytest.approx(ruler.x_of(43.5e-6), abs=3)
    assert inked[-1] == pytest.approx(ruler.x_of(44.7e-6), abs=3)


def test_the_band_is_filled_from_limit_to_limit(ruler):
    ruler.show_section(section_check(FAN), None)
    picture = ruler.grab().toImage()
    band = QColor(palettes.palette("day").band).rgb()
    y = int(ruler.line().top()) + 4
    inked = [x for x in range(picture.width()) if picture.pixel(x, y) == band]
    assert inked[0] == pytest.approx(ruler.x_of(4.7e-6), abs=4)
    assert inked[-1] == pytest.approx(ruler.x_of(5.3e-6), abs=4)


def test_earlier_takings_stay_as_faint_marks(ruler):
    ruler.show_section(section_check(HERM, finding(HERM, 46.5), finding(HERM, 44.1)), None)
    picture = ruler.grab().toImage()
    x = round(ruler.x_of(46.5e-6))
    faint = QColor(palettes.palette("day").faint_ink).rgb()
    column = {picture.pixel(x + d, int(ruler.line().center().y())) for d in (-1, 0, 1)}
    assert faint in column
    assert "Earlier readings: 1" in ruler.accessibleDescription()


def test_a_range_on_the_label_has_no_rated_mark(ruler):
    ruler.show_section(section_check(START), None)
    assert "88 to 108 µF" in ruler.accessibleDescription()
    assert "rated" not in ruler.accessibleDescription()


def test_no_section_teaches_the_next_step(ruler):
    ruler.show_section(section_check(FAN), None)
    ruler.show_section(None, None)
    assert "No part" in ruler.accessibleDescription()
    ruler.grab()


@pytest.mark.parametrize("word", [Verdict.OPEN, Verdict.SHORTED, Verdict.NO_READING])
def test_a_finding_without_a_value_is_said_in_words(ruler, word):
    ruler.show_section(section_check(FAN, finding(FAN, None, word, Reason.NOT_MEASURED)), None)
    expected = {"open": "open", "shorted": "shorted", "no reading": "no value"}[word]
    assert expected in ruler.accessibleDescription()
    ruler.grab()


OHM = Quantity.RESISTANCE
COIL = Measurement("coil", None, D("9"), D("14"), OHM, "Ω")
INSULATION = Measurement("insulation", None, D("1e6"), None, OHM, "MΩ")
DROP = Measurement("drop", None, None, D("0.1"), Quantity.VOLTAGE_AC, "mV")
PAIR = Measurement("C-S", None, None, None, OHM, "Ω")


def measured(section, value, word=Verdict.PASS, reason=Reason.INSIDE):
    made = finding(section, None, word, reason, expanded=float(D(value)) * 0.02)
    return replace(made, reading_si=D(value), readings_si=(D(value),))


def pixels(widget, colour, y):
    picture = widget.grab().toImage()
    wanted = QColor(colour).rgb()
    return [x for x in range(picture.width()) if picture.pixel(x, int(y)) == wanted]


def test_any_quantity_stands_in_its_own_unit(ruler):
    ruler.show_section(section_check(COIL, measured(COIL, "11.2")), None, "Coil")
    assert "Coil: 9 to 14 Ω" in ruler.accessibleDescription()
    assert "11.2" in ruler.accessibleDescription()
    assert "µF" not in ruler.accessibleDescription()
    assert ruler.x_of(9.0) < ruler.x_of(11.2) < ruler.x_of(14.0)


def test_without_a_high_limit_the_band_runs_on_beyond_the_scale(ruler, day):
    ruler.show_section(section_check(INSULATION), None)
    inked = pixels(ruler, day.band, ruler.line().top() + 4)
    assert inked[0] == pytest.approx(ruler.x_of(1e6), abs=4)
    assert inked[-1] >= ruler.line().right() - 2
    assert "at least 1 MΩ" in ruler.accessibleDescription()


def test_without_a_low_limit_the_band_runs_on_to_the_left(ruler, day):
    ruler.show_section(section_check(DROP), None)
    inked = pixels(ruler, day.band, ruler.line().top() + 4)
    assert inked[0] <= ruler.line().left() + 2
    assert inked[-1] == pytest.approx(ruler.x_of(0.1), abs=4)
    assert "no more than 100 mV" in ruler.accessibleDescription()


def test_a_megohm_against_a_limit_of_one_is_an_arrow_with_its_number(ruler):
    """550 MΩ, 549 limits above the limit: the scale stays at the limit."""
    before = scale_of(section_check(INSULATION))
    check = section_check(INSULATION, measured(INSULATION, "550e6"))
    assert scale_of(check) == before
    ruler.show_section(check, None)
    assert ruler._short(550e6) == "550"
    ruler.grab()


def test_an_insulation_beyond_the_meter_is_said_so(ruler):
    good = finding(INSULATION, None, Verdict.PASS, Reason.OVERLOAD)
    ruler.show_section(section_check(INSULATION, good), None)
    assert "more than the meter shows" in ruler.accessibleDescription()


def test_without_limits_the_value_stands_alone_on_a_plain_line(ruler, day):
    ruler.show_section(section_check(PAIR), 2.6)
    assert "no limits of its own" in ruler.accessibleDescription()
    ruler.grab()
    taken = measured(PAIR, "2.60", Verdict.MEASURED, Reason.WITHOUT_LIMITS)
    ruler.show_section(section_check(PAIR, taken), 2.6)
    assert pixels(ruler, day.band, ruler.line().top() + 4) == []
    line = ruler.line()
    assert ruler.x_of(2.6) == pytest.approx(line.center().x())
    assert day.ink in {
        ruler.grab().toImage().pixelColor(round(ruler.x_of(2.6)), round(line.center().y())).name()
    }


# --- plate -------------------------------------------------------------------------------------


def test_word_and_shape_differ_for_all_verdicts(day):
    texts = [plate_text(part(word), BY_LABEL) for word in Verdict]
    assert len({text.word for text in texts}) == len(Verdict) == 9
    assert len({text.icon for text in texts}) == 9


def test_shapes_differ_without_colour(day):
    """Drawn in one colour, any two shapes differ in at least a tenth of their inked pixels."""
    drawn = {}
    for word in Verdict:
        picture = QImage(QSize(48, 48), QImage.Format.Format_Grayscale8)
        picture.fill(255)
        painter = QPainter(picture)
        paint_icon(painter, verdict_icon(word), QRectF(0, 0, 48, 48), QColor("black"))
        painter.end()
        drawn[word] = {
            (x, y) for x in range(48) for y in range(48) if picture.pixelColor(x, y).value() < 128
        }
        assert len(drawn[word]) > 150
    for one, other in itertools.combinations(Verdict, 2):
        differing = drawn[one] ^ drawn[other]
        assert len(differing) > 0.1 * len(drawn[one] | drawn[other]), (one, other)


def test_the_plate_names_the_section_that_decides(day):
    assert "FAN" in plate_text(part(Verdict.FAIL), BY_LABEL).sentence


def test_the_numbers_stand_beneath_for_each_section(day):
    numbers = plate_text(part(Verdict.FAIL), BY_LABEL).numbers
    assert numbers[0].startswith("HERM: 44.10 ±0.60 µF")
    assert numbers[1].startswith("FAN: 4.90 ±0.60 µF")
    assert "4.7 to 5.3 µF" in numbers[1]


def test_the_persons_decimal_sign_is_used_all_over_the_plate(day):
    text = plate_text(part(Verdict.FAIL), BY_LABEL, Presentation(decimal_sign=","))
    assert "4,7" in text.sentence
    assert not any("4.9" in line for line in (text.sentence, *text.numbers))


def test_a_plate_without_a_verdict_says_what_to_do(qtbot, day):
    plate = VerdictPlate()
    qtbot.addWidget(plate)
    assert "label" in plate.accessibleDescription()
    sections = (section_check(HERM, finding(HERM, 44.1)), section_check(FAN))
    check = replace(judged(None), sections=sections, expected="FAN", step=Step.CLIP_ON)
    plate.show_check(check)
    spoken = plate.accessibleDescription()
    assert "Not judged yet" in spoken
    assert "FAN" in spoken
    assert "1 of 2" in spoken
    assert not any(f"{word}." in spoken for word in ("Pass", "Fail"))


def test_a_new_check_takes_the_old_verdict_away(qtbot, day):
    plate = VerdictPlate()
    qtbot.addWidget(plate)
    plate.show_check(judged(part(Verdict.PASS)))
    plate.show_check(None)
    assert "No part yet" in plate.accessibleDescription()


def test_each_conclusion_has_a_line_with_its_shape(day):
    """Contact drops of 45 and 55 mV: 10 % off their mean, 5 % are allowed (arithmetic)."""
    rule = AlikeRule(name="alike", of=("L1", "L2"), most="5 %", failure="", **CONCLUDED)
    kind = PartKind(
        title="Contactor",
        about="",
        example="",
        hazards=(),
        measures=BY_LABEL.measures,
        conclusions=(rule,),
    )
    found = Conclusion(
        "alike", Verdict.FAIL, Reason.ABOVE, 0.1, 0.01, None, 0.05, "%", names=("L2",)
    )
    text = plate_text(replace(part(Verdict.FAIL), conclusions=(found,)), kind=kind)
    (line,) = text.conclusions
    assert line.icon == verdict_icon(Verdict.FAIL)
    assert line.tone == "bad"
    assert line.words.startswith("alike: 10.0 ±1.0 %.")
    assert "L2" in line.words
    fault = replace(part(Verdict.PASS), verdict=Verdict.FAIL, conclusions=(found,))
    said = plate_text(fault, kind=kind)
    assert "L2" in said.sentence
    assert said.conclusions[0].words == "alike: 10.0 ±1.0 %"  # what is said is not said again


def test_the_plate_draws_its_conclusions_and_grows_by_them(qtbot, day):
    plain, concluded = VerdictPlate(), VerdictPlate()
    for widget in (plain, concluded):
        qtbot.addWidget(widget)
    found = Conclusion("pairs", Verdict.MEASURED, Reason.NOT_MEASURED)
    plain.show_check(judged(part(Verdict.FAIL)))
    concluded.show_check(judged(replace(part(Verdict.FAIL), conclusions=(found,))))
    assert concluded.heightForWidth(560) > plain.heightForWidth(560)
    assert "pairs: measured" in concluded.accessibleDescription()
    concluded.grab()
