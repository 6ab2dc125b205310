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
    # NaN is not between either.
    if not 0.001 <= current_a <= 1000:
        raise InputError("parts.current_out_of_range", field="current")
    if not 1 <= voltage_v <= 1000:
        raise InputError("parts.voltage_out_of_range", field="voltage")
    if not 10 <= frequency_hz <= 100:
        raise InputError("parts.frequency_out_of_range", field="frequency")
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
    if not 1e-12 <= capacitance_f <= 0.1:
        raise InputError("parts.capacitance_out_of_range", field="capacitance")
    if not 1 <= voltage_rms_v <= 1000:
        raise InputError("parts.voltage_out_of_range", field="voltage")
    if not 0.1 <= resistance_ohm <= 1e9:
        raise InputError("parts.resistance_out_of_range", field="resistance")
    peak = math.sqrt(2) * voltage_rms_v
    if not 0 < to_v < peak:
        raise InputError("parts.final_voltage", peak_v=peak)
    return Discharge(
        time_s=resistance_ohm * capacitance_f * math.log(peak / to_v),
        energy_j=capacitance_f * peak * peak / 2,
        peak_v=peak,
    )
