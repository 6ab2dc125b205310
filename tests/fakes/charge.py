"""What is known of the charge on a part."""

from benchmeter.checking.safety import PartSafety, ResidualVoltage


def left(volts: float | None, *, typed: bool = False, time_ns: int = 0) -> PartSafety:
    """So many volts were seen on the part; None: unknown."""
    return PartSafety(ResidualVoltage(time_ns, volts, typed))
