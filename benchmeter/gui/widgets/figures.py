"""Figures that only the window shows: exact limits, and how long ago."""

from decimal import Decimal

__all__ = ["age", "microfarads"]

_MICRO = Decimal("1e-6")


def microfarads(farads: Decimal, decimal_sign: str = ".") -> str:
    """An exact limit or rated value in µF: every digit that it has, and no more.

    >>> microfarads(Decimal("42.30e-6"))
    '42.3'
    """
    return f"{(farads / _MICRO).normalize():f}".replace(".", decimal_sign)


def age(span_ns: int) -> str:
    """How long something lasts or is ago.

    >>> age(400_000_000), age(12_000_000_000), age(7_500_000_000_000)
    ('0.4 s', '12 s', '2 h 5 min')
    """
    seconds = max(span_ns, 0) / 1e9
    if seconds < 0.95:
        return f"{seconds:.1f} s"
    if seconds < 119.5:
        return f"{seconds:.0f} s"
    minutes = round(seconds / 60)
    if minutes < 120:
        return f"{minutes} min"
    return f"{minutes // 60} h {minutes % 60} min"
