"""Numbers as people type them."""

import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmeter.errors import InputError
from benchmeter.quantities.typed_numbers import parse_number
from tests.fakes.refusals import advised, in_english, refused


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("44.1", "44.1"),
        ("44,1", "44.1"),
        ("44,10", "44.10"),
        (" 44.10 ", "44.10"),
        ("7,5", "7.5"),
        (".5", "0.5"),
        (",5", "0.5"),
        ("5.", "5"),
        ("+5", "5"),
        ("-5", "-5"),
        ("−5", "-5"),
        ("0,234", "0.234"),
        ("1.234", "1.234"),
        ("1,2345", "1.2345"),
        ("1234,5", "1234.5"),
        ("4.41000E-05", "0.0000441000"),
        ("4,41e1", "44.1"),
    ],
)
def test_point_and_comma_are_decimal_signs_and_every_digit_is_kept(text, number):
    found = parse_number(text)
    assert found == Decimal(number)
    if "e" not in text.lower():
        assert str(found) == number


@pytest.mark.parametrize("text", ["1,234", "12,345", "123,456", "-1,234", "1,234e3"])
def test_a_comma_that_may_part_thousands_is_asked_about(text):
    with refused(InputError, match="may be"):
        parse_number(text)


@pytest.mark.parametrize(
    "text",
    [
        "", " ", ".", ",", "-", "e5", "5e", "1,234.5", "1.234,5", "1.2.3", "1 234", "1'234", "1_000", "0x1F",
        "nan", "NaN", "inf", "-Infinity", "1e999", "1e-100", "٤٥", "４５", "45²", "4５", "½", "Ⅳ", "1" * 41,
        "9" * 100_000, "44.1uF", "--5", "+-5", "５.0", "1\n2", "𝟒𝟓",
    ],
)  # fmt: skip
def test_everything_else_is_refused_shortly(text):
    with pytest.raises(InputError) as caught:
        parse_number(text)
    assert len(in_english(caught.value)) < 160
    assert advised(caught.value)


@given(st.text(max_size=50))
def test_a_number_is_finite_or_refused(text):
    try:
        number = parse_number(text)
    except InputError:
        return
    assert number.is_finite() and math.isfinite(float(number))
    assert text.isascii() or not text.strip().replace("−", "-").replace(" ", "").isdigit()


@given(
    st.decimals(allow_nan=False, allow_infinity=False, places=3, min_value=-99999, max_value=99999)
)
def test_what_is_printed_with_a_point_is_read_back(number):
    assert parse_number(f"{number:f}") == number
