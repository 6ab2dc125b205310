"""What a sensor can be asked: only what its curve was made for."""

from benchmeter.errors import InputError

__all__ = ["inside_readings", "inside_temperatures"]


def inside_temperatures(title: str, t_c: float, low_c: float, high_c: float) -> None:
    """Refuse a temperature out of low_c..high_c, °C.

    Raises:
        InputError: outside, or no number.
    """
    if not low_c <= t_c <= high_c:  # NaN is not between either
        raise InputError("sensors.outside", sensor=title, low_c=low_c, high_c=high_c)


def inside_readings(
    title: str, reading: float, low: float, high: float, rounding: float, unit: str
) -> float:
    """`reading`, moved to an end of low..high where it lies beyond by a table's rounding at most.

    Raises:
        InputError: outside, or no number.
    """
    if not low - rounding <= reading <= high + rounding:
        raise InputError(
            "sensors.never_reads", sensor=title, reading=reading, low=low, high=high, unit=unit
        )
    return min(max(reading, low), high)
