"""The definitions of units: the exact table and pint read the same, and nothing else is known."""

import subprocess
import sys
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pint import DimensionalityError, UndefinedUnitError

from benchmeter.errors import InputError
from benchmeter.quantities.compound_units import find_compound, parse_compound, unit_registry
from benchmeter.quantities.definitions import DEFINITIONS, read_definitions
from benchmeter.quantities.units import UNITS, Unit, to_si

SI = {
    "capacitance": "farad",
    "resistance": "ohm",
    "voltage": "volt",
    "current": "ampere",
    "frequency": "hertz",
    "time": "second",
    "ratio": "dimensionless",
    "power": "watt",
    "pressure": "pascal",
    "gauge pressure": "pascal_gauge",
    "relative humidity": "dimensionless",
    "airflow": "cubic_meter_per_second",
    "temperature": "kelvin",
    "temperature difference": "delta_degree_Celsius",
}


def converted(number: str, source: str, target: str) -> Decimal:
    quantity = unit_registry().Quantity(Decimal(number), source)
    return Decimal(quantity.to(target).magnitude)


@pytest.mark.parametrize("unit", UNITS.values(), ids=str)
def test_each_unit_of_the_table_is_worth_what_pint_reads_in_the_definitions(unit: Unit) -> None:
    for number in ("0", "1", "-40", "12.5"):
        expected = (Decimal(number) + unit.zero) * unit.scale
        found = converted(number, unit.definition, SI[unit.kind])
        assert float(found) == pytest.approx(float(expected), rel=1e-15, abs=1e-15)


def test_no_unit_is_defined_that_only_one_of_the_two_readers_knows() -> None:
    mine = set(read_definitions(DEFINITIONS.read_text(encoding="utf-8")).units)
    assert {name for name in mine if name in unit_registry()} == mine
    assert len(mine) > 25


@pytest.mark.parametrize(
    ("line", "scale", "offset"),
    [
        ("foot = 0.3048 * meter", Fraction(3048, 10_000), 0),
        ("x = meter ** 3 / 8", Fraction(1, 8), 0),
        ("x = 5 / 9 * meter; offset: 1 + 2 / 9 = y", Fraction(5, 9), Fraction(11, 9)),
        ("x = 0.1 * meter", Fraction(1, 10), 0),  # as written, and not the nearest binary number
    ],
)
def test_a_definition_is_read_exactly(line: str, scale: Fraction, offset: Fraction) -> None:
    worth = read_definitions(f"meter = [length] = m\n{line}").worth(line.split(" ")[0])
    assert (worth.scale, worth.offset) == (scale, offset)


@pytest.mark.parametrize("line", ["x = 2 * yard", "x = meter - 1", "x = f(2)", "x = meter meter"])
def test_a_definition_that_cannot_be_read_stops_the_program(line: str) -> None:
    with pytest.raises((ValueError, SyntaxError)):
        read_definitions(f"meter = [length]\n{line}")


@pytest.mark.parametrize(
    ("text", "kind", "si"),
    [
        ("15 kV/mA", "resistance", 15e6),
        ("45 µA·s/V", "capacitance", 45e-6),
        ("45uA*s/V", "capacitance", 45e-6),
        ("2 m³/min", "airflow", 2 / 60),
        ("3 N/m^2", "pressure", 3.0),
        ("60 1/s", "frequency", None),  # a number without a blank in it
        ("45 µF", "capacitance", 45e-6),
        ("10 l/s", "airflow", 0.01),  # of the table, however it looks
    ],
)
def test_a_composed_unit_is_typed_like_any_other(text: str, kind: str, si: float | None) -> None:
    if si is None:
        with pytest.raises(InputError):
            parse_compound(text, kind)
    else:
        assert to_si(*parse_compound(text, kind)) == si


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("V*A", "resistance"),
        ("psig/1", "pressure"),  # gauge pressure lacks the pressure around
        ("°C/s", "temperature"),
        ("V/V", "ratio"),
        ("x/y", "voltage"),
        ("V**9/A", "voltage"),
        ("__import__/os", "voltage"),
        ("V/" * 30 + "A", "voltage"),
        ("", "voltage"),
    ],
)
def test_what_is_no_composed_unit_of_that_kind_is_refused(text: str, kind: str) -> None:
    with pytest.raises(InputError):
        find_compound(text, kind)


@given(st.text("VAmsΩkg1*/·^²2-µ ", max_size=12))
def test_any_composed_unit_is_worth_something_or_refused(text: str) -> None:
    try:
        unit = find_compound(text, "resistance")
    except InputError:
        return
    assert unit.scale > 0 and unit.scale.is_finite()


@pytest.mark.parametrize("name", ["CFM", "mfd", "VAC", "fermi", "cF"])
def test_what_is_not_ours_is_not_known(name: str) -> None:
    """A registry of all the world's units reads cfm as centifermi; ours knows no fermi."""
    with pytest.raises(UndefinedUnitError):
        unit_registry().Unit(name)


def test_a_gauge_pressure_is_not_converted_to_an_absolute_one() -> None:
    with pytest.raises(DimensionalityError):
        converted("118", "psig", "psi")


def test_a_difference_of_10_kelvin_is_18_fahrenheit_degrees_and_never_50() -> None:
    """9/5 of it (NIST SP 811, B.8): no zero point in a difference."""
    found = converted("10", "delta_degree_Celsius", "delta_degree_Fahrenheit")
    assert float(found) == pytest.approx(18, rel=1e-15)
    assert float(converted("10", "degree_Celsius", "degree_Fahrenheit")) == pytest.approx(50)


def test_pint_is_loaded_for_a_composed_unit_only() -> None:
    """It takes a third of a second, which no reading and no other command waits for."""
    code = (
        "import sys; from benchmeter.quantities import compound_units as c; "
        "import benchmeter.links.instruments.building, benchmeter.words.numbers; "
        "c.parse_compound('118 psig', 'gauge pressure'); assert 'pint' not in sys.modules; "
        "c.parse_compound('1 kV/mA', 'resistance'); assert 'pint' in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True, timeout=60)
