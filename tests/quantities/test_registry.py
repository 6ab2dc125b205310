"""The registry agrees with the closed list of units, and reads nothing else."""

from decimal import Decimal

import pytest
from pint import DimensionalityError, UndefinedUnitError

from benchmeter.files.resources import resource
from benchmeter.quantities.registry import unit_registry
from benchmeter.quantities.units import UNITS, Unit

FILE = resource("units/units.txt")
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
    quantity = unit_registry(FILE).Quantity(Decimal(number), source)
    return Decimal(quantity.to(target).magnitude)


@pytest.mark.parametrize("unit", UNITS.values(), ids=str)
def test_each_unit_of_the_list_is_the_registrys(unit: Unit) -> None:
    definition = unit.definition or "dimensionless"
    for number in ("0", "1", "-40", "12.5"):
        expected = (Decimal(number) + unit.zero) * unit.scale
        found = converted(number, definition, SI[unit.kind])
        assert float(found) == pytest.approx(float(expected), rel=1e-15, abs=1e-15)


def test_one_registry_however_often_it_is_asked_for() -> None:
    assert unit_registry(FILE) is unit_registry(FILE)


def test_a_difference_of_10_kelvin_is_18_fahrenheit_degrees_and_never_50() -> None:
    """9/5 of it (NIST SP 811, B.8): no zero point in a difference."""
    found = converted("10", "delta_degree_Celsius", "delta_degree_Fahrenheit")
    assert float(found) == pytest.approx(18, rel=1e-15)
    assert float(converted("10", "degree_Celsius", "degree_Fahrenheit")) == pytest.approx(50)


@pytest.mark.parametrize("celsius, fahrenheit", [("0", 32), ("100", 212), ("-40", -40), ("30", 86)])
def test_temperatures(celsius: str, fahrenheit: float) -> None:
    """Ice point, steam point, and where both scales meet (NIST SP 811, B.8)."""
    found = converted(celsius, "degree_Celsius", "degree_Fahrenheit")
    assert float(found) == pytest.approx(fahrenheit, rel=1e-15)


@pytest.mark.parametrize("name", ["CFM", "mfd", "VAC", "fermi", "cF"])
def test_what_is_not_ours_is_not_known(name: str) -> None:
    """A registry of all the world's units reads cfm as centifermi; ours knows no fermi."""
    with pytest.raises(UndefinedUnitError):
        unit_registry(FILE).Unit(name)


def test_a_gauge_pressure_is_not_converted_to_an_absolute_one() -> None:
    """What lacks is the pressure around."""
    with pytest.raises(DimensionalityError):
        converted("118", "psig", "psi")
    assert float(converted("1", "cfm", "liter_per_second")) == pytest.approx(
        0.4719474432, rel=1e-15
    )
