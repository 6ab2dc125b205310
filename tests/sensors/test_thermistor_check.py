"""A wrong curve is told from a bad sensor, and 25 °C tells nothing.

Resistances: tables of type 2 and type 3 (32 650 and 29 490 Ω at 0 °C, 10 000 Ω at 25 °C, 3 602 and
3 893 Ω at 50 °C; read or from memory, see test_sensors_resistance).
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmeter.errors import InputError
from benchmeter.sensors.curves import thermistors
from benchmeter.sensors.thermistor_check import CurveFinding, CurveVerdict, check_thermistor


def check(name: str, ohm: float, true_c: float, probe_u_c: float = 0.29) -> CurveVerdict:
    meter_u = 0.005 * ohm  # a handheld's 0.8 % and a few counts
    return check_thermistor(
        name, thermistors(), ohm, true_c, meter_u_ohm=meter_u, probe_u_c=probe_u_c
    )


@pytest.mark.parametrize(
    ("name", "ohm", "true_c", "finding"),
    [
        ("ntc-10k-2", 32_650, 0, CurveFinding.FITS),
        ("ntc-10k-3", 29_490, 0, CurveFinding.FITS),
        ("ntc-10k-2", 29_490, 0, CurveFinding.OTHER_CURVE),
        ("ntc-10k-3", 32_650, 0, CurveFinding.OTHER_CURVE),
        ("ntc-10k-2", 3_893, 50, CurveFinding.OTHER_CURVE),
        ("ntc-10k-3", 3_602, 50, CurveFinding.OTHER_CURVE),
        ("ntc-10k-2", 10_000, 25, CurveFinding.CANNOT_TELL),
        ("ntc-10k-3", 10_000, 25, CurveFinding.CANNOT_TELL),
        ("ntc-10k-2", 25_000, 0, CurveFinding.NO_CURVE),
        ("ntc-10k-3", 45_000, 0, CurveFinding.NO_CURVE),
        ("ntc-10k-2", 12_000, 25, CurveFinding.NO_CURVE),  # bad is bad at 25 °C too
        ("ntc-10k-2", 5e6, 0, CurveFinding.NO_CURVE),
        ("ntc-10k-2", 3, 0, CurveFinding.NO_CURVE),
    ],
)
def test_what_a_resistance_at_a_known_temperature_says(name, ohm, true_c, finding):
    found = check(name, ohm, true_c)
    assert found.finding is finding
    assert (name in found.possible) == (finding in (CurveFinding.FITS, CurveFinding.CANNOT_TELL))


def test_a_poor_probe_cannot_tell_where_a_good_one_can():
    """At 0 °C the curves are 2.0 K apart (computed)."""
    assert check("ntc-10k-2", 29_490, 0, probe_u_c=1.0).finding is CurveFinding.CANNOT_TELL
    assert check("ntc-10k-2", 29_490, 0, probe_u_c=0.1).finding is CurveFinding.OTHER_CURVE


def test_the_uncertainty_of_meter_and_probe_are_joined():
    """U = 2·sqrt((u_R / |dR/dT|)² + u_probe²); type 3 has 12 267.8 Ω at 20 °C and
    8196.4 Ω at 30 °C, so at 25 °C it changes by 10 000·ln(12267.8/8196.4)/10 = 403.3 Ω/K."""
    found = check_thermistor(
        "ntc-10k-3", thermistors(), 10_000, 25, meter_u_ohm=40.33, probe_u_c=0.1
    )
    assert found.expanded_uncertainty_c["ntc-10k-3"] == pytest.approx(2 * 0.1 * 2**0.5, rel=0.02)


@pytest.mark.parametrize(
    ("ohm", "true_c"),
    [(0, 0), (-5, 0), (float("nan"), 0), (float("inf"), 0), (10_000, 200), (10_000, -60), (10_000, float("nan"))],
)  # fmt: skip
def test_what_cannot_be_checked_is_refused(ohm, true_c):
    with pytest.raises(InputError):
        check("ntc-10k-2", ohm, true_c)


@given(st.floats(1, 1e7), st.floats(-50, 150), st.floats(0.01, 2))
def test_total_and_consistent(ohm, true_c, probe_u):
    found = check("ntc-10k-2", ohm, true_c, probe_u)
    better = check("ntc-10k-2", ohm, true_c, probe_u / 2)
    assert set(better.possible) <= set(found.possible), "a better probe never allows more"
