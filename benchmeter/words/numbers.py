"""Exact numbers in the units of the list: the digits that are known, with a decimal point.

Values go through decimals and round once, half to even. The minus sign is U+2212, as wide as a
plus, so that columns of figures stand still. Conversions follow the closed list of units: no units
library, which would cost the first reading on the screen a quarter of a second.
"""

from decimal import ROUND_HALF_EVEN, Context, Decimal

from benchmeter.quantities.units import UNITS

__all__ = [
    "NOTHING",
    "decimal",
    "decimals_of",
    "exact_text",
    "in_unit",
    "number_text",
    "span_in_unit",
    "span_text",
]

NOTHING = "– – –"
"""Stands where there is no value."""

_MINUS = "\u2212"
_DIVIDING = Context(prec=90)
_EXACT = Context(prec=60, rounding=ROUND_HALF_EVEN)
_NEAR = Context(prec=20)  # beyond it quotients of five ninths, and limits made of them, differ
_SHORT = Context(prec=6)
_SHOWN = Context(prec=10)
_MOST_DIGITS = 12  # no label and no meter has more
_HUGE = Decimal(10) ** 15  # no such reading exists; it is written with its power of ten
_MOST_DECIMALS = 12


def in_unit(si: Decimal, symbol: str) -> Decimal:
    """From SI to a unit of the list.

    Five ninths have no end as a decimal: the digits where that shows are rounded away, so that
    300.15 K is 80.60 °F and nothing beside it.
    """
    unit = UNITS[symbol]
    return _EXACT.subtract(_EXACT.plus(_DIVIDING.divide(si, unit.scale)), unit.zero)


def span_in_unit(si: Decimal, symbol: str) -> Decimal:
    """A width in SI, such as an uncertainty, in a unit of the list: without its zero point."""
    return _EXACT.plus(_DIVIDING.divide(si, UNITS[symbol].scale))


def span_text(si: Decimal, symbol: str) -> str:
    """An exact width in a unit of the list, such as what a count is worth: "0.1"."""
    return _plain(span_in_unit(si, symbol))


def exact_text(value_si: Decimal, symbol: str) -> str:
    """Every digit of an exact value in a unit of the list; six of one without an end.

    >>> exact_text(Decimal("0.0000423"), "µF"), exact_text(Decimal("298.15"), "°C")
    ('42.3', '25')
    """
    number = in_unit(value_si, symbol)
    if UNITS[symbol].zero:  # near it the noise of five ninths is no small share of the number
        number = number.quantize(Decimal(1).scaleb(-_MOST_DECIMALS), context=_EXACT)
    return _plain(number)


def number_text(value: float | Decimal, decimals: int) -> str:
    """A number with so many decimals; negative `decimals` round to tens, hundreds.

    >>> number_text(-0.25, 1), number_text(-0.04, 1), number_text(1250.0, -2)
    ('−0.2', '0.0', '1200')
    """
    number = decimal(value)
    if not number.is_finite():
        return NOTHING
    if abs(number) >= _HUGE:
        rounded, text = number, f"{abs(number):.3E}"
    else:
        step = Decimal(1).scaleb(-min(decimals, _MOST_DECIMALS))
        rounded = number.quantize(step, context=_EXACT)
        text = format(abs(rounded), "f")
    return f"{_MINUS}{text}" if rounded < 0 else text


def decimal(value: float | Decimal) -> Decimal:
    """The shortest decimal that is this float: what the meter showed, not its binary neighbour."""
    return value if isinstance(value, Decimal) else Decimal(repr(float(value)))


def decimals_of(resolution: Decimal) -> int:
    """Decimals of one digit of a display: 0.1 -> 1, 0.05 -> 2, 10 -> 0."""
    exponent = _SHOWN.plus(resolution).normalize().as_tuple().exponent
    return max(-exponent, 0) if isinstance(exponent, int) and resolution > 0 else 0


def _plain(number: Decimal) -> str:
    number = _NEAR.plus(number).normalize()
    if len(number.as_tuple().digits) > _MOST_DIGITS:
        number = _SHORT.plus(number).normalize()
    return f"{number if number else abs(number):f}"
