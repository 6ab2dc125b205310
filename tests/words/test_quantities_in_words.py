"""Sections of any quantity in words: their own unit, one-sided limits, findings without a value.

Limits and uncertainties by arithmetic (CALC); two digits of U (JCGM 100 cl. 7.2.6).
"""

import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmeter.conformity.judgement import judge_measurement, without_value
from benchmeter.conformity.verdict import Accuracy, Measurement, Reason, Rule, Verdict
from benchmeter.quantities.quantity import Quantity
from benchmeter.words.numbers import exact_text, span_text
from benchmeter.words.presentation import Presentation
from benchmeter.words.verdicts import limits_text, reading_words, set_to, why

D = Decimal
OHM, MEGOHM = Quantity.RESISTANCE, D("1e6")
COIL = Measurement("coil", None, D(9), D(14), OHM, "Ω", D(1), Verdict.OPEN)
INSULATION = Measurement("to case", None, MEGOHM, None, OHM, "MΩ", None, Verdict.PASS)
CONTACT = Measurement("closed", None, None, D("0.5"), OHM, "Ω", None, Verdict.OPEN)
PAIR = Measurement("C-S", None, None, None, OHM, "Ω", None, Verdict.OPEN)
# 165 °F and 155 °F: (165 + 459.67)·5/9 = 347.0388… K (definition of the scale).
CUT_OUT = Measurement(
    "opens", None, D("341.48333333333333333333"), D("347.038888888888888888889"),
    Quantity.TEMPERATURE, "°F",
)  # fmt: skip


def judged(section, reading, u=None, rule=Rule.GUARDED, digit="0.01"):
    accuracy = None if u is None else Accuracy(D(0), D(1), D(u * math.sqrt(3)), "")
    return judge_measurement(
        section, [D(reading)], resolution_si=D(digit), accuracy=accuracy, rule=rule
    )


@pytest.mark.parametrize(
    ("section", "text"),
    [
        (COIL, "9 to 14 Ω"),
        (INSULATION, "at least 1 MΩ"),
        (CONTACT, "no more than 0.5 Ω"),
        (PAIR, ""),
        (CUT_OUT, "155 to 165 °F"),
    ],
)
def test_limits_on_both_sides_on_one_and_on_none(section, text):
    assert limits_text(section) == text


@pytest.mark.parametrize(
    ("verdict", "says"),
    [
        (judged(COIL, "12", 0.1), "12.00 ±0.20 Ω is inside 9 to 14 Ω."),
        (judged(COIL, "8", 0.1), "8.00 ±0.20 Ω is below the limit of 9 Ω."),
        (judged(COIL, "0.8"), "0.80 Ω is no more than 1 Ω: shorted."),
        (
            judged(INSULATION, "2e6", digit="1e4"),
            "2.00 MΩ is at least 1 MΩ; the meter's accuracy is not known.",
        ),
        (judged(INSULATION, "2e6", 1e5), "2.00 ±0.20 MΩ is at least 1 MΩ."),
        (
            judged(INSULATION, "1.1e6", 1e5),
            "1.10 MΩ is at least 1 MΩ, but within the meter's ±0.20 MΩ of 1 MΩ.",
        ),
        (
            judged(INSULATION, "0.9e6", 1e5),
            "0.90 MΩ is below 1 MΩ, but by no more than the meter's ±0.20 MΩ.",
        ),
        (judged(INSULATION, "0.5e6", 1e5), "0.50 ±0.20 MΩ is below the limit of 1 MΩ."),
        (judged(CONTACT, "0.2", 0.01), "0.200 ±0.020 Ω is no more than 0.5 Ω."),
        (
            judged(CONTACT, "0.51", 0.01),
            "0.510 Ω is above 0.5 Ω, but by no more than the meter's ±0.020 Ω.",
        ),
        (judged(CONTACT, "0.6", 0.01), "0.600 ±0.020 Ω is above the limit of 0.5 Ω."),
        (
            judged(CONTACT, "0.51"),
            "0.51 Ω is above the limit of 0.5 Ω; the meter's accuracy is not known.",
        ),
        (
            judged(CONTACT, "0.49", 0.01, Rule.SIMPLE),
            "0.490 Ω is no more than 0.5 Ω; the rule leaves the meter's ±0.020 Ω aside.",
        ),
        (judged(PAIR, "2.6", 0.02), "2.600 ±0.040 Ω; judged with the others."),
        (
            judged(CUT_OUT, "344.26111111111111", 0.5),
            "160.0 ±1.8 °F is inside 155 to 165 °F.",
        ),
        (without_value(COIL, Reason.OVERLOAD), "The meter showed overload: open."),
        (without_value(COIL, Reason.NO_CAPACITANCE), "No continuity between the terminals: open."),
        (without_value(COIL, Reason.NO_RESISTANCE), "No resistance between the terminals: shorted."),
        (
            without_value(INSULATION, Reason.OVERLOAD),
            "The meter showed overload: beyond its range, where at least 1 MΩ is needed.",
        ),
        (without_value(COIL, Reason.WRONG_FUNCTION), "The meter was not set to ohms."),
        (
            without_value(COIL, Reason.BELOW_ZERO),
            "The reading is below zero: no resistance reads so. Check the leads.",
        ),
    ],
)  # fmt: skip
def test_the_reason_has_its_numbers_in_the_unit_of_the_section(verdict, says):
    assert why(verdict) == says


def test_an_uncertainty_of_degrees_has_no_zero_point():
    """U = 2·0.5 K = 1.8 °F (definition of the scale)."""
    assert reading_words(judged(CUT_OUT, "298.15", 0.5)) == "77.0 ±1.8 °F"


@pytest.mark.parametrize("quantity", Quantity)
@pytest.mark.parametrize("reason", Reason)
def test_every_reason_is_a_sentence_for_every_quantity(quantity, reason):
    section = Measurement("one", None, D(1), D(2), quantity, "")
    said = why(without_value(section, reason))
    assert said[0].isupper()
    assert said.endswith(".")
    assert set_to(quantity)


@given(st.integers(-4000, 40_000))
def test_any_temperature_that_is_typed_comes_back(tenths):
    """From °F to K and back: exact to the digit (definition of the scale)."""
    fahrenheit = D(tenths) / 10
    kelvin = (fahrenheit + D("459.67")) * D(5) / D(9)
    assert D(exact_text(kelvin, "°F")) == fahrenheit


@given(st.decimals(0, 10**9, places=3, allow_nan=False))
def test_every_digit_of_an_exact_value_is_told(number):
    assert D(exact_text(number, "Ω")) == number
    assert D(exact_text(number * 1000, "kΩ")) == number


def test_a_quotient_without_an_end_has_six_digits():
    """240²/1100 = 52.3636… Ω (CALC)."""
    assert exact_text(D(57600) / D(1100), "Ω") == "52.3636"
    assert span_text(D("0.1") * D(5) / D(9), "°F") == "0.1"


def test_a_number_stays_with_its_unit_at_the_end_of_a_line():
    said = why(judged(COIL, "12", 0.1), Presentation(unit_space="\u00a0"))
    assert said == "12.00\u00a0±0.20\u00a0Ω is inside 9 to 14\u00a0Ω."


def test_a_sentence_has_the_persons_decimal_sign_and_keeps_its_full_stops():
    said = why(judged(CONTACT, "0.2", 0.01), Presentation(decimal_sign=","))
    assert said == "0,200 ±0,020 Ω is no more than 0,5 Ω."
