"""Thermocouples against the tables of NIST Monograph 175 (ITS-90) = IEC 60584-1."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmeter.conformity.verdict import Verdict
from benchmeter.errors import InputError
from benchmeter.sensors.curves import load_sensor
from benchmeter.sensors.sensor_class import judge_sensor
from benchmeter.sensors.thermocouples import Thermocouple


def couple(name: str) -> Thermocouple:
    found = load_sensor(name)
    assert isinstance(found, Thermocouple)
    return found


# mV, reference junction at 0 °C. K below zero and T below zero read from published tables, the rest
# from memory of the same tables and computed from the reference functions.
TABLE = {
    -200: (-5.891, -5.603, -7.890),
    -100: (-3.554, -3.379, -4.633),
    -50: (-1.889, -1.819, -2.431),
    -40: (-1.527, -1.475, -1.961),
    -20: (-0.778, -0.757, -0.995),
    -10: (-0.392, -0.383, -0.501),
    0: (0.000, 0.000, 0.000),
    5: (0.198, 0.195, 0.253),
    10: (0.397, 0.391, 0.507),
    20: (0.798, 0.790, 1.019),
    25: (1.000, 0.992, 1.277),
    30: (1.203, 1.196, 1.537),
    40: (1.612, 1.612, 2.059),
    50: (2.023, 2.036, 2.585),
    80: (3.267, 3.358, 4.187),
    100: (4.096, 4.279, 5.269),
    200: (8.138, 9.288, 10.779),
    300: (12.209, 14.862, 16.327),
    400: (16.397, 20.872, 21.848),
    500: (20.644, None, 27.393),
    1000: (41.276, None, None),
}
ROWS = [
    (name, t, emf)
    for t, row in TABLE.items()
    for name, emf in zip("KTJ", row, strict=True)
    if emf is not None
]


@pytest.mark.parametrize(("name", "t", "emf"), ROWS)
def test_the_table_of_emf(name, t, emf):
    assert couple(name).emf_mv(t) == pytest.approx(emf, abs=0.0005)


@pytest.mark.parametrize(("name", "t", "emf"), ROWS)
def test_the_table_read_backwards(name, t, emf):
    # Rounding of the table, 0.0005 mV, over the smallest slope in these rows, 0.015 mV/K.
    assert couple(name).temperature_c(emf) == pytest.approx(t, abs=0.035)


# Ends of the reference functions (from memory of NIST Monograph 175).
@pytest.mark.parametrize(
    ("name", "t", "emf"),
    [
        ("K", -270, -6.458),
        ("K", 1372, 54.886),
        ("T", -270, -6.258),
        ("T", 400, 20.872),
        ("J", -210, -8.095),
        ("J", 760, 42.919),
        ("J", 1200, 69.553),
    ],
)
def test_the_ends_of_the_table_are_inside(name, t, emf):
    sensor = couple(name)
    assert sensor.emf_mv(t) == pytest.approx(emf, abs=0.0006)
    # Near -270 °C a type gives less than 0.001 mV/K: the table's rounding is worth 0.6 K there.
    assert sensor.temperature_c(emf) == pytest.approx(t, abs=0.7 if t == -270 else 0.02)


# Inverse polynomial of type K as quoted from NIST, error -0.05 to +0.04 °C (computed).
@pytest.mark.parametrize(
    ("emf", "t"),
    [(4.096, 99.96), (2.023, 50.03), (1.000, 24.98), (20.644, 499.98), (-1.527, -39.99)],
)
def test_the_published_inverse_agrees_within_its_error(emf, t):
    assert couple("K").temperature_c(emf) == pytest.approx(t, abs=0.06)


def test_the_cold_junction_adds_its_emf_and_not_its_temperature():
    """Computed: 100 °C with terminals at 25 °C reads 3.0960 mV; adding 25 °C gives 100.88 °C."""
    k = couple("K")
    assert k.emf_mv(100, junction_c=25) == pytest.approx(3.0960, abs=0.0005)
    assert k.temperature_c(3.0960, junction_c=25) == pytest.approx(100.0, abs=0.02)
    assert k.temperature_c(3.0960) == pytest.approx(75.88, abs=0.06)


# Tolerances of IEC 60584-1:2013 (from memory).
@pytest.mark.parametrize(
    ("name", "klass", "t", "tolerance"),
    [
        ("K", "1", 100, 1.5),
        ("K", "1", 500, 2.0),
        ("K", "2", 100, 2.5),
        ("K", "2", 400, 3.0),
        ("K", "3", -100, 2.5),
        ("K", "3", -200, 3.0),
        ("J", "1", 0, 1.5),
        ("J", "2", 400, 3.0),
        ("T", "1", -40, 0.5),
        ("T", "1", 200, 0.8),
        ("T", "2", 0, 1.0),
        ("T", "3", -100, 1.5),
    ],
)
def test_tolerance_classes(name, klass, t, tolerance):
    assert couple(name).tolerance_c(klass, t) == pytest.approx(tolerance)


@pytest.mark.parametrize(
    ("name", "klass", "t"), [("K", "1", -41), ("K", "1", 1001), ("T", "2", 351), ("J", "1", 751), ("K", "3", 41), ("J", "3", 0), ("K", "A", 0)]
)  # fmt: skip
def test_a_class_holds_in_its_range_only(name, klass, t):
    with pytest.raises(InputError):
        couple(name).tolerance_c(klass, t)


# ±2.5 °C (class 2 of type K, from memory), U = 0.5 °C; zones of ILAC-G8:09/2019 cl. 4.2.3.
@pytest.mark.parametrize(
    ("shown", "word"),
    [(101.9, Verdict.PASS), (102.2, Verdict.CONDITIONAL_PASS), (102.8, Verdict.CONDITIONAL_FAIL), (103.1, Verdict.FAIL), (97.8, Verdict.CONDITIONAL_PASS), (96.9, Verdict.FAIL)],
)  # fmt: skip
def test_a_sensor_is_judged_by_its_class(shown, word):
    assert judge_sensor(couple("K"), "2", shown, 100.0, 0.5).verdict is word


def test_a_probe_coarser_than_the_class_cannot_decide():
    assert judge_sensor(couple("T"), "1", 0.2, 0.0, 0.6).verdict is Verdict.UNDECIDABLE
    assert judge_sensor(couple("T"), "1", 1.2, 0.0, 0.6).verdict is Verdict.FAIL


@given(st.sampled_from("KTJ"), st.data())
def test_there_and_back(name, data):
    sensor = couple(name)
    t = data.draw(st.floats(sensor.lowest_c, sensor.highest_c))
    # Below -250 °C the curve is so flat that the last bits of the emf are worth more.
    assert sensor.temperature_c(sensor.emf_mv(t)) == pytest.approx(t, abs=1e-6)


@given(st.sampled_from("KTJ"), st.data())
def test_a_higher_emf_is_a_higher_temperature(name, data):
    sensor = couple(name)
    low = sensor.emf_mv(sensor.lowest_c)
    high = sensor.emf_mv(sensor.highest_c)
    emfs = sorted(data.draw(st.lists(st.floats(low, high), min_size=2, max_size=5)))
    temperatures = [sensor.temperature_c(e) for e in emfs]
    assert all(a <= b + 1e-9 for a, b in itertools.pairwise(temperatures))


@given(st.sampled_from("KTJ"), st.floats(allow_nan=True, allow_infinity=True), st.floats())
def test_any_number_is_a_temperature_or_an_input_error(name, emf, junction):
    sensor = couple(name)
    try:
        found = sensor.temperature_c(emf, junction)
    except InputError:
        return
    assert sensor.lowest_c <= found <= sensor.highest_c


@pytest.mark.parametrize("name", "KTJ")
def test_the_pieces_meet(name):
    """Within the rounding of the tables (Monograph 175): at 0 °C, type J at 760 °C."""
    first, second = couple(name).pieces
    at = first.highest_c
    assert first.curve(at)[0] == pytest.approx(second.curve(at)[0], abs=0.0005)


@pytest.mark.parametrize("name", "KTJ")
def test_against_a_reference_library(name):
    """Source: the package thermocouple-its90, coefficients read by machine from NIST SRD 60."""
    reference = pytest.importorskip("thermocouple_its90").get(name)
    sensor = couple(name)
    low, high = reference.range
    assert (sensor.lowest_c, sensor.highest_c) == (low, high)
    for step in range(int(high - low) + 1):
        assert sensor.emf_mv(low + step) == pytest.approx(reference.emf(low + step), abs=1e-9)
