"""Nothing is cut off: at 200 %, in long languages, in any width that a widget accepts."""

import pytest
from PySide6.QtGui import QFontMetricsF
from PySide6.QtWidgets import QWidget

from benchmeter.conformity.verdict import Reason, Verdict
from benchmeter.links.instruments.setup import BenchSetup, ChannelSetup, Role
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.events import reported
from benchmeter.readings.status import Status
from benchmeter.scenes.lead_plan import DrawnLead, LeadPlan
from benchmeter.session.acquisition.channel_state import ChannelState, ChannelStatus
from benchmeter.session.outcome import Severity
from benchmeter.window.theme import palette as palettes
from benchmeter.window.theme.language import speak
from benchmeter.window.widgets import verdict_plate
from benchmeter.window.widgets.caution import CautionLines
from benchmeter.window.widgets.lead_drawing import LeadDrawing
from benchmeter.window.widgets.notice_bar import NoticeBar
from benchmeter.window.widgets.painted import WrappedText
from benchmeter.window.widgets.pulse_strip import PulseStrip
from benchmeter.window.widgets.reading_view import ReadingView
from benchmeter.window.widgets.tolerance_ruler import ToleranceRuler
from benchmeter.window.widgets.verdict_plate import VerdictPlate
from benchmeter.words.catalogue import languages
from benchmeter.words.durations import age
from benchmeter.words.notice_words import ToldNotice
from benchmeter.words.presentation import PLAIN
from tests.fakes.capacitor_findings import FAN, HERM, finding, judged, part, section_check
from tests.fakes.readings import reading_in_si

pytestmark = pytest.mark.gui

S = 10**9


@pytest.fixture(params=languages())
def language(request, qapp):
    """English, and a language that is 40 % longer."""
    speak(qapp, request.param)
    yield
    speak(qapp)


@pytest.fixture(params=[1.0, 2.0])
def zoom(request, qapp):
    yield palettes.apply(qapp, palettes.palette("day"), request.param).zoom
    palettes.apply(qapp, palettes.palette("day"), 1.0)


SETUP = BenchSetup(
    origin="simulated",
    links=(),
    channels=tuple(
        ChannelSetup(name=role.value, role=role, link="bench")
        for role in (Role.CAPACITOR, Role.DISCHARGE, Role.OUTDOOR, Role.RESIDUAL)
    ),
)
LOST = ChannelState(
    "discharge",
    ChannelStatus.LOST,
    2 * S,
    reading_in_si("discharge", 2 * S, 310.0, Status.OK, 0.1, "36.9"),
    (),
    reported(
        "The adapter of the discharge probe was unplugged.",
        "Plug it in again; recording goes on by itself.",
    ),
)


def reading_view():
    made = ReadingView()
    made.show_pulse(LOST, Quantity.TEMPERATURE, 65 * S)
    return made


def ruler():
    made = ToleranceRuler()
    made.show_section(section_check(HERM, finding(HERM, 44.1), finding(HERM, 42.6)), 12e-6)
    return made


def plate(word=Verdict.CONDITIONAL_FAIL):
    made = VerdictPlate()
    made.show_check(judged(part(word)))
    return made


def strip():
    made = PulseStrip()
    made.show_pulses({"discharge": LOST}, SETUP, 65 * S)
    return made


def leads():
    made = LeadDrawing()
    names = ("A1", "A2", "L1", "T1", "L2", "T2")
    ends = (DrawnLead("red", 0), DrawnLead("black", 5))
    made.show_leads(LeadPlan("Contactor", names, ends, Quantity.RESISTANCE, how="Wires off."))
    return made


def caution():
    return CautionLines(["Stored charge can kill: discharge it, then measure the volts."])


@pytest.mark.parametrize("make", [reading_view, ruler, plate, strip, leads, caution])
@pytest.mark.parametrize("factor", [1.0, 1.3, 2.5])
def test_all_that_is_drawn_lies_within_the_widget(qtbot, language, zoom, make, factor, monkeypatch):
    """Every wrapped text, with its place and its size, against the widget's rectangle."""
    widget = make()
    qtbot.addWidget(widget)
    width = int(widget.minimumSizeHint().width() * factor)
    height = widget.heightForWidth(width)
    widget.resize(width, height)
    drawn = []
    real = WrappedText.draw

    def noting(self, painter, x, y, colour):
        drawn.append((x, y, self.width, self.height))
        return real(self, painter, x, y, colour)

    monkeypatch.setattr(WrappedText, "draw", noting)
    widget.grab()
    assert drawn
    for x, y, text_width, text_height in drawn:
        assert x >= 0 and y >= 0
        assert x + text_width <= widget.width() + 1
        assert y + text_height <= widget.height() + 1


@pytest.mark.parametrize("word", list(Verdict))
def test_the_verdict_is_never_broken_inside_a_word(qtbot, zoom, word):
    widget = plate(word)
    qtbot.addWidget(widget)
    width = widget.minimumSizeHint().width()
    layout = verdict_plate._PlateLayout(widget._text, widget.look, width)
    lines = layout._texts[0][0]
    font = verdict_plate._word_font(widget.look, True)
    words = widget._text.word.split()
    assert lines.height <= len(words) * QFontMetricsF(font).lineSpacing() + 1


def test_texts_wrap_and_keep_all_their_words(qapp):
    look = palettes.apply(qapp, palettes.palette("day"))
    text = "Stored charge can kill: discharge through a resistor, then measure the volts."
    one_line = QFontMetricsF(look.body).horizontalAdvance(text)
    wrapped = WrappedText(text, look.body, one_line / 3)
    assert wrapped.width <= one_line / 3
    assert wrapped.height >= 3 * QFontMetricsF(look.body).lineSpacing()


def test_a_number_is_not_parted_from_its_unit(qapp):
    look = palettes.apply(qapp, palettes.palette("day"))
    narrow = QFontMetricsF(look.body).horizontalAdvance("limit 42.3")
    wrapped = WrappedText("limit 42.3 µF", look.body, narrow + 2)
    assert wrapped._layout.lineAt(1).textLength() == len("42.3 µF")


def test_the_strip_names_each_instrument_by_its_role(qtbot, zoom):
    widget = strip()
    qtbot.addWidget(widget)
    spoken = widget.accessibleDescription()
    for name in ("Capacitance meter", "Discharge probe", "Outdoor probe", "Residual volts"):
        assert name in spoken
    assert "lost, 63 s ago" in spoken
    assert "Plug it in again" in spoken
    assert "Outdoor probe: waiting" in spoken


def test_the_strip_names_every_role(qtbot):
    widget = PulseStrip()
    qtbot.addWidget(widget)
    for role in Role:
        if role is not Role.OTHER:
            channel = ChannelSetup(name=role.value, role=role, link="bench")
            setup = BenchSetup(origin="simulated", links=(), channels=(channel,))
            widget.show_pulses({}, setup, 0)
            assert not widget.accessibleDescription().startswith(f"{role.value}:"), role
    widget.show_pulses(
        {},
        BenchSetup(
            origin="simulated",
            links=(),
            channels=(
                ChannelSetup(name="meter", role=Role.METER, link="bench"),
                ChannelSetup(name="probe", role=Role.PROBE, link="bench"),
            ),
        ),
        0,
    )
    spoken = widget.accessibleDescription()
    assert "Bench meter: waiting" in spoken and "Probe at the part: waiting" in spoken


def test_the_strip_shows_a_channel_that_the_setup_does_not_know(qtbot):
    widget = PulseStrip()
    qtbot.addWidget(widget)
    widget.show_pulses({"supply": ChannelState("supply", ChannelStatus.WAITING, 0, None)}, SETUP, 0)
    assert "supply: waiting" in widget.accessibleDescription()


def test_an_empty_strip_teaches_the_next_step(qtbot):
    widget = PulseStrip()
    qtbot.addWidget(widget)
    widget.show_pulses({}, None, 0)
    assert "simulated bench" in widget.accessibleDescription()


@pytest.mark.parametrize(
    ("span_ns", "words"),
    [
        (0, "0.0 s"),
        (-5, "0.0 s"),
        (S, "1 s"),
        (119 * S, "119 s"),
        (120 * S, "2 min"),
        (7500 * S, "2 h 5 min"),
    ],
)
def test_ages_read_like_words(span_ns, words):
    assert age(span_ns, PLAIN) == words


# --- notices and cautions ----------------------------------------------------------------------

GAP = ToldNotice(Severity.WARNING, "Probe 2 has stopped sending.", "Check the plug.")
FULL = ToldNotice(Severity.ERROR, "The disk is full: recording has stopped.", "Make room.")
HELLO = ToldNotice(Severity.INFO, "Recording.")


@pytest.fixture
def bar(qtbot, qapp):
    palettes.apply(qapp, palettes.palette("day"))
    window = QWidget()
    qtbot.addWidget(window)
    made = NoticeBar(window)
    yield made


def test_the_same_notice_is_counted_not_stacked(bar):
    for _ in range(3):
        bar.add(GAP)
    assert bar.shown().count == 3
    assert "×3" in bar.accessibleDescription()
    bar.dismiss()
    assert bar.shown() is None
    assert bar.isHidden()


def test_the_gravest_notice_is_shown_first_and_none_is_lost(bar):
    for notice in (HELLO, FULL, GAP):
        bar.add(notice)
    seen = []
    while bar.shown():
        seen.append(bar.shown().notice)
        bar.dismiss()
    assert seen == [FULL, GAP, HELLO]
    assert {entry.notice for entry in bar.history()} == {FULL, GAP, HELLO}


def test_a_notice_that_comes_again_after_being_dismissed_is_shown_again(bar):
    bar.add(GAP)
    bar.dismiss()
    bar.add(GAP)
    assert bar.shown().count == 1
    assert bar.history()[0].count == 2


def test_the_bar_says_what_happened_and_what_to_do(bar):
    bar.add(GAP)
    assert "Probe 2 has stopped sending." in bar.accessibleDescription()
    assert "Check the plug." in bar.accessibleDescription()


def test_a_notice_is_never_taken_for_markup(bar):
    bar.add(ToldNotice(Severity.INFO, "Label <b>40/6</b> & more"))
    assert "<b>" in bar.accessibleDescription()


def test_cautions_cannot_be_dismissed(qtbot):
    widget = caution()
    qtbot.addWidget(widget)
    assert not widget.children()
    assert "kill" in widget.accessibleDescription()


def test_no_caution_takes_no_room(qtbot):
    widget = caution()
    qtbot.addWidget(widget)
    widget.show_lines([])
    assert widget.isHidden()


@pytest.mark.parametrize("word", [Verdict.UNDECIDABLE])
def test_a_verdict_of_a_single_section_is_shown_too(qtbot, word):
    from dataclasses import replace

    single = replace(FAN, name="single")
    verdict = replace(part(word), sections=(finding(single, 4.9, word, Reason.METER_TOO_COARSE),))
    widget = VerdictPlate()
    qtbot.addWidget(widget)
    widget.show_check(judged(verdict))
    assert "single" not in widget.accessibleDescription()
