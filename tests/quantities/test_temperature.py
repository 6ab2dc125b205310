"""A temperature and a difference of temperatures."""

import pytest

from benchmeter.quantities.temperature import Temperature, TemperatureDifference


@pytest.mark.parametrize(
    ("kelvin", "celsius", "fahrenheit"),
    [
        (273.15, 0.0, 32.0),
        (373.15, 100.0, 212.0),
        (233.15, -40.0, -40.0),
        (308.15, 35.0, 95.0),
        (0.0, -273.15, -459.67),
    ],
)
def test_the_scales_agree_at_their_fixed_points(kelvin, celsius, fahrenheit):
    """Definitions of the scales (BIPM SI brochure 2.3.1; NIST SP 811 B.8)."""
    assert Temperature(kelvin).celsius == pytest.approx(celsius, abs=1e-9)
    assert Temperature(kelvin).fahrenheit == pytest.approx(fahrenheit, abs=1e-9)


def test_a_difference_never_gets_the_offset():
    """10 K are 18 °F of difference, never 50 °F."""
    assert TemperatureDifference(10.0).fahrenheit_degrees == 18.0
    split = Temperature(303.15) - Temperature(293.15)
    assert isinstance(split, TemperatureDifference)
    assert split.fahrenheit_degrees == pytest.approx(18.0)


def test_a_difference_moves_a_temperature():
    warm = Temperature(293.15) + TemperatureDifference(10.0)
    assert warm == Temperature(303.15)
    assert warm - TemperatureDifference(10.0) == Temperature(293.15)


def test_two_temperatures_cannot_be_added():
    with pytest.raises(TypeError):
        Temperature(1.0) + Temperature(2.0)  # type: ignore[operator]
