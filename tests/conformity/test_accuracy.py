"""Accuracy lines as leaflets print them."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmeter.conformity.accuracy import parse_accuracy
from benchmeter.errors import InputError
from benchmeter.quantities.quantity import Quantity
from tests.fakes.refusals import in_english, refused


@pytest.mark.parametrize(
    ("text", "percent", "counts", "count_uf"),
    [
        ("1.2% + 2 x 0.1uF", "1.2", "2", "0.1"),
        ("1.2 % + 2 × 0.1 µF", "1.2", "2", "0.1"),
        ("±(1.2% + 2)", "1.2", "2", None),
        ("+/- (1.2% + 2)", "1.2", "2", None),
        ("1,9 % rdg + 4 dgt", "1.9", "4", None),
        ("1.9% of rdg. + 4 dgts.", "1.9", "4", None),
        ("1.0 % of reading + 3 counts", "1", "3", None),
        ("±1.0 % ± 3 digits", "1", "3", None),
        ("1.0%+3D", "1", "3", None),
        ("2%", "2", "0", None),
        ("3 digits", "0", "3", None),
        ("0.5 % + 10 nF", "0.5", "1", "0.01"),
        ("0.1 µF", "0", "1", "0.1"),
        ("2 counts x 10 nF + 1 %", "1", "2", "0.01"),
        ("0 % + 2 counts", "0", "2", None),
    ],
)
def test_lines_in_many_spellings(text, percent, counts, count_uf):
    found = parse_accuracy(text)
    assert (found.percent, found.counts) == (Decimal(percent), Decimal(counts))
    assert found.count_si == (None if count_uf is None else Decimal(count_uf) * Decimal("1e-6"))
    assert found.text == text


@pytest.mark.parametrize(
    "text",
    ["", " ", "2", "0.1", "good", "1.2", "-1 %", "1 % - 2", "1 % + 2 % ", "1 % + 2 + 3", "0 %", "0 % + 0 counts", "100 %",
     "1 % of range", "1 % FS + 2", "1 % + 3 mV", "1 % + 2 mF", "1 % + 2 x 0 µF", "1 % + 45 F", "1 % + 0.1", "1 % + 99999",
     "1²%", "١ %", "1,234 %", "1 % ++ 2", "1 % + nan", "1" * 300],
)  # fmt: skip
def test_nonsense_is_refused_with_an_example(text):
    with pytest.raises(InputError) as caught:
        parse_accuracy(text)
    assert len(in_english(caught.value)) < 200


@pytest.mark.parametrize(
    ("text", "kind", "percent", "counts", "worth"),
    [
        ("0.8% + 2 x 0.1ohm", "resistance", "0.8", "2", "0.1"),
        ("±(0,5 % + 3 × 0.01 Ω)", "resistance", "0.5", "3", "0.01"),
        ("0.5 % + 3 x 0.01 \u2126", "resistance", "0.5", "3", "0.01"),
        ("0.1 % + 5 mΩ", "resistance", "0.1", "1", "0.005"),
        ("1 % + 2 x 0.1 kohm", "resistance", "1", "2", "100"),
        ("0.05 % + 2 x 0.01 mV", "voltage", "0.05", "2", "0.00001"),
        ("0.8 % + 2 counts", "resistance", "0.8", "2", None),
    ],
)
def test_lines_of_other_functions_of_the_meter(text, kind, percent, counts, worth):
    found = parse_accuracy(text, kind)
    assert (found.percent, found.counts) == (Decimal(percent), Decimal(counts))
    assert found.count_si == (None if worth is None else Decimal(worth))


@pytest.mark.parametrize(
    ("text", "kind", "said"),
    [
        ("1 % + 2 x 0.1 µF", "resistance", "not of resistance"),
        ("1 % + 2 x 0.1 Ω", "capacitance", "not of capacitance"),
        ("1 % of range", "resistance", "Ω"),
        ("1 % + 0.1 Ω", "voltage", "not of voltage"),
        ("1 % + 5 Mohm", "resistance", "worth of a count"),
        ("good", "voltage", "mV"),
    ],
)
def test_a_line_of_another_function_is_refused(text, kind, said):
    with pytest.raises(InputError) as caught:
        parse_accuracy(text, kind)
    assert said in in_english(caught.value)


@given(st.one_of(st.text(max_size=60), st.text("0123456789.,%+±x ()µuFdigtscon-", max_size=30)))
def test_any_text_is_an_accuracy_or_an_input_error(text):
    try:
        found = parse_accuracy(text)
    except InputError:
        return
    assert 0 <= found.percent < 100 and found.counts >= 0
    assert found.percent or found.counts
    assert found.count_si is None or found.count_si > 0


@pytest.mark.parametrize(
    "text", ["1 % + 2 psi", "2 % + 3 x 1 W", "up to 5 h 1 %", "up to 0 psi 1 %"]
)
def test_units_that_no_line_is_for_are_refused_in_words(text):
    with refused(InputError, match="no accuracy is asked"):
        parse_accuracy(text, "")


def test_the_end_of_a_range_of_temperature_counts_from_absolute_zero():
    """0 °C is 273.15 K and 32 °F (ITS-90; the two scales by definition)."""
    found = parse_accuracy("temperature up to 100 °C 0.5 °C; temperature up to 752 °F 2 °C", "")
    ends = [round(line.up_to_si or Decimal(0), 9) for line in (found, *found.more)]
    assert ends == [Decimal("373.15"), Decimal("673.15")]
    at_room = found.line_for(Quantity.TEMPERATURE, Decimal("293.15"))
    assert at_room is not None
    assert at_room.count_si == Decimal("0.5")


@pytest.mark.parametrize("text", ["DC voltage 1 % + 2 x 0.1 VAC", "AC voltage up to 600 VDC 1 %"])
def test_a_line_of_one_current_in_units_of_the_other_is_refused(text):
    with refused(InputError, match="does not fit"):
        parse_accuracy(text, "")


def test_a_unit_that_says_its_current_tells_the_function():
    found = parse_accuracy("1 % + 2 x 0.1 VAC", "")
    assert found.line_for(Quantity.VOLTAGE_AC, Decimal(240)) is found
    assert found.line_for(Quantity.VOLTAGE_DC, Decimal(24)) is None
