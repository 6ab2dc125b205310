"""What a sensor can be asked: only what its curve was made for."""

from benchmeter.errors import InputError

__all__ = ["inside_readings", "inside_temperatures"]


def inside_temperatures(title: str, t_c: float, low_c: float, high_c: float) -> None:
    """Refuse a temperature out of low_c..high_c, °C.

    Raises:
        InputError: outside, or no number.
    """
    if not low_c <= t_c <= high_c:  # NaN is not between either
        raise InputError(
            f"{title} is defined from {low_c:g} to {high_c:g} °C only.",
            "Give a temperature in that range.",
        )


def inside_readings(
    title: str, reading: float, low: float, high: float, rounding: float, unit: str
) -> float:
    """`reading`, moved to an end of low..high where it lies beyond by a table's rounding at most.

    Raises:
        InputError: outside, or no number.
    """
    if not low - rounding <= reading <= high + rounding:
        raise InputError(
            f"{title} never reads {reading:.6g} {unit}: it gives {low:.6g} to {high:.6g} {unit}.",
            "Check the kind of sensor, the meter's range and the contacts.",
        )
    return min(max(reading, low), high)
