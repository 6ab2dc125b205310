"""Safe to touch by measurement only."""

import pytest

from benchmeter.checking.safety import MadeSafe, ResidualVolts


@pytest.mark.parametrize(
    ("volts", "safe"),
    [(0.0, True), (4.9, True), (-4.9, True), (5.0, False), (-320.0, False), (None, False)],
)
def test_below_five_volts_of_either_sign_is_safe(volts, safe):
    """Below 5 V DC it may be touched (common practice, no source); no value is never safe."""
    assert MadeSafe(0, volts, typed=False).safe is safe


def test_a_low_voltage_proves_nothing_where_the_leads_may_be_in_the_air():
    """Live-dead-live: common practice, no source."""
    assert ResidualVolts().measured(0, 0.1) is None


def test_a_charge_counts_at_once_and_its_fall_as_well():
    volts = ResidualVolts()
    for at, left in enumerate((320.0, 96.0, 14.0)):
        high = volts.measured(at, left)
        assert high is not None and not high.safe
    low = volts.measured(3, 0.4)
    assert low is not None and low.safe and not low.typed


def test_leads_that_slip_off_a_charged_part_prove_nothing():
    """A resistor takes its time, an open lead does not (R·C, any textbook of circuits)."""
    volts = ResidualVolts()
    assert volts.measured(0, 320.0) is not None
    assert volts.measured(1, 0.0) is None
    assert volts.measured(2, 0.0) is None
    assert volts.taken(3, 0.0).safe
    assert not volts.measured(4, 320.0).safe
    assert volts.measured(5, 0.0) is None


def test_a_low_voltage_that_the_technician_takes_counts():
    volts = ResidualVolts()
    assert volts.taken(0, 0.2).safe
    again = volts.measured(1, 0.3)
    assert again is not None and again.safe


def test_power_that_returns_takes_all_proof_away():
    volts = ResidualVolts()
    volts.taken(0, 0.2)
    assert not volts.live_again(1).safe
    assert volts.measured(2, 0.1) is None
