"""Where a rising curve takes a value: Newton's method kept inside a bracket."""

from collections.abc import Callable

__all__ = ["where_rising"]

_STEPS = 200
_CLOSE = 1e-11


def where_rising(
    curve: Callable[[float], tuple[float, float]], value: float, low: float, high: float
) -> float:
    """The x in low..high with curve(x) = value; an end where the value lies beyond it.

    Args:
        curve: gives the value and the slope at x; rises from `low` to `high`.

    Source: safeguarded Newton iteration: each step narrows the bracket, and one that leaves it
    gives way to halving.
    """
    x = (low + high) / 2
    for _ in range(_STEPS):
        found, slope = curve(x)
        if found > value:
            high = x
        else:
            low = x
        step = x - (found - value) / slope if slope > 0 else low
        if not low < step < high:
            step = (low + high) / 2
        if abs(step - x) <= _CLOSE * max(1.0, abs(x)):
            return step
        x = step
    return x
