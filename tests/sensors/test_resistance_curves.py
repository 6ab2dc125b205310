"""Pt100 and thermistors against published tables."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmeter.conformity.verdict import Verdict
from benchmeter.errors import InputError
from benchmeter.sensors.curves import load_sensor, sensor_names, thermistors
from benchmeter.sensors.resistance_curves import Platinum, Thermistor
from benchmeter.sensors.sensor_class import judge_sensor
from tests.fakes.refusals import advised


def pt100() -> Platinum:
    found = load_sensor("pt100")
    assert isinstance(found, Platinum)
    return found


def ntc(name: str) -> Thermistor:
    found = load_sensor(name)
    assert isinstance(found, Thermistor)
    return found


# IEC 60751: published tables print 2 decimals; 4 computed from the formula.
PT100 = [
    (-200, 18.5201), (-100, 60.2558), (-50, 80.3063), (-40, 84.2707), (-20, 92.1599), (-10, 96.0859), (0, 100.0),
    (10, 103.9025), (20, 107.7935), (25, 109.7347), (30, 111.6729), (40, 115.5408), (50, 119.3971), (60, 123.2419),
    (80, 130.8968), (100, 138.5055), (150, 157.3251), (200, 175.8560), (300, 212.0515), (400, 247.0920), (600, 313.7080),
]  # fmt: skip


@pytest.mark.parametrize(("t", "ohm"), PT100)
def test_the_table_of_the_pt100(t, ohm):
    assert pt100().resistance_ohm(t) == pytest.approx(ohm, abs=0.00006)
    assert pt100().temperature_c(ohm) == pytest.approx(t, abs=0.0002)


def test_a_misprint_of_one_table_is_not_repeated():
    """One table prints 35.34 Ω at -160 °C; the formula of IEC 60751 gives 35.54 Ω (computed)."""
    assert pt100().resistance_ohm(-160) == pytest.approx(35.54, abs=0.005)


def test_the_ends_of_the_printed_table_are_inside():
    """IEC 60751 (from memory): 18.52 Ω at -200 °C, 390.48 Ω at 850 °C."""
    assert pt100().temperature_c(18.52) == pytest.approx(-200, abs=0.01)
    assert pt100().temperature_c(390.48) == pytest.approx(850, abs=0.02)


# Read: AA 0.1 + 0.0017|t|, A 0.15 + 0.002|t|, B 0.3 + 0.005|t|; C 0.6 + 0.01|t| from memory.
@pytest.mark.parametrize(
    ("klass", "t", "tolerance"),
    [("AA", 100, 0.27), ("A", 100, 0.35), ("B", 100, 0.80), ("C", 100, 1.60), ("A", 25, 0.20), ("B", 25, 0.425), ("B", -40, 0.5)],
)  # fmt: skip
def test_tolerance_classes(klass, t, tolerance):
    assert pt100().tolerance_c(klass, t) == pytest.approx(tolerance)


# Ranges of thermometers, IEC 60751:2008 (from memory).
@pytest.mark.parametrize(
    ("klass", "build", "inside", "outside"),
    [
        ("AA", "wire wound", (-50, 250), (-51, 251)),
        ("AA", "film", (0, 150), (-1, 151)),
        ("A", "wire wound", (-100, 450), (-101, 451)),
        ("A", "film", (-30, 300), (-31, 301)),
        ("B", "wire wound", (-196, 600), (-197, 601)),
        ("B", "film", (-50, 500), (-51, 501)),
        ("C", "film", (-50, 600), (-51, 601)),
        ("AA", "", (0, 150), (-1, 151)),  # not known: where it holds for each
    ],
)
def test_a_class_holds_in_its_range_only(klass, build, inside, outside):
    for t in inside:
        assert pt100().tolerance_c(klass, t, build) > 0
    for t in outside:
        with pytest.raises(InputError):
            pt100().tolerance_c(klass, t, build)


@pytest.mark.parametrize(("klass", "build"), [("D", ""), ("A", "glass"), ("", "")])
def test_unknown_classes_and_builds_are_refused(klass, build):
    with pytest.raises(InputError):
        pt100().tolerance_c(klass, 20, build)


def test_a_pt100_beside_a_reference():
    """Class B at 100 °C: ±0.80 K; zones of ILAC-G8:09/2019 cl. 4.2.3 with U = 0.1 K."""
    words = [judge_sensor(pt100(), "B", t, 100, 0.1).verdict for t in (100.6, 100.75, 99.15, 99.0)]
    assert words == [Verdict.PASS, Verdict.CONDITIONAL_PASS, Verdict.CONDITIONAL_FAIL, Verdict.FAIL]


@given(st.floats(-200, 850))
def test_pt100_there_and_back(t):
    assert pt100().temperature_c(pt100().resistance_ohm(t)) == pytest.approx(t, abs=1e-7)


# °C, type 2 and type 3 in ohm: computed from the coefficients.
THERMISTORS = [
    (-40, 336_046, 239_828), (-20, 96_998, 78_930), (0, 32_649.6, 29_490), (10, 19_902.7, 18_786.5), (20, 12_493.2, 12_267.8),
    (25, 9_999.9, 10_000.0), (30, 8_056.0, 8_196.4), (40, 5_325.0, 5_593.7), (50, 3_601.1, 3_893.3), (100, 678.4, 817.2),
]  # fmt: skip


@pytest.mark.parametrize(("t", "type_2", "type_3"), THERMISTORS)
def test_thermistors_at_computed_points(t, type_2, type_3):
    assert ntc("ntc-10k-2").temperature_c(type_2) == pytest.approx(t, abs=0.02)
    assert ntc("ntc-10k-3").temperature_c(type_3) == pytest.approx(t, abs=0.02)
    assert ntc("ntc-10k-2").resistance_ohm(t) == pytest.approx(type_2, rel=1e-4)
    assert ntc("ntc-10k-3").resistance_ohm(t) == pytest.approx(type_3, rel=1e-4)


# Printed tables of such sensors; those of type 2 below 30 °C read, the rest from memory.
@pytest.mark.parametrize(
    ("name", "t", "ohm"),
    [
        ("ntc-10k-2", -40, 335_671),
        ("ntc-10k-2", -40, 336_103),
        ("ntc-10k-2", -20, 97_006.9),
        ("ntc-10k-2", 0, 32_650.9),
        ("ntc-10k-2", 0, 32_650),
        ("ntc-10k-2", 25, 10_000),
        ("ntc-10k-2", 50, 3_602.5),
        ("ntc-10k-3", -40, 239_831),
        ("ntc-10k-3", 0, 29_490),
        ("ntc-10k-3", 25, 10_000),
        ("ntc-10k-3", 50, 3_893),
        ("ntc-10k-3", 100, 817),
    ],
)
def test_thermistors_agree_with_printed_tables(name, t, ohm):
    assert ntc(name).temperature_c(ohm) == pytest.approx(t, abs=0.15)


# Computed: what a wrong curve shows.
@pytest.mark.parametrize(
    ("name", "ohm", "shown"),
    [("ntc-10k-2", 29_490, 2.006), ("ntc-10k-3", 32_650, -2.180), ("ntc-10k-2", 3_893, 47.96)],
)
def test_the_wrong_curve_is_kelvins_off(name, ohm, shown):
    assert ntc(name).temperature_c(ohm) == pytest.approx(shown, abs=0.005)


@given(st.sampled_from(["ntc-10k-2", "ntc-10k-3"]), st.floats(-50, 150))
def test_thermistors_there_and_back(name, t):
    sensor = ntc(name)
    assert sensor.temperature_c(sensor.resistance_ohm(t)) == pytest.approx(t, abs=1e-6)
    # The slope against a difference of the curve itself.
    if -49 < t < 149:
        step = sensor.resistance_ohm(t - 0.01) - sensor.resistance_ohm(t + 0.01)
        assert sensor.per_kelvin(t) == pytest.approx(step / 0.02, rel=1e-4)


@given(st.sampled_from(["pt100", "ntc-10k-2", "ntc-10k-3"]), st.floats())
def test_any_number_is_a_temperature_or_an_input_error(name, ohm):
    sensor = load_sensor(name)
    try:
        found = sensor.temperature_c(ohm)
    except InputError:
        return
    assert sensor.lowest_c - 0.01 <= found <= sensor.highest_c + 0.01


@given(st.text(max_size=30))
def test_any_name_is_a_sensor_or_an_input_error(name):
    try:
        load_sensor(name)
    except InputError as error:
        assert "pt100" in advised(error)


def test_every_file_is_a_sensor_and_names_its_source():
    assert {"pt100", "ntc-10k-2", "ntc-10k-3", "K", "T", "J"} <= set(sensor_names())
    assert all(load_sensor(name).source for name in sensor_names())
    assert set(thermistors()) == {"ntc-10k-2", "ntc-10k-3"}
    assert load_sensor(" PT100 ") is not None
