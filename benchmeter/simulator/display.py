"""What a digital meter shows: whole counts in a range, or overload."""

import bisect
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from benchmeter.quantities.quantity import Quantity

__all__ = ["COUNTS", "Digits", "Display", "Ranges"]

COUNTS = 6000
"""A range ends where the display would need more counts than this."""

Digits = Literal["display", "more", "fewer"]
"""What a meter sends of the digits that it shows: those, nine, or none of the zeros at the end."""


@dataclass(frozen=True, slots=True)
class Display:
    """The digits of a meter.

    Attributes:
        quantity: what the meter is set to.
        counts: what the four digits show, as a whole number; None: overload.
        exponent: the last digit is worth 10**exponent, in SI.
    """

    quantity: Quantity
    counts: int | None
    exponent: int


@dataclass(frozen=True, slots=True)
class Ranges:
    """The ranges of a meter for a quantity, by the exponents of their last digits, rising."""

    quantity: Quantity
    exponents: Sequence[int]

    def index_for(self, value: float) -> int:
        """The lowest range that shows `value`; the top one if none does."""
        tops = [COUNTS * 10.0**exponent for exponent in self.exponents]
        return min(bisect.bisect_left(tops, abs(value)), len(tops) - 1)

    def show(self, value: float, index: int, noise_counts: float = 0.0) -> Display:
        """`value`, infinity included, as the range `index` shows it."""
        exponent = self.exponents[index]
        exact = value / 10.0**exponent + noise_counts
        over = abs(exact) > COUNTS
        return Display(self.quantity, None if over else round(exact), exponent)
