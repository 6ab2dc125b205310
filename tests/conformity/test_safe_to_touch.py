"""Safe to touch by measurement only."""

import pytest

from benchmeter.conformity.safety import MadeSafe


@pytest.mark.parametrize(
    ("volts", "safe"),
    [(0.0, True), (4.9, True), (-4.9, True), (5.0, False), (-320.0, False), (None, False)],
)
def test_below_five_volts_of_either_sign_is_safe(volts, safe):
    """Below 5 V DC it may be touched (common practice, no source); no value is never safe."""
    assert MadeSafe(0, volts, typed=False).safe is safe
