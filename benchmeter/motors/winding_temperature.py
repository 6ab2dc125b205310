"""Copper: resistance and temperature of a winding."""

from benchmeter.errors import InputError

__all__ = ["copper_resistance", "copper_temperature"]

_COPPER_C = 234.5  # °C below zero at which the resistance would vanish


def copper_resistance(ohm: float, from_c: float, to_c: float) -> float:
    """Resistance at to_c of a copper winding that has `ohm` at from_c, °C.

    R2/R1 = (234.5 + t2)/(234.5 + t1). Source: IEC 60034-1 and IEEE 112 (from memory).

    Raises:
        InputError: a temperature that no winding has, or no resistance.
    """
    _refuse(ohm, from_c, to_c)
    return ohm * (_COPPER_C + to_c) / (_COPPER_C + from_c)


def copper_temperature(cold_ohm: float, cold_c: float, hot_ohm: float) -> float:
    """Temperature, °C, of a copper winding that has `hot_ohm` now and had `cold_ohm` at cold_c.

    Source: IEC 60034-1, temperature rise by resistance (from memory).

    Raises:
        InputError: a temperature that no winding has, or no resistance.
    """
    _refuse(cold_ohm, cold_c)
    _refuse(hot_ohm)
    found = hot_ohm / cold_ohm * (_COPPER_C + cold_c) - _COPPER_C
    _refuse(1.0, found)
    return found


def _refuse(ohm: float, *temperatures_c: float) -> None:
    if not 0 < ohm <= 1e6:
        raise InputError("This is no resistance of a winding.", "Give it in ohm, above zero.")
    if not all(-60 <= t <= 300 for t in temperatures_c):
        raise InputError(
            "This is no temperature of a copper winding.", "Give one between -60 and 300 °C."
        )
