"""What a person types as a reading: a value of the section's quantity, or why there is none."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmeter.checking.typed_reading import parse_typed
from benchmeter.conformity.verdict import Measurement, Reason, Verdict
from benchmeter.errors import InputError
from benchmeter.quantities.quantity import Quantity
from tests.fakes.refusals import advised, in_english, refused

D = Decimal
COIL = Measurement("coil", None, D(9), D(14), Quantity.RESISTANCE, "Ω", D(1), Verdict.OPEN)
INSULATION = Measurement(
    "case", None, D("1e6"), None, Quantity.RESISTANCE, "MΩ", None, Verdict.PASS
)
CONTACT = Measurement("closed", None, None, D(1), Quantity.RESISTANCE, "Ω", None, None)
VOLTS = Measurement("volts", D(24), D(20), D(26), Quantity.VOLTAGE_AC, "V")
EMF = Measurement("emf", None, None, None, Quantity.VOLTAGE_DC, "mV", None, Verdict.OPEN)
PROBE = Measurement("probe", None, None, None, Quantity.TEMPERATURE, "°F")
PRESSURE = Measurement("opens", None, D(1), D("1e7"), Quantity.GAUGE_PRESSURE, "psig")
BLEED = Measurement(
    "bleed", None, D(13500), D(22000), Quantity.RESISTANCE, "kΩ", D(10), Verdict.OPEN
)
FARAD = Measurement("single", D("5e-6"), D("4.7e-6"), D("5.3e-6"))


@pytest.mark.parametrize(
    ("text", "section", "value", "digit"),
    [
        ("12.0", COIL, "12.0", "0.1"),
        ("12,0 ohm", COIL, "12.0", "0.1"),
        ("0.012 kohm", COIL, "12", "1"),
        ("5.2 Mohm", INSULATION, "5.2e6", "1e5"),
        ("999 kohm", INSULATION, "999e3", "1e3"),
        ("24 VAC", VOLTS, "24", "1"),
        ("24100 mV", VOLTS, "24.1", "0.001"),
        ("-1.2 mV", EMF, "-0.0012", "0.0001"),
        ("0 C", PROBE, "273.15", "1"),
        ("300 K", PROBE, "300", "1"),
        ("44.1", FARAD, "44.1e-6", "1e-7"),
        ("1 bar", PRESSURE, "100000", "100000"),
    ],
)
def test_a_value_in_any_unit_of_the_quantity(text, section, value, digit):
    """Scales: SI prefixes; 0 °C = 273.15 K; 1 bar = 100 kPa (definitions)."""
    found = parse_typed(text, section)
    assert (found.value_si, found.resolution_si, found.reason) == (D(value), D(digit), None)


@pytest.mark.parametrize("text", ["77 F", "77 °F", "77f", "77 degF"])
def test_a_bare_f_is_a_temperature_where_one_is_measured(text):
    """77 °F are 25 °C, 298.15 K (definition of the scale)."""
    found = parse_typed(text, PROBE)
    assert found.value_si is not None
    assert abs(found.value_si - D("298.15")) < D("1e-20")


@pytest.mark.parametrize(
    ("text", "section", "reason"),
    [
        ("24 V", COIL, Reason.WRONG_FUNCTION),
        ("5 uF", COIL, Reason.WRONG_FUNCTION),
        ("24 VDC", VOLTS, Reason.WRONG_FUNCTION),
        ("12 ohm", VOLTS, Reason.WRONG_FUNCTION),
        ("12 ohm", PROBE, Reason.WRONG_FUNCTION),
        ("12 ohm", FARAD, Reason.WRONG_FUNCTION),
        ("0.01 VAC", FARAD, Reason.WRONG_FUNCTION),
        ("9 ohm", FARAD, Reason.NO_RESISTANCE),
        ("OL", COIL, Reason.OVERLOAD),
        ("0.L", INSULATION, Reason.OVERLOAD),
        ("OL", VOLTS, Reason.OVERLOAD),
        ("open", COIL, Reason.NO_CAPACITANCE),
        ("open", CONTACT, Reason.NO_CAPACITANCE),
        ("open", INSULATION, Reason.OVERLOAD),
        ("open", EMF, Reason.OVERLOAD),
        ("shorted", COIL, Reason.NO_RESISTANCE),
        ("short", FARAD, Reason.NO_RESISTANCE),
        ("none", COIL, Reason.NOT_MEASURED),
        ("---", PROBE, Reason.NOT_MEASURED),
    ],
)
def test_what_is_no_value_says_why(text, section, reason):
    found = parse_typed(text, section)
    assert (found.value_si, found.resolution_si, found.reason) == (None, None, reason)


@pytest.mark.parametrize(
    ("text", "section", "says"),
    [
        ("shorted", INSULATION, "by its value"),
        ("shorted", CONTACT, "by its value"),
        ("open", VOLTS, "AC voltage"),
        ("shorted", PROBE, "temperature"),
        ("-500 F", PROBE, "absolute zero"),
        ("12 min", COIL, "nothing that a meter"),
        ("10 deltaF", PROBE, "nothing that a meter"),
        ("1e15 ohm", COIL, "more than any meter"),
        ("twelve", COIL, "no reading"),
        ("12 parsec", COIL, "parsec"),
        ("5 F", COIL, "farad or Fahrenheit"),
        ("5 min", FARAD, "nothing that a meter"),
        ("10 k", COIL, "kΩ or kelvin"),
        ("5", INSULATION, r"Add .*5 MΩ or 5 Ω"),
        ("0.5", BLEED, r"Add .*0.5 kΩ or 0.5 Ω"),
        ("4.1", EMF, r"Add .*4.1 mV or 4.1 V"),
        ("77", PROBE, r"Add .*77 °F or 77 °C"),
        ("610", PRESSURE, r"Add .*610 psig"),
    ],
)
def test_what_decides_nothing_is_refused_in_words(text, section, says):
    with refused(InputError, match=says) as caught:
        parse_typed(text, section)
    assert advised(caught.value) or "Write" in in_english(caught.value)


@given(
    st.text(max_size=20),
    st.sampled_from([COIL, INSULATION, BLEED, VOLTS, EMF, PROBE, PRESSURE, FARAD]),
)
def test_any_text_is_a_reading_or_an_error_in_words(text, section):
    try:
        found = parse_typed(text, section)
    except InputError:
        return
    assert (found.value_si is None) == (found.reason is not None)
