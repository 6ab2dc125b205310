"""Small computations round a capacitor, each with the range in which its input makes sense."""

import math
from dataclasses import dataclass

from benchmeter.errors import InputError

__all__ = ["Discharge", "discharge", "under_load"]


@dataclass(frozen=True, slots=True)
class Discharge:
    """How long a charged capacitor takes through a resistor.

    Attributes:
        time_s: from the peak down to the voltage that was asked for.
        energy_j: stored at the peak.
        peak_v: the most that the capacitor may hold, volts DC.
    """

    time_s: float
    energy_j: float
    peak_v: float


def under_load(current_a: float, voltage_v: float, frequency_hz: float) -> float:
    """Capacitance, farad, of a run capacitor in operation: C = I / (2·pi·f·V).

    Args:
        current_a: through the capacitor, RMS.
        voltage_v: across the capacitor, RMS; with the motor running it is not the line voltage.
        frequency_hz: of the supply.

    Source: reactance of a capacitor, IEC 60050-131; losses and harmonics are left out.

    Raises:
        InputError: a value that no run capacitor in operation can have.
    """
    _between("current", current_a, 0.001, 1000, "0.001 A", "1000 A")
    _between("voltage", voltage_v, 1, 1000, "1 V", "1000 V")
    _between("frequency", frequency_hz, 10, 100, "10 Hz", "100 Hz")
    return current_a / (2 * math.pi * frequency_hz * voltage_v)


def discharge(
    capacitance_f: float, voltage_rms_v: float, resistance_ohm: float, to_v: float = 50.0
) -> Discharge:
    """Time, energy and peak of a discharge through a resistor.

    V0 = sqrt(2)·Vrms (switched off at the crest: the worst case), E = C·V0²/2,
    t = R·C·ln(V0/V). 50 V is the residual voltage of NEC 460.6(A).

    Raises:
        InputError: a value out of all reason, or `to_v` not below the peak.
    """
    _between("capacitance", capacitance_f, 1e-12, 0.1, "1 pF", "100 000 µF")
    _between("voltage", voltage_rms_v, 1, 1000, "1 V", "1000 V")
    _between("resistance", resistance_ohm, 0.1, 1e9, "0.1 Ω", "1 GΩ")
    peak = math.sqrt(2) * voltage_rms_v
    if not 0 < to_v < peak:
        raise InputError(
            f"The final voltage must lie between 0 V and the peak of {peak:.1f} V.",
            "Give a lower one, for example 50 V.",
        )
    return Discharge(
        time_s=resistance_ohm * capacitance_f * math.log(peak / to_v),
        energy_j=capacitance_f * peak * peak / 2,
        peak_v=peak,
    )


def _between(what: str, value: float, low: float, high: float, least: str, most: str) -> None:
    if not low <= value <= high:  # NaN is not between either
        raise InputError(
            f"This {what} is out of range.", f"Give a {what} between {least} and {most}."
        )
