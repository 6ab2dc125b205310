"""What the files of the sensors say of range and class, written once more from the standards.

Tolerances: IEC 60751 table 3 (±(constant + fraction × |t|)) and IEC 60584-1:2013 (the larger of
the two), both from memory, as the ranges are. The curves themselves are tested against tables.
"""

import pytest

from benchmeter.sensors.curves import load_sensor

WIRE, WOUND, FILM = "wire", "wire wound", "film"
CLASSES: dict[str, dict[str, tuple[float, float, dict[str, tuple[float, float]]]]] = {
    "pt100": {
        "AA": (0.1, 0.0017, {WOUND: (-50, 250), FILM: (0, 150)}),
        "A": (0.15, 0.002, {WOUND: (-100, 450), FILM: (-30, 300)}),
        "B": (0.3, 0.005, {WOUND: (-196, 600), FILM: (-50, 500)}),
        "C": (0.6, 0.01, {WOUND: (-196, 600), FILM: (-50, 600)}),
    },
    "J": {
        "1": (1.5, 0.004, {WIRE: (-40, 750)}),
        "2": (2.5, 0.0075, {WIRE: (-40, 750)}),
    },
    "K": {
        "1": (1.5, 0.004, {WIRE: (-40, 1000)}),
        "2": (2.5, 0.0075, {WIRE: (-40, 1200)}),
        "3": (2.5, 0.015, {WIRE: (-200, 40)}),
    },
    "T": {
        "1": (0.5, 0.004, {WIRE: (-40, 350)}),
        "2": (1.0, 0.0075, {WIRE: (-40, 350)}),
        "3": (1.0, 0.015, {WIRE: (-200, 40)}),
    },
}
# IEC 60751 gives the curve from -200 to 850 °C; NIST Monograph 175 J to 1200, K to 1372, T to 400.
RANGES = {
    "pt100": (-200, 850),
    "J": (-210, 1200),
    "K": (-270, 1372),
    "T": (-270, 400),
    "ntc-10k-2": (-50, 150),
    "ntc-10k-3": (-50, 150),
}


@pytest.mark.parametrize("name", CLASSES)
def test_the_classes_are_those_of_the_standard(name: str) -> None:
    classes = load_sensor(name).classes
    found = {k: (c.constant_c, c.fraction, dict(c.ranges_c)) for k, c in classes.items()}
    assert found == CLASSES[name]


@pytest.mark.parametrize("name", RANGES)
def test_the_curve_reaches_as_far_as_its_source(name: str) -> None:
    sensor = load_sensor(name)
    assert (sensor.lowest_c, sensor.highest_c) == RANGES[name]
