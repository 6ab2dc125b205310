"""Under-load capacitance and discharge time against computed tables."""

import math

import pytest

from benchmeter.errors import InputError
from benchmeter.parts.capacitor import discharge, under_load
from tests.fakes.ends import takes_from_to
from tests.fakes.refusals import advised


# C[µF] = 1e6·I / (2·pi·f·V), computed to 5 digits; trade form 2652·I/V at 60 Hz, 3183·I/V at 50 Hz
# (common practice, no source).
@pytest.mark.parametrize(
    "current, voltage, frequency, microfarad, tolerance",
    [
        (6.28, 370, 60, 45.022, 0.001),
        (0.70, 370, 60, 5.0184, 0.0001),
        (7.46, 440, 60, 44.973, 0.001),
        (5.00, 230, 50, 69.198, 0.001),
        (3.73, 220, 60, 44.973, 0.001),
        (6.276902, 370, 60, 45.000, 0.001),
    ],
)
def test_capacitance_under_load(
    current: float, voltage: float, frequency: float, microfarad: float, tolerance: float
) -> None:
    assert under_load(current, voltage, frequency) * 1e6 == pytest.approx(microfarad, abs=tolerance)


@pytest.mark.parametrize("frequency, factor", [(60, 2652.582385), (50, 3183.098862)])
def test_the_factor_of_the_trade_form(frequency: float, factor: float) -> None:
    assert under_load(1, 1, frequency) * 1e6 == pytest.approx(factor, rel=1e-9)


# V0 = sqrt(2)·Vrms, E = C·V0²/2, t = R·C·ln(V0/50 V), computed to 6 digits.
@pytest.mark.parametrize(
    "microfarad, rms, peak, energy, through_15k, through_20k",
    [
        (45, 370, 523.259, 6.1605, 1.58494, 2.11325),
        (35, 440, 622.254, 6.776, 1.32370, 1.76493),
        (80, 440, 622.254, 15.488, 3.02559, 4.03412),
        (5, 370, 523.259, 0.6845, 0.17610, 0.23481),
    ],
)
def test_discharge(
    microfarad: float,
    rms: float,
    peak: float,
    energy: float,
    through_15k: float,
    through_20k: float,
) -> None:
    found = discharge(microfarad * 1e-6, rms, 15e3)
    assert found.peak_v == pytest.approx(peak, rel=1e-4)
    assert found.energy_j == pytest.approx(energy, rel=1e-4)
    assert found.time_s == pytest.approx(through_15k, rel=1e-4)
    assert discharge(microfarad * 1e-6, rms, 20e3).time_s == pytest.approx(through_20k, rel=1e-4)


def test_to_60_v_in_5_s_needs_51_kilohm() -> None:
    """NFPA 79 6.5.1: 60 V in 5 s; R = 51.30 kohm at 45 µF from 523.26 V (computed)."""
    assert discharge(45e-6, 370, 51.30e3, to_v=60).time_s == pytest.approx(5, rel=1e-3)


@pytest.mark.parametrize(
    "values", [(0, 370, 60), (-6.28, 370, 60), (6.28, 0, 60), (6.28, 37000, 60), (6.28, 370, 6000), (6.28, 370, 0), (math.nan, 370, 60), (math.inf, 370, 60)]
)  # fmt: skip
def test_under_load_refuses_what_no_motor_has(values: tuple[float, float, float]) -> None:
    with pytest.raises(InputError) as caught:
        under_load(*values)
    assert advised(caught.value)


@pytest.mark.parametrize(
    "values", [(0, 370, 15e3), (45e-6, -370, 15e3), (45e-6, 370, 0), (45e-6, 370, 1e12), (45.0, 370, 15e3), (45e-6, 370, 15e3, 0), (45e-6, 370, 15e3, 523.3), (45e-6, 370, 15e3, -50)]
)  # fmt: skip
def test_discharge_refuses_absurd_values(values: tuple[float, ...]) -> None:
    with pytest.raises(InputError):
        discharge(*values)


def test_what_no_motor_has_begins_behind_the_ends() -> None:
    """1 mA to 1 kA, 1 V to 1 kV, 10 to 100 Hz, 1 pF to 0.1 F, 0.1 Ω to 1 GΩ: our own choice."""
    takes_from_to(lambda amps: under_load(amps, 370, 60), 0.001, 1000.0)
    takes_from_to(lambda volts: under_load(6.28, volts, 60), 1.0, 1000.0)
    takes_from_to(lambda hertz: under_load(6.28, 370, hertz), 10.0, 100.0)
    takes_from_to(lambda farad: discharge(farad, 370, 15e3), 1e-12, 0.1)
    takes_from_to(lambda volts: discharge(45e-6, volts, 15e3, to_v=0.5), 1.0, 1000.0)
    takes_from_to(lambda ohms: discharge(45e-6, 370, ohms), 0.1, 1e9)


def test_discharged_to_50_v_unless_told_otherwise() -> None:
    """NEC 460.6(A)."""
    assert discharge(45e-6, 370, 15e3) == discharge(45e-6, 370, 15e3, to_v=50)
