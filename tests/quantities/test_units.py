"""Units as people and meters write them."""

from decimal import Decimal, getcontext, localcontext
from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmeter.errors import InputError
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.units import (
    UNITS,
    find_unit,
    parse_value,
    resolution_of,
    split_value,
    to_si,
)
from tests.fakes.refusals import in_english, refused

_SI = {
    "capacitance": "farad",
    "resistance": "ohm",
    "voltage": "volt",
    "current": "ampere",
    "frequency": "hertz",
    "time": "second",
    "ratio": "dimensionless",
    "relative humidity": "dimensionless",
    "airflow": "meter ** 3 / second",
    "gauge pressure": "pascal",
    "power": "watt",
    "pressure": "pascal",
    "temperature": "kelvin",
    "temperature difference": "kelvin",
}


_NAMED_HERE = {  # what the reference library has no name for
    "cubic_meter_per_second": "meter ** 3 / second",
    "cubic_meter_per_hour": "meter ** 3 / hour",
    "liter_per_second": "liter / second",
    "cubic_foot_per_minute": "foot ** 3 / minute",
}


@pytest.fixture(scope="module")
def registry() -> "pint.UnitRegistry":
    return pint.UnitRegistry()


@pytest.mark.parametrize("symbol", UNITS)
@pytest.mark.parametrize("number", ["0", "1", "44.10", "-12.5", "98.6"])
def test_every_unit_agrees_with_the_reference_library(registry, symbol, number):
    """Source: pint's default registry (BIPM SI brochure factors)."""
    unit = UNITS[symbol]
    name = "psi" if unit.symbol == "psig" else unit.definition.removesuffix("_gauge")
    unit_of_pint = registry.Unit(_NAMED_HERE.get(name, name))
    reference = registry.Quantity(float(number), unit_of_pint).to(_SI[unit.kind]).magnitude
    assert to_si(Decimal(number), unit) == pytest.approx(reference, rel=1e-12, abs=1e-15)


@pytest.mark.parametrize("symbol", UNITS)
def test_every_unit_is_found_by_the_symbol_that_we_print(symbol):
    if symbol in ("mF", "F"):  # ambiguous on purpose
        return
    assert find_unit(symbol) is UNITS[symbol]


@pytest.mark.parametrize("micro", ["\u00b5", "\u03bc", "u"])
@pytest.mark.parametrize(
    ("rest", "kind"), [("F", "capacitance"), ("V", "voltage"), ("A", "current")]
)
def test_both_micro_signs_and_the_letter_u_are_micro(micro, rest, kind):
    """U+00B5 and U+03BC look alike and both occur (Unicode Standard, 22.2)."""
    assert find_unit(micro + rest, kind).scale == Decimal("1e-6")


@pytest.mark.parametrize("ohm", ["\u03a9", "\u2126", "ohm"])
def test_both_ohm_signs_are_ohm(ohm):
    """U+2126 is canonically equivalent to U+03A9 (Unicode Standard)."""
    assert find_unit("k" + ohm).symbol == "kΩ"
    assert find_unit("M" + ohm).symbol == "MΩ"
    assert find_unit("m" + ohm).symbol == "mΩ"


@pytest.mark.parametrize("text", ["mF", "MF", "Mf", "m F", "m\u00a0F"])
def test_millifarad_is_refused_since_labels_mean_microfarad_by_it(text):
    with refused(InputError, match="microfarad or millifarad"):
        find_unit(text, "capacitance")


def test_letter_case_counts_where_it_parts_milli_from_mega():
    assert find_unit("mohm").scale == Decimal("0.001")
    assert find_unit("Mohm").scale == Decimal("1e6")
    for text in ("MOHM", "mhz", "MV", "MA"):
        with pytest.raises(InputError):
            find_unit(text)


def test_f_is_farad_or_fahrenheit_by_what_is_expected():
    assert find_unit("F", "capacitance").symbol == "F"
    assert find_unit("F", "temperature").symbol == "°F"
    with refused(InputError, match="farad or Fahrenheit"):
        find_unit("F")


@pytest.mark.parametrize("unit", ["psi", "bar", "kPa", "Pa"])
def test_gauge_and_absolute_pressure_are_units_of_their_own(unit):
    """A superheat from the one taken for the other would be wrong by an atmosphere."""
    absolute, gauge = UNITS[unit], UNITS[f"{unit}g"]
    assert find_unit(unit) is find_unit(f"{unit}a") is find_unit(unit, "pressure") is absolute
    assert find_unit(f"{unit}g") is find_unit(unit, "gauge pressure") is gauge
    assert (absolute.scale, absolute.kind) != (gauge.scale, gauge.kind)
    for name, kind in ((f"{unit}g", "pressure"), (f"{unit}a", "gauge pressure")):
        with refused(InputError, match=f"{name}” is a unit of"):
            find_unit(name, kind)


def test_a_unit_of_another_kind_is_refused():
    with refused(InputError, match="unit of resistance, not of capacitance"):
        parse_value("44.1 kohm", "capacitance")


@pytest.mark.parametrize("text", ["cfm²", "", "µ", "45", "lb", "mfds", "F" * 5000, "µF V"])
def test_what_is_not_in_the_list_is_refused_shortly(text):
    with pytest.raises(InputError) as caught:
        find_unit(text)
    assert len(in_english(caught.value)) < 120


@pytest.mark.parametrize(
    ("text", "number", "unit"),
    [
        ("45uF", "45", "uF"),
        ("44,1 µF", "44,1", "µF"),
        ("4.4e-5F", "4.4e-5", "F"),
        ("4.4E-5 F", "4.4E-5", "F"),
        ("-40 °C", "-40", "°C"),
        ("−40°C", "−40", "°C"),
        ("44.1\u00a0µF", "44.1", "µF"),
        ("44.1\u202fµF", "44.1", "µF"),
        ("5.3", "5.3", ""),
        ("OL", "", "OL"),
    ],
)
def test_number_and_unit_are_parted(text, number, unit):
    assert split_value(text) == (number, unit)


@pytest.mark.parametrize(
    "text", ["45", "uF", "", "4 5uF", "1'234uF", "45uF 5", "45²F", "٤٥uF", "nan uF"]
)
def test_a_value_that_is_none_is_refused(text):
    with pytest.raises(InputError):
        parse_value(text, "capacitance")


def test_nothing_is_colder_than_absolute_zero():
    for text in ("-273.16 °C", "-460F", "-0.1 K"):
        with refused(InputError, match="absolute zero"):
            parse_value(text, "temperature")
    assert to_si(*parse_value("-273.15 °C", "temperature")) == 0.0


def test_a_difference_is_no_temperature():
    """10 °F of difference are 5.556 K, never 260.9 K."""
    assert to_si(*parse_value("10deltaF", "temperature difference")) == pytest.approx(
        50 / 9, rel=1e-15
    )
    with pytest.raises(InputError):
        parse_value("10 °F", "temperature difference")
    with pytest.raises(InputError):
        parse_value("10deltaF", "temperature")


_DECIMALS = st.decimals(
    allow_nan=False, allow_infinity=False, places=4, min_value=-(10**9), max_value=10**9
)


@given(_DECIMALS, st.sampled_from([s for s, u in UNITS.items() if "°F" not in s]))
def test_the_way_to_si_is_rounded_once(number, symbol):
    """The float nearest to the exact fraction."""
    unit = UNITS[symbol]
    exact = (Fraction(number) + Fraction(unit.zero)) * Fraction(unit.scale)
    assert to_si(number, unit) == float(exact)


@given(_DECIMALS)
def test_fahrenheit_is_rounded_once(number):
    """ITS-90: T/K = (t/°F + 459.67) · 5/9."""
    assert to_si(number, UNITS["°F"]) == float(
        (Fraction(number) + Fraction("459.67")) * Fraction(5, 9)
    )


def test_the_way_to_si_does_not_hang_on_the_decimal_context_of_the_caller():
    with localcontext() as context:
        context.prec = 3
        assert to_si(Decimal("44.1234"), UNITS["µF"]) == 44.1234e-6
    assert getcontext().prec == 28


@pytest.mark.parametrize(
    ("text", "resolution"),
    [("44.1", 1e-7), ("44.10", 1e-8), ("44", 1e-6), ("4.41e1", 1e-7), ("4E1", 1e-5)],
)
def test_the_last_written_digit_is_the_resolution(text, resolution):
    assert resolution_of(Decimal(text), UNITS["µF"]) == resolution


def test_resolution_of_a_temperature_is_a_difference():
    assert resolution_of(Decimal("86.0"), UNITS["°F"]) == pytest.approx(0.1 * 5 / 9, rel=1e-15)


def test_every_quantity_has_a_unit_that_is_its_si_unit():
    for quantity in Quantity:
        kind, si = quantity.kind, quantity.row.si_unit
        assert si == "1" or any(u.kind == kind and u.scale == 1 for u in UNITS.values())


@given(st.text(max_size=60))
def test_no_text_raises_anything_but_an_input_error(text):
    for kind in ("", "capacitance", "temperature"):
        try:
            number, unit = parse_value(text, kind)
        except InputError:
            continue
        value = to_si(number, unit)
        assert value == value and abs(value) != float("inf")


def test_a_number_without_a_unit_says_nothing_of_what_it_is():
    with pytest.raises(InputError) as caught:
        parse_value("44.1", "capacitance")
    assert caught.value.message.code == "quantities.unit_missing"
    assert parse_value("44.1", "capacitance", "uF")[1].symbol == "µF"
