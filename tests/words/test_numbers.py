"""Digits, units and signs as people read them."""

import math
import subprocess
import sys
from decimal import Decimal

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from benchmeter.quantities.compound_units import unit_registry
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.units import UNITS, resolution_of, to_si
from benchmeter.readings.status import Status
from benchmeter.words.durations import about_text, age, duration_text
from benchmeter.words.numbers import NOTHING, number_text
from benchmeter.words.presentation import PLAIN, Presentation
from benchmeter.words.shown_reading import reading_text
from benchmeter.words.temperatures import difference_text, temperature_text
from tests.fakes.readings import reading_in_si

IN = {"°C": PLAIN, "°F": Presentation(temperature_unit="°F")}
COMMA = Presentation(decimal_sign=",")


def shown(
    digits: str, symbol: str, quantity: Quantity, unit: str = "°C", *, text: str | None = None, sign: str = "."
) -> tuple[str, str]:  # fmt: skip
    """What stands on the screen when the meter shows `digits` `symbol`."""
    number, its = Decimal(digits), UNITS[symbol]
    written = f"{digits} {symbol}" if text is None else text
    reading = reading_in_si(
        "m", 0, to_si(number, its), Status.OK, resolution_of(number, its), written
    )
    return reading_text(reading, quantity, Presentation("english", sign, unit))


@pytest.mark.parametrize(
    "value, decimals, text",
    [
        (34.25, 1, "34.2"),  # half to even (IEEE 754 4.3.1, ISO 80000-1 B.3 rule A)
        (34.35, 1, "34.4"),  # the decimal that was meant, not its binary neighbour
        (-0.04, 1, "0.0"),
        (-12.34, 1, "\u221212.3"),
        (1250.0, -2, "1200"),
        (4.41e-05, 6, "0.000044"),
        (math.nan, 1, NOTHING),
        (math.inf, 1, NOTHING),
    ],
)
def test_numbers(value: float, decimals: int, text: str) -> None:
    assert number_text(value, decimals) == text


def test_decimal_comma() -> None:
    assert COMMA.number(number_text(-12.34, 1)) == "\u221212,3"
    assert temperature_text(296.6, COMMA, decimals=2) == "23,45 °C"
    assert COMMA.exact(Decimal("0.0000423"), "µF") == "42,3 µF"


# 23.45 °C + 273.15 = 296.60 K; 86 °F = 30 °C = 303.15 K; -40 on both scales (NIST SP 811, B.8).
@pytest.mark.parametrize(
    "kelvin, unit, decimals, text",
    [
        (296.6, "°C", 2, "23.45 °C"),
        (303.15, "°F", 1, "86.0 °F"),
        (233.15, "°F", 0, "\u221240 °F"),
        (233.15, "°C", 0, "\u221240 °C"),
        (273.15, "°C", 1, "0.0 °C"),
    ],
)
def test_temperatures(kelvin: float, unit: str, decimals: int, text: str) -> None:
    assert temperature_text(kelvin, IN[unit], decimals=decimals) == text


@pytest.mark.parametrize(
    "kelvin, unit, text",
    [(10.0, "°F", "18.0 °F"), (10.0, "°C", "10.0 °C"), (-5.0, "°F", "\u22129.0 °F")],
)
def test_a_difference_has_no_zero_point(kelvin: float, unit: str, text: str) -> None:
    assert difference_text(kelvin, IN[unit]) == text


@pytest.mark.parametrize(
    "uncertainty, text",
    [
        (0.6, "34.2 °C ± 0.6"),
        (0.14, "34.20 °C ± 0.14"),  # two digits where it begins with 1 (JCGM 100:2008 7.2.6)
        (0.03, "34.20 °C ± 0.03"),
        (3.2, "34 °C ± 3"),
        (0.0, "34.2 °C"),
        (None, "34.2 °C"),
    ],
)
def test_the_uncertainty_says_how_many_digits(uncertainty: float | None, text: str) -> None:
    assert temperature_text(307.35, PLAIN, uncertainty_k=uncertainty) == text


def test_an_uncertainty_is_a_difference() -> None:
    """± 1 K is ± 1.8 °F, never ± 33.8."""
    assert temperature_text(303.15, IN["°F"], uncertainty_k=1.0) == "86.0 °F ± 1.8"


@pytest.mark.parametrize(
    "seconds, text",
    [
        (0, "0 s"), (-3, "0 s"), (40.4, "40 s"), (89, "89 s"), (90, "about 2 min"), (362, "about 6 min"),
        (3600, "about 1 h"), (4790, "about 1 h 20 min"), (7190, "about 2 h"), (math.inf, NOTHING),
    ],
)  # fmt: skip
def test_durations(seconds: float, text: str) -> None:
    assert duration_text(seconds, PLAIN) == text


@pytest.mark.parametrize(
    "digits, symbol, quantity",
    [
        ("44.10", "µF", Quantity.CAPACITANCE),
        ("0.00", "µF", Quantity.CAPACITANCE),
        ("4.70", "nF", Quantity.CAPACITANCE),
        ("230.5", "V", Quantity.VOLTAGE_AC),
        ("15.00", "kΩ", Quantity.RESISTANCE),
        ("23.45", "°C", Quantity.TEMPERATURE),
        ("0.120", "A", Quantity.CURRENT_AC),
    ],
)
def test_the_meters_own_digits_stay(digits: str, symbol: str, quantity: Quantity) -> None:
    assert shown(digits, symbol, quantity) == (digits, symbol)
    assert shown(digits, symbol, quantity, sign=",") == (digits.replace(".", ","), symbol)


def test_the_true_minus_sign() -> None:
    assert shown("-5.0", "°C", Quantity.TEMPERATURE) == ("\u22125.0", "°C")


@pytest.mark.parametrize(
    "digits, symbol, quantity, text, expected",
    [
        ("44.10", "µF", Quantity.CAPACITANCE, "+4.41000E-05", ("44.10", "µF")),
        ("1200", "µF", Quantity.CAPACITANCE, "", ("1200", "µF")),
        ("0.00", "µF", Quantity.CAPACITANCE, "0", ("0.00", "µF")),
        ("15.00", "kΩ", Quantity.RESISTANCE, "", ("15.00", "kΩ")),
        ("230.5", "V", Quantity.VOLTAGE_AC, "2305", ("230.5", "V")),
        ("23.45", "°C", Quantity.TEMPERATURE, "2345", ("23.45", "°C")),
        ("44.10", "µF", Quantity.CAPACITANCE, "45.00 µF", ("44.10", "µF")),  # of something else
    ],
)
def test_without_the_meters_text_the_resolution_says_the_digits(
    digits: str, symbol: str, quantity: Quantity, text: str, expected: tuple[str, str]
) -> None:
    assert shown(digits, symbol, quantity, text=text) == expected


# °F = °C·9/5 + 32. One digit of 0.1 °C is worth 0.18 °F: one decimal; of 1 °C 1.8 °F: none.
@pytest.mark.parametrize(
    "digits, symbol, unit, expected",
    [
        ("30.0", "°C", "°F", "86.0"),
        ("30", "°C", "°F", "86"),
        ("23.45", "°C", "°F", "74.21"),
        ("86.0", "°F", "°C", "30.0"),
        ("86", "°F", "°C", "30"),
        ("74.2", "°F", "°F", "74.2"),
        ("-40.0", "°F", "°C", "\u221240.0"),
    ],
)
def test_a_temperature_in_the_other_unit(
    digits: str, symbol: str, unit: str, expected: str
) -> None:
    assert shown(digits, symbol, Quantity.TEMPERATURE, unit)[0] == expected
    assert shown(digits, symbol, Quantity.TEMPERATURE, unit, text="")[0] == expected


def test_no_value() -> None:
    def text(status: Status) -> tuple[str, str]:
        return reading_text(
            reading_in_si("m", 0, None, status, None, ""), Quantity.CAPACITANCE, PLAIN
        )

    assert text(Status.OVERLOAD) == ("OL", "")
    assert text(Status.NO_CONTACT) == (NOTHING, "")


@given(st.integers(-99999, 99999), st.integers(0, 3), st.sampled_from(["°C", "°F"]))
def test_each_temperature_that_a_display_can_show_comes_back(
    counts: int, decimals: int, symbol: str
) -> None:
    number = Decimal(counts).scaleb(-decimals)
    if to_si(number, UNITS[symbol]) < 0:
        return
    expected = format(abs(number), "f"), symbol
    if number < 0:
        expected = "\u2212" + expected[0], symbol
    written = format(number, "f")
    assert shown(written, symbol, Quantity.TEMPERATURE, symbol) == expected
    assert shown(written, symbol, Quantity.TEMPERATURE, symbol, text="") == expected


@given(
    st.floats() | st.none(),
    st.floats() | st.none(),
    st.sampled_from(Quantity),
    st.sampled_from(["°C", "°F"]),
    st.text(max_size=12),
)
@example(sys.float_info.max, sys.float_info.max, Quantity.TEMPERATURE, "°F", "")
def test_any_reading_has_a_text(
    value: float | None, resolution: float | None, quantity: Quantity, unit: str, text: str
) -> None:
    digits, _ = reading_text(
        reading_in_si("m", 0, value, Status.OK, resolution, text), quantity, IN[unit]
    )
    assert digits
    assert "nan" not in digits.lower() and "inf" not in digits.lower() and "-" not in digits


@given(st.integers(0, 500_000), st.sampled_from(["°C", "°F"]))
def test_temperatures_convert_as_a_units_library_does(counts: int, unit: str) -> None:
    """pint 0.25, in decimals, from the definitions of the scales."""
    quantity = unit_registry().Quantity
    name = {"°C": "degree_Celsius", "°F": "degree_Fahrenheit"}[unit]
    kelvin = Decimal(counts).scaleb(-3)
    # a multiple of 0.001 K is a multiple of 0.0002 °F: shown whole, nothing hangs on rounding
    expected = quantity(kelvin, "kelvin").to(name).magnitude
    digits = temperature_text(float(kelvin), IN[unit], decimals=6).split(" ")[0]
    assert float(digits.replace("\u2212", "-")) == pytest.approx(float(expected), abs=1e-6)


def test_the_first_reading_needs_no_units_library() -> None:
    code = (
        "import sys; from benchmeter.words.temperatures import temperature_text as t;"
        "from benchmeter.words.presentation import PLAIN;"
        "t(300.0, PLAIN); sys.exit('pint' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


@pytest.mark.parametrize(
    ("seconds", "words"), [(0.4, "0.4 s"), (12, "12 s"), (-3, "0.0 s"), (7500, "2 h 5 min")]
)
def test_ages(seconds: float, words: str) -> None:
    assert age(int(seconds * 1e9), PLAIN) == words


def test_a_span_that_is_not_known_to_the_second_is_told_as_such() -> None:
    assert [about_text(x, PLAIN) for x in (40.0, 362.0)] == ["about 40 s", "about 6 min"]


def test_a_number_stays_with_its_unit_at_the_end_of_a_line() -> None:
    tied = Presentation(unit_space="\u00a0")
    assert tied.exact(Decimal("0.0000423"), "µF") == "42.3\u00a0µF"
    told = temperature_text(307.35, tied, uncertainty_k=0.6)
    assert told == "34.2\u00a0°C\u00a0± 0.6"
