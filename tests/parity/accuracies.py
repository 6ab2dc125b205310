"""The accuracy of the meters of these tests, as a text for the program and as numbers for us."""

from fractions import Fraction

__all__ = ["ACCURACY", "half_width"]

_LINES = (
    # function, end of the range (SI), percent of reading, counts; invented
    ("capacitance", None, "1.0", 3),
    ("resistance", ("600 ohm", 600), "0.5", 2),
    ("resistance", ("6 Mohm", 6_000_000), "0.6", 2),
    ("resistance", None, "1.5", 5),
    ("insulation", ("600 ohm", 600), "0.5", 2),
    ("insulation", ("6 Mohm", 6_000_000), "0.6", 2),
    ("insulation", None, "1.5", 5),
    ("DC voltage", None, "0.3", 2),
    ("AC voltage", None, "0.8", 3),
    ("AC current", None, "1.5", 3),
)

ACCURACY = "; ".join(
    f"{function}{f' up to {end[0]}' if end else ''} {percent} % + {counts} counts"
    for function, end, percent, counts in _LINES
)


def half_width(quantity: str, shown: Fraction, digit: Fraction) -> Fraction | None:
    """±(% of reading + counts), of what is shown; None for what the lines say nothing of."""
    for function, end, percent, counts in _LINES:
        if function == quantity and (end is None or abs(shown) <= end[1]):
            return abs(shown) * Fraction(percent) / 100 + counts * digit
    return None
