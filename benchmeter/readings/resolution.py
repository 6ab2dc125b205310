"""What the last digit of a display is worth: a fact of the meter, not of the text that it sends.

A wire may carry more digits than the display has ("+4.28200000E-05") or fewer ("44" for 44.00).
Widths are common practice, no source.

* A profile that tells the counts of a display that chooses its range settles surplus digits.
* Without it up to five digits are taken at their word. Of more, zeros at the end count as dead
  until the last readings have shown them alive. More than seven live digits are no display's:
  what a count is worth is not known then.
* Zeros are cut off where readings of one value go back to the finest step again and again, and
  none ever ends in a written zero. The finest step of the last readings holds then.
"""

from collections import deque
from decimal import Decimal
from typing import NamedTuple

from benchmeter.quantities.units import Unit

__all__ = ["DisplayResolution", "Resolution"]

_USUAL_DIGITS = 5
_MOST_DIGITS = 7
_FEWEST_DIGITS = 3
_LAST_READINGS = 20
_SAME_VALUE = Decimal("0.02")
_SAME_COUNTS = 20
_RETURNS = 2


class Resolution(NamedTuple):
    """What a count is worth, in the unit of the number; None: not known."""

    step: Decimal | None
    learned: bool = False


class DisplayResolution:
    """Follows the numbers of one function of a meter. Deterministic.

    Args:
        counts: at the end of each range; None: not known.
    """

    def __init__(self, counts: int | None = None) -> None:
        self._counts = counts
        self._unit: Unit | None = None
        self._last = Decimal(0)
        self._written: deque[int] = deque(maxlen=_LAST_READINGS)  # exponents
        self._alive: deque[int] = deque(maxlen=_LAST_READINGS)
        self._zeros_kept = False
        self._returns = 0

    def of(self, number: Decimal, written: Decimal, unit: Unit) -> Resolution:
        """What a count is worth where this number is shown.

        Args:
            written: worth of its last digit as it came, a power of ten.
        """
        if not number:
            return Resolution(written)
        exponent, first = written.adjusted(), number.adjusted()
        if self._zeros_kept and self._counts is None and first - exponent < _USUAL_DIGITS:
            return Resolution(written)
        self._follow(number, exponent, unit)
        told = self._told_by_counts(number, first)
        step = exponent if told is None else max(exponent, told)
        digits = first - step + 1
        if told is None and digits > _USUAL_DIGITS:
            step = max(step, min(*self._alive, first - _FEWEST_DIGITS + 1))
            if first - step + 1 > _MOST_DIGITS:
                return Resolution(None)
        elif not self._zeros_kept and self._returns >= _RETURNS:
            finest = min(self._written)
            step = min(step, finest if told is None else max(finest, told))
        return Resolution(Decimal(1).scaleb(step), learned=step != exponent and step != told)

    def _follow(self, number: Decimal, exponent: int, unit: Unit) -> None:
        if unit is not self._unit or not self._is_near(number):
            self._written.clear()
            self._alive.clear()
        digits = number.as_tuple().digits
        zeros = next((n for n, digit in enumerate(reversed(digits)) if digit), 0)
        self._zeros_kept = self._zeros_kept or (zeros > 0 and exponent < 0)
        if self._written and exponent == min(self._written) < self._written[-1]:
            self._returns += 1
        self._written.append(exponent)
        self._alive.append(exponent + zeros)
        self._unit, self._last = unit, number

    def _is_near(self, number: Decimal) -> bool:
        """Whether it may be the same value in the same range."""
        finest = Decimal(_SAME_COUNTS).scaleb(min(self._written, default=0))
        return abs(number - self._last) <= max(_SAME_VALUE * abs(self._last), finest)

    def _told_by_counts(self, number: Decimal, first: int) -> int | None:
        if self._counts is None:
            return None
        counts = Decimal(self._counts)
        exponent = first - counts.adjusted()
        return exponent + (abs(number) > counts.scaleb(exponent))
