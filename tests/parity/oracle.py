"""What the verdict must be, from the words of the standards alone, in exact fractions.

ILAC-G8:09/2019 cl. 4.2.3 with guard band w = U: pass if the value lies inside the limits by at
least U, conditional pass if inside, conditional fail if outside by no more than U, else fail. Where
the limits are closer together than 2U no value can pass: undecidable (unless it fails). U = 2u;
u = a/√3 of a rectangular ±a (JCGM 100 cl. 4.3.7) with the s/√n of the mean (cl. 4.2.3).
Open: a capacitance of 1 % of the rated value or less (IEC 60252-1 class S3, from memory), seen
by a meter that would not show a good one like that.
"""

from collections.abc import Sequence
from fractions import Fraction

from tests.parity.accuracies import half_width

__all__ = ["dependent_word", "part_word", "section_word"]

_WORST_FIRST = (
    # A bad finding settles it; then what is unknown; then the better words.
    "shorted", "open", "fail", "no reading", "undecidable", "conditional fail",
    "conditional pass", "pass", "measured",
)  # fmt: skip
_UNSIGNED = {"capacitance", "resistance", "AC voltage", "AC current"}


def section_word(
    shown: Sequence[Fraction],
    digit: Fraction,
    *,
    quantity: str,
    rated: Fraction | None,
    low: Fraction | None,
    high: Fraction | None,
    shorted_below: Fraction | None = None,
    idle_below: Fraction | None = None,
    offset: Fraction = Fraction(0),
    offset_digit: Fraction = Fraction(0),
    simple: bool = False,
) -> str:
    """The verdict on readings that are values; SI, limits belong to the band.

    Args:
        offset_digit: worth of the last digit of the offset: d/√12 of its own (JCGM 100 F.2.2.1).
    """
    mean = sum(shown, Fraction(0)) / len(shown)
    y = mean - offset
    a = half_width(quantity, mean, digit)
    squared = None if a is None else 4 * (a * a / 3 + _mean_variance(shown) + offset_digit**2 / 12)
    known = Fraction(0) if squared is None else squared
    guard = Fraction(0) if simple else known

    def within(distance: Fraction) -> bool:
        """Whether y - limit >= -U."""
        return distance >= 0 or distance * distance <= guard

    def clear(distance: Fraction) -> bool:
        """Whether y - limit >= U."""
        return distance >= 0 and distance * distance >= guard

    if quantity in _UNSIGNED and quantity != "capacitance" and y < 0:
        noise = max(known, (5 * digit) ** 2)
        if y * y > noise:
            return "no reading"
    floor = shorted_below if low is None else low
    seen = floor is None or not within(y - floor)
    nominal = next((v for v in (rated, low, high) if v is not None), None)
    if quantity == "capacitance" and nominal is not None:
        if y < -nominal / 100:
            return "no reading"
        if y <= nominal / 100 and seen:
            return "open"
    if shorted_below is not None and y <= shorted_below and seen:
        return "shorted"
    if idle_below is not None and y <= idle_below:
        return "undecidable"  # nothing flows
    if low is None and high is None:
        return "measured"
    inside = [y - low] if low is not None else []
    inside += [high - y] if high is not None else []
    if not all(within(d) for d in inside):
        return "fail"
    if low is not None and high is not None and (high - low) ** 2 < 4 * guard:
        return "undecidable"
    if not all(d >= 0 for d in inside):
        return "conditional fail"
    return "pass" if all(clear(d) for d in inside) else "conditional pass"


def dependent_word(word: str, needed: Sequence[str]) -> str:
    """What a value says where others must be good first."""
    by_value = ("pass", "conditional pass", "conditional fail", "fail")
    enough = all(other in ("pass", "conditional pass", "measured") for other in needed)
    return word if enough or word not in by_value else "undecidable"


def part_word(words: Sequence[str]) -> str:
    """A part is as bad as the worst of what was found."""
    return min(words, key=_WORST_FIRST.index)


def _mean_variance(shown: Sequence[Fraction]) -> Fraction:
    number = len(shown)
    if number < 2:
        return Fraction(0)
    mean = sum(shown, Fraction(0)) / number
    return sum(((v - mean) ** 2 for v in shown), Fraction(0)) / (number - 1) / number
