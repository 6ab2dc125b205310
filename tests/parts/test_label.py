"""Labels of motor capacitors, as people type them."""

from decimal import Decimal, localcontext

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from benchmeter.errors import InputError
from benchmeter.parts.nameplate.label import RANGE, ToleranceMissing, parse_label
from benchmeter.parts.nameplate.tolerance import Tolerance, parse_tolerance
from benchmeter.parts.rated_part import (
    CapacitorKind,
)
from tests.fakes.refusals import advised, in_english, refused


def limits(text: str, tolerance: str = "") -> list[tuple[Decimal, Decimal]]:
    """Of each section, in µF."""
    rating = parse_label(text, tolerance)
    return [(s.low_si * 10**6, s.high_si * 10**6) for s in rating.sections]


def exact(*pairs: tuple[str, str]) -> list[tuple[Decimal, Decimal]]:
    return [(Decimal(low), Decimal(high)) for low, high in pairs]


@pytest.mark.parametrize(
    ("label", "low", "high"),
    [
        ("45 µF ±6 %", "42.3", "47.7"),
        ("45 µF ±5 %", "42.75", "47.25"),
        ("45 µF ±10 %", "40.5", "49.5"),
        ("5 µF ±6 %", "4.7", "5.3"),
        ("5 µF ±10 %", "4.5", "5.5"),
        ("35 µF ±5 %", "33.25", "36.75"),
        ("35 µF ±6 %", "32.9", "37.1"),
        ("7.5 µF ±6 %", "7.05", "7.95"),
        ("80 µF ±6 %", "75.2", "84.8"),
        ("10 µF 0/+10 %", "10", "11"),
        ("10 µF R", "10", "11"),
        ("88-108 µF", "88", "108"),
    ],
)
def test_limits_are_exact(label, low, high):
    """Limits follow from rated value and tolerance (CALC); R of a motor-run data sheet."""
    assert limits(label) == exact((low, high))


@pytest.mark.parametrize(
    ("letter", "low", "high"), [("J", "95", "105"), ("K", "90", "110"), ("M", "80", "120")]
)
def test_letters_are_tolerances(letter, low, high):
    """IEC 60062: J ±5 %, K ±10 %, M ±20 %."""
    for label in (
        f"100uF {letter}",
        f"100 µF{letter} 440V",
        f"{letter.lower()} 100 mfd",
        f"100MFD 440VAC {letter}",
    ):
        assert limits(label) == exact((low, high))


@pytest.mark.parametrize(
    "label",
    [
        "45/5 µF ±6 % 440 VAC",
        "45/5 uF ±6% 440 V",
        "45+5 MFD 6% 440V 50/60Hz",
        "45 + 5 uF +/-6% 370/440VAC 60 Hz",
        "45µF+5µF±6%",
        "45 μF / 5 μF, ± 6 %, 440 V~",
        "45/5 UF +-6 % 440vac",
        "45\u00a0/\u00a05\u202fµF −/+6\u00a0%",
        "DUAL RUN CAPACITOR 45/5MFD±6%440VAC60Hz PROTECTED 10,000 AFC",
        "440 V 45/5,0 µF (± 6 %) class B -40/+70°C SH S0",
        "5/45 µF ±6 %",
        "5+45MFD ±6% 370V",
        "45/5 µF +6/-6 %",
        "45/5 µF IEC 60252-1 25/085/21 10000h ±6,0 % P2 70 °C",
    ],
)
def test_one_label_in_many_spellings(label):
    """HERM is the larger section in whatever order (common practice, no source)."""
    rating = parse_label(label)
    assert [s.name for s in rating.sections] == ["HERM", "FAN"]
    assert [s.rated_si for s in rating.sections] == [Decimal("45e-6"), Decimal("5e-6")]
    assert limits(label) == exact(("42.3", "47.7"), ("4.7", "5.3"))
    assert (rating.tolerance, rating.tolerance_from) == ("±6 %", "label")
    assert rating.kind is CapacitorKind.RUN
    assert rating.text == label


def test_voltages_and_frequencies_are_kept():
    rating = parse_label("40 + 5 uF +/-5% 370/440VAC 50/60 Hz")
    assert rating.voltages_v == (370, 440)
    assert rating.frequencies_hz == (50, 60)
    assert parse_label("45uF 6% 370V/440V~").voltages_v == (370, 440)


def test_a_decimal_comma_is_a_decimal_sign():
    assert limits("7,5 µF ± 6 % 440 V~") == exact(("7.05", "7.95"))
    assert limits("40/7,5 µF ±6 %") == exact(("37.6", "42.4"), ("7.05", "7.95"))


def test_a_part_with_one_section_is_single():
    assert [s.name for s in parse_label("35 uf 370v J").sections] == ["single"]


@pytest.mark.parametrize(
    "label", ["88-108 MFD 250VAC", "88–108 µF 250 V~ 50/60 Hz", "start capacitor 88 - 108 uF"]
)
def test_a_range_on_the_label_is_the_band(label):
    rating = parse_label(label)
    assert rating.kind is CapacitorKind.START
    assert rating.sections[0].rated_si is None
    assert rating.tolerance == RANGE
    assert limits(label) == exact(("88", "108"))


def test_a_range_ends_at_twice_its_beginning_and_sections_differ_by_more_than_half():
    """Common practice, no source."""
    assert parse_label("50-100 µF").tolerance == RANGE
    assert len(parse_label("10/15.1 µF ±6 %").sections) == 2
    for label in ("50-100.1 µF", "50-50 µF", "10/15 µF ±6 %"):
        with refused(InputError, match="range"):
            parse_label(label)


@pytest.mark.parametrize(
    ("text", "below", "above", "printed"),
    [
        ("6 %", "6", "6", "±6 %"),
        ("±6", "6", "6", "±6 %"),
        ("6", "6", "6", "±6 %"),
        ("1", "1", "1", "±1 %"),
        ("+/- 6,0%", "6", "6", "±6 %"),
        ("J", "5", "5", "±5 %"),
        ("r", "0", "10", "0/+10 %"),
        ("-0/+10 %", "0", "10", "0/+10 %"),
        ("0/+10%", "0", "10", "0/+10 %"),
        ("0+10%", "0", "10", "0/+10 %"),
        ("−5/+10 %", "5", "10", "-5/+10 %"),
        ("+10/-5 %", "5", "10", "-5/+10 %"),
        ("+10 % -5 %", "5", "10", "-5/+10 %"),
        ("+10/0 %", "0", "10", "0/+10 %"),
        ("-10/+0 %", "10", "0", "-10/0 %"),
        ("-5 ... +10 %", "5", "10", "-5/+10 %"),
        ("10%", "10", "10", "±10 %"),
        ("20 %", "20", "20", "±20 %"),
    ],
)
def test_tolerances_as_people_write_them(text, below, above, printed):
    tolerance = parse_tolerance(text)
    assert tolerance == Tolerance(Decimal(below), Decimal(above))
    assert tolerance.text == printed
    assert parse_tolerance(tolerance.text) == tolerance
    if any(sign in text for sign in "%Jr"):
        assert parse_label(f"45 µF {text} 440 V").tolerance == printed
    else:
        assert parse_label("45 µF 440 V", text).tolerance == printed


@pytest.mark.parametrize("text", ["0", "0 %", "100 %", "-5 %", "+5 %", "-5/-10 %", "+5/+10 %", "5/10 %", "-0/+0 %",
                                  "-100/+5 %", "0.06", "six", "", "L", "6 µF", "±", "%", "6 % 5 %", "٦ %"])  # fmt: skip
def test_a_tolerance_that_is_none_is_refused(text):
    with pytest.raises(InputError):
        parse_tolerance(text)


def test_without_tolerance_it_is_asked_for():
    with pytest.raises(ToleranceMissing) as caught:
        parse_label("45/5 µF 440 V")
    assert '--tolerance "6 %"' in advised(caught.value)
    rating = parse_label("45/5 µF 440 V", "6 %")
    assert rating.tolerance_from == "user"
    assert limits("45/5 µF 440 V", "6 %") == exact(("42.3", "47.7"), ("4.7", "5.3"))


def test_tolerances_that_contradict_are_refused():
    for label, typed in [("45 µF ±5 % ±6 %", ""), ("45 µF ±5 % K", ""), ("45 µF ±5 %", "6 %"), ("88-108 µF", "6 %"),
                         ("88-108 µF ±10 %", "")]:  # fmt: skip
        with refused(InputError, match=r"contradict|range and the tolerance"):
            parse_label(label, typed)
    assert parse_label("45 µF ±5 % J", "5%").tolerance_from == "label"


@pytest.mark.parametrize(
    ("label", "named"),
    [
        ("45 µF banana ±6 %", "banana"),
        ("45 µF ±6 % 440 VDC", "440"),
        ("45 µF ±6 % 440", "440"),
        ("45/5J", "45/5J"),
        ("45/5 ±6 % 440 V", "45/5"),
        ("HERM 45 FAN 5 µF ±6 %", "HERM"),
        ("45 mF ±6 %", "mF"),
        ("45 MF ±6 %", "MF"),
        ("1,234 µF ±6 %", "1,234"),
        ("45² µF ±6 %", "45²"),
        ("٤٥ µF ±6 %", "٤٥"),
        ("45 F ±6 %", "45 F"),
        ("0 µF ±6 %", "0 µF"),
        ("5 pF ±6 %", "5 pF"),
        ("-45 µF ±6 %", "-45 µF"),
        ("- 45 µF ±6 %", "45 µF"),
        ("45 µF ±2 µF", "±2 µF"),
        ("45 µF +6 %", "+6 %"),
        ("45 µF - 6 %", "- 6 %"),
        ("45/5/5 µF ±6 %", "three"),
        ("45 µF 5 µF ±6 %", "45 µF"),
        ("45 µF 5 µF 7.5 µF ±6 %", "45 µF"),
        ("45 µF ,5 µF ±6 %", ",5 µF"),
        ("45-5 µF ±6 %", "45-5"),
        ("5-45 µF", "5-45"),
        ("88/108 µF ±6 %", "88/108"),
        ("45 µF ±6 % 0 V", "0 V"),
        ("45 µF ±6 % 99999 V", "99999"),
        ("±6 % 440 V", "no capacitance"),
        ("", "no capacitance"),
        ("45 µF ±6 % €", "€"),
        ("UL 45 µF ±6 % xyz", "xyz"),
        ("25/70/21 µF ±6 %", "more than two"),
        ("12345678901234567890 µF 6 %", "123456789"),
    ],
)
def test_what_is_not_understood_is_named_never_skipped(label, named):
    with pytest.raises(InputError) as caught:
        parse_label(label)
    assert not isinstance(caught.value, ToleranceMissing)
    assert named.replace("three", "more than two") in in_english(caught.value)
    assert len(in_english(caught.value)) < 200


def test_marks_do_not_swallow_the_rating():
    assert limits("UL 45 µF ±6 %") == exact(("42.3", "47.7"))
    assert limits("EN 45/5 µF ±6 %") == exact(("42.3", "47.7"), ("4.7", "5.3"))
    assert limits("class C 45 µF J 10000h") == exact(("42.75", "47.25"))


def test_limits_do_not_hang_on_the_decimal_context():
    with localcontext() as context:
        context.prec = 2
        assert parse_label("33.3333 µF ±6 %").sections[0].low_si == Decimal("31.333302e-6")


@given(st.text(max_size=80))
@example("1" * 5000)
@example("45/" * 60 + "5 µF")
@example("1 - " * 50)
@example("1 V - " * 33)
def test_any_text_is_a_rating_or_an_input_error(text):
    for tolerance in ("", "6 %", text):
        try:
            rating = parse_label(text, tolerance)
        except InputError:
            continue
        assert 1 <= len(rating.sections) <= 2
        for section in rating.sections:
            assert 0 < section.low_si < section.high_si


_WORDS = """45 5 88-108 7,5 45/5 45+5 µF uF MFD F mF V VAC 440 370/440 50/60 Hz ± +/- + - / % 6 10 J K R
M 0/+10 -5 , . ( ) °C AFC 10,000 class h 70 RUN START UL 810 ~ x HERM"""
_PIECES = st.sampled_from(_WORDS.split())


@given(st.lists(_PIECES, max_size=9), st.sampled_from(["", " "]))
def test_any_sequence_of_label_words_is_a_rating_or_an_input_error(pieces, glue):
    """And a rated value is one of the numbers that stand on the label."""
    label = glue.join(pieces)
    try:
        rating = parse_label(label, "6 %" if "%" not in label else "")
    except InputError:
        return
    for section in rating.sections:
        for value in (
            section.rated_si,
            *((section.low_si, section.high_si) if section.rated_si is None else ()),
        ):
            if value is not None and value >= Decimal("1e-6"):
                shown = f"{(value * 10**6).normalize():f}"
                assert shown in label.replace(",", ".")


@given(
    st.decimals(min_value=1, max_value=999, places=1),
    st.decimals(min_value=1, max_value=20, places=1),
    st.sampled_from(["µF", "uF", " MFD", "\u00a0μF"]),
    st.sampled_from(["±{}%", "± {} %", "+/-{} %", "{}%"]),
    st.booleans(),
)
def test_number_and_tolerance_come_back_as_written(rated, percent, unit, form, comma):
    label = f"{rated}{unit} {form.format(percent)} 440V"
    rating = parse_label(label.replace(".", ",") if comma else label)
    assert rating.sections[0].rated_si == rated.scaleb(-6)
    assert rating.sections[0].low_si == rated * (100 - percent) / 100 * Decimal("1e-6")
    assert rating.sections[0].high_si == rated * (100 + percent) / 100 * Decimal("1e-6")


def test_a_long_text_of_pieces_is_no_label():
    """Each piece of a label up to the longest text that is read; `tests.benchmarks` times it."""
    for piece in [*_WORDS.split(), "1 - ", "1 V - ", "1uF + ", "1 000 ", "12/12/", "± ", ". , "]:
        for label in (piece * 200, f"{piece} " * 200):
            with pytest.raises(InputError):
                parse_label(label[:200], "6 %")
