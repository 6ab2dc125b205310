"""What several measurements say together, in the technician's words.

The numbers: worked examples of NEMA MG 1 (460, 467, 450 V: 1.96 %), of C = I/(2πfV) (6.28 A, 370 V,
60 Hz: 45.022 µF), of IEC 60751 (class B ±0.30 °C at 0 °C), the tables of both 10 kΩ thermistors.
"""

import pytest

from benchmeter.conformity.verdict import (
    Reason,
    Verdict,
)
from benchmeter.motors.windings import WindingFinding
from benchmeter.parts.conclusion import (
    Conclusion,
)
from benchmeter.parts.part_kind import (
    AlikeRule,
    Between,
    DifferenceRule,
    SensorRule,
    UnbalanceRule,
    UnderLoadRule,
    WindingsRule,
)
from benchmeter.sensors.thermistor_check import CurveFinding
from benchmeter.words.conclusion_words import conclusion_value, conclusion_why
from tests.fakes.concluded import CONCLUDED

LINES = ("L1-L2", "L2-L3", "L1-L3")
WINDINGS = WindingsRule(
    name="C", pairs={p: p for p in ("C-S", "C-R", "S-R")}, failure="Bad.", **CONCLUDED
)
ALIKE = AlikeRule(name="C", of=LINES, most="5 %", failure="Bad.", **CONCLUDED)
UNBALANCE = UnbalanceRule(name="C", of=LINES, most="1 %", failure="Bad.", **CONCLUDED)
LOAD = UnderLoadRule(
    name="C",
    volts="volts",
    amps="amps",
    frequency="f",
    section="single",
    too_low="Bad.",
    too_high="Bad.",
    open="Bad.",
    **CONCLUDED,
)
SENSOR = SensorRule(
    name="C", reading="ohms", probe="probe", sensor="sensor", failure="Bad.", **CONCLUDED
)
DIFFERENCE = DifferenceRule(
    name="C", of="opens", less="closes", unit="Δ°F", limits=Between(low="20 °F"),
    too_low="Bad.", **CONCLUDED,
)  # fmt: skip


def told(rule, word, finding, value=None, u=None, **more) -> str:
    return conclusion_why(Conclusion("C", word, finding.value, value, u, **more), rule)


def test_an_unbalance_tells_the_line_and_what_the_motor_may_give():
    more = {"high_si": 0.01, "unit": "%", "names": ("L1-L3",)}
    text = told(UNBALANCE, Verdict.FAIL, Reason.ABOVE, 0.019608, 0.0021, **more)
    assert text == (
        "L1-L3 is 1.96 ±0.21 % off the mean; the limit is 1 %. "
        "The motor may give 95 % of its rated power."
    )
    text = told(UNBALANCE, Verdict.FAIL, Reason.ABOVE, 0.051, 0.002, **more)
    assert text.endswith("More than 5 %: do not run a motor on this supply.")
    text = told(UNBALANCE, Verdict.UNDECIDABLE, Reason.METER_TOO_COARSE, 0.014, 0.014, **more)
    assert text == "L1-L3 is 1.4 ±1.4 % off the mean: too coarse to judge 1 %."


# Two digits of the uncertainty (JCGM 100 cl. 7.2.6), and those that tell the side of the limit.
@pytest.mark.parametrize(
    ("value", "u", "text"),
    [
        (0.0510, 0.0090, "5.10 ±0.90 %"),
        (0.0510, 0.0098, "5.10 ±0.98 %"),
        (0.0502, 0.012, "5.02 ±1.2 %"),
        (0.05, 0.012, "5.0 ±1.2 %"),
        (0.03205, None, "3.20 %"),
        (0.0, None, "0 %"),
        (-0.0000001, 0.012, "0.0 ±1.2 %"),
    ],
)
def test_a_value_has_the_digits_that_its_uncertainty_supports(value, u, text):
    found = Conclusion("C", Verdict.FAIL, "above", value, u, high_si=0.05, unit="%")
    assert conclusion_value(found) == text


def test_without_a_value_there_is_none():
    assert conclusion_value(Conclusion("C", Verdict.NO_READING, "not measured")) == ""


@pytest.mark.parametrize(
    ("rule", "text"),
    [
        (WINDINGS, "Needs C-S, C-R and S-R; at least one has no reading."),
        (ALIKE, "Needs L1-L2, L2-L3 and L1-L3; at least one has no reading."),
        (LOAD, "Needs volts and amps; at least one has no reading."),
        (SENSOR, "Needs ohms and probe; at least one has no reading."),
        (DIFFERENCE, "Needs opens and closes; at least one has no reading."),
    ],
)
def test_what_is_missing_is_named(rule, text):
    assert told(rule, Verdict.NO_READING, Reason.NOT_MEASURED) == text


def test_the_windings_name_the_terminals_where_they_were_found():
    more = {"unit": "Ω", "terminals": {"C": "2", "S": "1", "R": "3"}}
    text = told(WINDINGS, Verdict.PASS, WindingFinding.CONSISTENT, 0.0, 0.44, **more)
    assert "±0.44 Ω" in text and text.endswith(" C is 2, R is 3 and S is 1.")
    more["terminals"] = {"C": "C", "S": "S", "R": "R"}
    text = told(WINDINGS, Verdict.PASS, WindingFinding.CONSISTENT, 0.0, 0.44, **more)
    assert text.endswith("the terminals are where they belong.")
    assert "cool" in told(WINDINGS, Verdict.OPEN, WindingFinding.OPEN_AT_C)


@pytest.mark.parametrize(
    ("word", "reason", "value", "u", "text"),
    [
        (Verdict.PASS, Reason.INSIDE, 45.022, 1.2, "45.0 ±1.2 µF is inside 42.3 to 47.7 µF."),
        (
            Verdict.CONDITIONAL_PASS, Reason.NEAR_LIMIT_INSIDE, 42.8, 1.2,
            "42.8 µF is inside 42.3 to 47.7 µF, but within the meter's ±1.2 µF of 42.3 µF.",
        ),
        (
            Verdict.CONDITIONAL_FAIL, Reason.NEAR_LIMIT_OUTSIDE, 48.0, 1.2,
            "48.0 µF is outside 42.3 to 47.7 µF, but by no more than the meter's ±1.2 µF.",
        ),
        (Verdict.FAIL, Reason.BELOW, 35.846, 0.93, "35.85 ±0.93 µF is below the limit of 42.3 µF."),
        (
            Verdict.PASS, Reason.INSIDE_ACCURACY_UNKNOWN, 45.022, None,
            "45.0 µF is inside 42.3 to 47.7 µF; the meter's accuracy is not known.",
        ),
        (
            Verdict.UNDECIDABLE, Reason.METER_TOO_COARSE, 45.022, 5.7,
            "45.0 ±5.7 µF: the limits 42.3 to 47.7 µF are closer together than that; "
            "it takes a finer meter.",
        ),
        (
            Verdict.UNDECIDABLE, Reason.COUNT_UNKNOWN, 45.022, None,
            "45.0 µF; the accuracy counts digits, but what one is worth is not known: "
            "write it with its unit, like 2 x 0.1 V.",
        ),
    ],
)  # fmt: skip
def test_a_capacitor_under_load(word, reason, value, u, text):
    value, u = value * 1e-6, u and u * 1e-6
    limits = {"low_si": 42.3e-6, "high_si": 47.7e-6, "unit": "µF"}
    assert told(LOAD, word, reason, value, u, **limits) == f"volts and amps: {text}"


def test_volts_without_current():
    text = told(LOAD, Verdict.OPEN, Reason.NO_CAPACITANCE, 0.0, None, unit="µF")
    assert text == "There are volts across it, but no current goes through it: open."


def test_a_difference_is_told_in_degrees_and_not_in_the_sign_of_a_difference():
    more = {"low_si": 20 * 5 / 9, "unit": "Δ°F"}
    text = told(DIFFERENCE, Verdict.PASS, Reason.INSIDE, 30 * 5 / 9, 1.633, **more)
    assert text == "opens less closes: 30.0 ±2.9 °F is at least 20 °F."


def test_a_sensor_is_told_by_its_class_or_by_its_curve():
    by_class = {"low_si": -0.3, "high_si": 0.3, "unit": "K", "names": ("Pt100", "B")}
    text = told(SENSOR, Verdict.CONDITIONAL_PASS, Reason.NEAR_LIMIT_INSIDE, 0.13, 0.19, **by_class)
    assert text == "+0.13 ±0.19 K off; class B allows ±0.30 K."
    by_curve = {"low_si": -0.5, "high_si": 0.5, "unit": "K", "names": ("ntc-10k-2",)}
    text = told(SENSOR, Verdict.CONDITIONAL_FAIL, Reason.NEAR_LIMIT_OUTSIDE, 0.6, 0.61, **by_curve)
    assert text == "+0.60 ±0.61 K off; a sound ntc-10k-2 is within ±0.50 K."


def test_a_wrong_curve_is_no_bad_sensor():
    """Type 3 at 0 °C, 29 490 Ω, read as type 2 is 2.006 K off (computed)."""
    more = {"unit": "K", "names": ("ntc-10k-2", "ntc-10k-3")}
    text = told(SENSOR, Verdict.FAIL, CurveFinding.OTHER_CURVE, 2.006, 0.61, **more)
    assert text == (
        "As ntc-10k-2 it is +2.01 K off (±0.61 K), but it fits ntc-10k-3: a wrong curve, not a bad "
        "sensor. Check at a second temperature."
    )
    text = told(SENSOR, Verdict.UNDECIDABLE, CurveFinding.CANNOT_TELL, 0.0, None, **more)
    assert "ntc-10k-3 fits here as well" in text and "ice water" in text
    never = told(SENSOR, Verdict.FAIL, CurveFinding.NO_CURVE, None, None, names=("ntc-10k-2",))
    assert never.startswith("As ntc-10k-2 it reads what that curve never has")


def test_the_pole_that_is_farthest_off_is_named():
    more = {"high_si": 0.02, "unit": "mV", "names": ("L2-L3",)}
    text = told(ALIKE, Verdict.FAIL, Reason.ABOVE, 0.0252, 0.0028, **more)
    assert text == "L2-L3 is 25.2 ±2.8 mV off the mean; the limit is 20 mV."
    assert told(ALIKE, Verdict.OPEN, Reason.OVERLOAD) == "One of L1-L2, L2-L3 and L1-L3 is open."
