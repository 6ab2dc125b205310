"""Insulation of a winding against the case."""

from dataclasses import dataclass
from enum import StrEnum

from benchmeter.conformity.verdict import Verdict
from benchmeter.errors import InputError

__all__ = [
    "DEAD_SHORT_OHM",
    "FLOOR_OHM",
    "HERMETIC_FLOOR_OHM",
    "LEAST_TESTER_V",
    "InsulationFinding",
    "InsulationVerdict",
    "judge_insulation",
]

FLOOR_OHM = 5e6
"""IEEE 43-2013: random-wound and below 1 kV, at 40 °C after 1 min (from memory)."""

HERMETIC_FLOOR_OHM = 1e6
"""Of a compressor in refrigerant, which reads lower than a motor in air: common practice, no
source."""

DEAD_SHORT_OHM = 20e3
LEAST_TESTER_V = 250.0
"""With less, or with a multimeter's few volts, only a dead short is seen: common practice, no
source."""

_REFERENCE_C = 40.0


class InsulationFinding(StrEnum):
    """What the resistance to the case says; the sentence is made in `words`."""

    SOUND = "above the floor"
    BELOW_FLOOR = "below the floor, above the old rule"
    GROUNDED = "below the old rule"
    DEAD_SHORT = "dead short"
    UNGRADED = "no dead short"  # the tester's volts are not known, or too few


@dataclass(frozen=True, slots=True)
class InsulationVerdict:
    """Winding to case.

    Attributes:
        at_40_c_ohm: corrected to 40 °C; as read where the winding's temperature is not known; None
            for overload: more than the meter can show.
        floor_ohm: `FLOOR_OHM`, or `HERMETIC_FLOOR_OHM`.
        old_floor_ohm: (kV + 1) MΩ, for windings before about 1970; no more than the floor.
    """

    at_40_c_ohm: float | None
    floor_ohm: float
    old_floor_ohm: float
    verdict: Verdict
    finding: InsulationFinding


def judge_insulation(
    ohm: float | None,
    rated_v: float,
    winding_c: float | None = None,
    *,
    tester_v: float | None,
    hermetic: bool = False,
) -> InsulationVerdict:
    """The verdict on the resistance from winding to case.

    Args:
        ohm: as read; None for overload.
        rated_v: rated voltage of the motor, volt RMS, below 1 kV.
        winding_c: its temperature, °C; the resistance halves with each 10 K:
            R40 = R·0.5^((40 - t)/10).
        tester_v: volts DC of the insulation tester; None: not known.
        hermetic: a compressor in refrigerant.

    Below the old rule: grounded, fail. Between the two floors: conditional fail.
    Source: IEEE 43-2013 (5 MΩ, temperature), IEEE 43 before 2000 (kV + 1), both from memory.

    Raises:
        InputError: a voltage, resistance or temperature to which this does not apply.
    """
    if not 0 < rated_v < 1000:
        raise InputError("motors.rated_voltage_too_high")
    if ohm is not None and not 0 <= ohm <= 1e15:
        raise InputError("motors.no_insulation_resistance")
    if winding_c is not None and not -40 <= winding_c <= 150:
        raise InputError("motors.no_winding_temperature")
    corrected = ohm
    if ohm is not None and winding_c is not None:
        corrected = ohm * 0.5 ** ((_REFERENCE_C - winding_c) / 10)
    floor = HERMETIC_FLOOR_OHM if hermetic else FLOOR_OHM
    old_floor = min(floor, (rated_v / 1000 + 1) * 1e6)
    word, finding = Verdict.PASS, InsulationFinding.SOUND
    if ohm is not None and ohm <= DEAD_SHORT_OHM:
        word, finding = Verdict.SHORTED, InsulationFinding.DEAD_SHORT
    elif tester_v is None or tester_v < LEAST_TESTER_V:
        word, finding = Verdict.MEASURED, InsulationFinding.UNGRADED
    elif corrected is not None and corrected < old_floor:
        word, finding = Verdict.FAIL, InsulationFinding.GROUNDED
    elif corrected is not None and corrected < floor:
        word, finding = Verdict.CONDITIONAL_FAIL, InsulationFinding.BELOW_FLOOR
    return InsulationVerdict(corrected, floor, old_floor, word, finding)
