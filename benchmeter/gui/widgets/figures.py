"""Figures as this person reads them: decimal sign, and how long ago."""

import re

__all__ = ["age", "with_sign"]

_POINT = re.compile(r"(?<=\d)\.(?=\d)")


def with_sign(text: str, decimal_sign: str) -> str:
    """A sentence with its numbers in this person's decimal sign.

    >>> with_sign("44.10 µF is inside 42.3 to 47.7 µF.", ",")
    '44,10 µF is inside 42,3 to 47,7 µF.'
    """
    return _POINT.sub(decimal_sign, text)


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
