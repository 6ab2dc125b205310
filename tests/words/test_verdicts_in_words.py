"""Verdicts in words: every word and reason has some, in the section's unit, to sensible digits.

Limits and uncertainties by arithmetic (CALC); two digits of U (JCGM 100 cl. 7.2.6), otherwise those
of the meter.
"""

import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmeter.conformity.judgement import judge_measurement, without_value
from benchmeter.conformity.verdict import Accuracy, Measurement, Reason, Rule, Verdict
from benchmeter.parts.nameplate.label import parse_label
from benchmeter.quantities.quantity import Quantity
from benchmeter.words.numbers import exact_text, span_text
from benchmeter.words.presentation import Presentation
from benchmeter.words.verdicts import (
    limits_text,
    probability_words,
    reading_words,
    set_to,
    verdict_in_words,
    verdict_word,
    why,
)

D = Decimal
UF = D("1e-6")
OHM, MEGOHM = Quantity.RESISTANCE, D("1e6")
RUN, SMALL = (parse_label(f"{rated} µF ±6 %").sections[0] for rated in (45, 5))
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
    """Reading, digit and standard uncertainty in µF of a capacitor, else in SI."""
    scale = UF if section in (RUN, SMALL) else D(1)
    accuracy = None if u is None else Accuracy(D(0), D(1), D(u * math.sqrt(3)) * scale, "")
    return judge_measurement(
        section, [D(reading) * scale], resolution_si=D(digit) * scale, accuracy=accuracy, rule=rule
    )


def test_the_words_of_the_command_line():
    """design: these words are what scripts rely on."""
    assert [verdict_word(w) for w in Verdict] == [
        "pass", "conditional pass", "conditional fail", "fail", "undecidable", "measured", "open", "shorted", "no reading",
    ]  # fmt: skip


def test_every_verdict_is_said_in_the_technicians_words():
    said = [verdict_in_words(w) for w in Verdict]
    assert len(set(said)) == len(Verdict)
    assert said[1] == ("Reads good, but too near a limit for this meter.")
    assert all(each.endswith(".") for each in said)


@pytest.mark.parametrize("quantity", Quantity)
@pytest.mark.parametrize("reason", Reason)
def test_every_reason_is_a_sentence_for_every_quantity(quantity, reason):
    section = Measurement("one", None, D(1), D(2), quantity, "")
    said = why(without_value(section, reason))
    assert said[0].isupper()
    assert said.endswith(".")
    assert set_to(quantity)


@pytest.mark.parametrize(
    ("section", "text"),
    [
        (RUN, "42.3 to 47.7 µF"), (COIL, "9 to 14 Ω"), (INSULATION, "at least 1 MΩ"),
        (CONTACT, "no more than 0.5 Ω"), (PAIR, ""), (CUT_OUT, "155 to 165 °F"),
    ],
)  # fmt: skip
def test_limits_on_both_sides_on_one_and_on_none(section, text):
    assert limits_text(section) == text


@pytest.mark.parametrize(
    ("verdict", "says"),
    [
        (judged(RUN, "45", 0.425), "45.00 ±0.85 µF is inside 42.3 to 47.7 µF."),
        # Φ of a table of the normal distribution; U = 2a/√3 reaches no further than the limit (CALC)
        (judged(RUN, "42.8", 0.425), "42.80 µF is inside 42.3 to 47.7 µF, but within the meter's ±0.85 µF of 42.3 µF. 88.0 % likely inside. Do not fit it on this reading: a meter of ±0.43 µF can decide."),
        (judged(RUN, "47.3", 0.425), "47.30 µF is inside 42.3 to 47.7 µF, but within the meter's ±0.85 µF of 47.7 µF. 82.7 % likely inside. Do not fit it on this reading: a meter of ±0.34 µF can decide."),
        (judged(RUN, "42.0", 0.425), "42.00 µF is outside 42.3 to 47.7 µF, but by no more than the meter's ±0.85 µF. 76.0 % likely outside. Do not condemn it on this reading: a meter of ±0.25 µF can decide."),
        (judged(RUN, "41.0", 0.425), "41.00 ±0.85 µF is below the limit of 42.3 µF."),
        (judged(RUN, "49.0", 0.425), "49.00 ±0.85 µF is above the limit of 47.7 µF."),
        (judged(RUN, "42.3"), "42.30 µF is inside 42.3 to 47.7 µF; the meter's accuracy is not known."),
        (judged(RUN, "42.29"), "42.29 µF is below the limit of 42.3 µF; the meter's accuracy is not known."),
        (judged(RUN, "0.02"), "0.02 µF is no more than 1 % of 45 µF: open."),
        (judged(COIL, "0.8"), "0.80 Ω is no more than 1 Ω: shorted."),
        (judged(INSULATION, "2e6", digit="1e4"), "2.00 MΩ is at least 1 MΩ; the meter's accuracy is not known."),
        (judged(INSULATION, "2e6", 1e5), "2.00 ±0.20 MΩ is at least 1 MΩ."),
        (judged(INSULATION, "1.1e6", 1e5), "1.10 MΩ is at least 1 MΩ, but within the meter's ±0.20 MΩ of 1 MΩ. 84.1 % likely inside. Do not fit it on this reading: a meter of ±0.086 MΩ can decide."),
        (judged(INSULATION, "0.9e6", 1e5), "0.90 MΩ is below 1 MΩ, but by no more than the meter's ±0.20 MΩ. 84.1 % likely outside. Do not condemn it on this reading: a meter of ±0.086 MΩ can decide."),
        (judged(INSULATION, "0.5e6", 1e5), "0.50 ±0.20 MΩ is below the limit of 1 MΩ."),
        (judged(CONTACT, "0.2", 0.01), "0.200 ±0.020 Ω is no more than 0.5 Ω."),
        (judged(CONTACT, "0.51", 0.01), "0.510 Ω is above 0.5 Ω, but by no more than the meter's ±0.020 Ω. 84.1 % likely outside. Do not condemn it on this reading: a meter of ±0.0086 Ω can decide."),
        (judged(CONTACT, "0.6", 0.01), "0.600 ±0.020 Ω is above the limit of 0.5 Ω."),
        (judged(CONTACT, "0.51"), "0.51 Ω is above the limit of 0.5 Ω; the meter's accuracy is not known."),
        (judged(CONTACT, "0.49", 0.01, Rule.SIMPLE), "0.490 Ω is no more than 0.5 Ω; the rule leaves the meter's ±0.020 Ω aside."),
        (judged(PAIR, "2.6", 0.02), "2.600 ±0.040 Ω; judged with the others."),
        (judged(CUT_OUT, "344.26111111111111", 0.5), "160.0 ±1.8 °F is inside 155 to 165 °F."),
        (without_value(COIL, Reason.OVERLOAD), "The meter showed overload: open."),
        (without_value(COIL, Reason.NO_CAPACITANCE), "No continuity between the terminals: open."),
        (without_value(COIL, Reason.NO_RESISTANCE), "No resistance between the terminals: shorted."),
        (without_value(INSULATION, Reason.OVERLOAD), "The meter showed overload: beyond its range, where at least 1 MΩ is needed."),
        (without_value(COIL, Reason.WRONG_FUNCTION), "The meter was not set to ohms."),
        (without_value(COIL, Reason.BELOW_ZERO), "The reading is below zero: no resistance reads so. Check the leads."),
        # a of the needed meter: (5.3 - 4.7)/4·√3 = 0.2598 (CALC), rounded down so that it suffices
        (
            judged(SMALL, "5", 0.26),
            "5.00 ±0.52 µF: the limits 4.7 to 5.3 µF are closer together than that; "
            "a meter good for ±0.25 µF or better could decide.",
        ),
    ],
)  # fmt: skip
def test_the_reason_has_its_numbers_in_the_unit_of_the_section(verdict, says):
    assert why(verdict) == says


def test_a_sentence_is_written_as_the_person_prefers():
    """A comma; a number tied to its unit at the end of a line; full stops stay."""
    found = judged(CONTACT, "0.2", 0.01)
    assert why(found, Presentation(decimal_sign=",")) == "0,200 ±0,020 Ω is no more than 0,5 Ω."
    tied = why(judged(COIL, "12", 0.1), Presentation(unit_space="\u00a0"))
    assert tied == "12.00\u00a0±0.20\u00a0Ω is inside 9 to 14\u00a0Ω."


def test_an_uncertainty_of_degrees_has_no_zero_point():
    """U = 2·0.5 K = 1.8 °F (definition of the scale)."""
    assert reading_words(judged(CUT_OUT, "298.15", 0.5)) == "77.0 ±1.8 °F"


@given(st.integers(40_000, 50_000), st.floats(0.01, 5), st.booleans())
def test_the_reading_is_never_said_on_the_wrong_side_of_a_limit(thousandths, u, known):
    verdict = judged(RUN, f"{thousandths / 1000:.3f}", u if known else None, digit="0.1")
    said = D(reading_words(verdict).split()[0])
    exact = D(thousandths) / 1000
    for limit in (D("42.3"), D("47.7")):
        assert said.compare(limit) == exact.compare(limit)


def test_probability_is_never_certainty():
    said = [probability_words(p) for p in (1.0, 0.0, 0.76294)]
    assert said == ["> 99.9 %", "< 0.1 %", "76.3 %"]


@pytest.mark.parametrize("reading", ["1e20", "1e290"])
def test_extreme_values_can_be_said(reading):
    assert why(judged(RUN, reading, 0.4)).endswith("above the limit of 47.7 µF.")


def test_an_accuracy_in_counts_of_unknown_worth_says_how_to_write_it():
    accuracy = Accuracy(D(1), D(2), None, "1 % + 2 counts")
    found = judge_measurement(
        RUN, [45 * UF], resolution_si=None, accuracy=accuracy, rule=Rule.GUARDED
    )
    assert "2 x 0.1 µF" in why(found)
    assert reading_words(found) == "45 µF"


def test_scatter_is_answered_by_measuring_again():
    accuracy = Accuracy(D(0), D(1), D("0.01") * UF, "")
    readings = [D(y) * UF for y in ("4.2", "5.0", "5.8")]
    found = judge_measurement(
        SMALL, readings, resolution_si=UF, accuracy=accuracy, rule=Rule.GUARDED
    )
    assert why(found).endswith("the readings scatter too much: measure again.")


def test_a_welded_contact_is_written_in_ohms_though_its_limit_is_in_megohms() -> None:
    found = judged(INSULATION, "0.2", digit="0.1")
    assert reading_words(found) == "0.2 Ω"
    assert why(found).startswith("0.2 Ω is below the limit of 1 MΩ")


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
