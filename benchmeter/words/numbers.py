"""Numbers as people read them: the digits that are known, the person's units and decimal sign.

A temperature unit is "°C" or "°F". A decimal sign is "." or ",". Exact: values go through decimals
and round once, half to even. The minus sign is U+2212, as wide as a plus, so that columns of
figures stand still. Conversions follow the closed list of units: no units library, which would
cost the first reading on the screen a quarter of a second.
"""

import math
import re
from decimal import ROUND_HALF_EVEN, Context, Decimal

from benchmeter.errors import InputError
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.typed_numbers import parse_number
from benchmeter.quantities.units import UNITS, find_unit, split_value, to_si
from benchmeter.readings.reading import Reading, Status

__all__ = [
    "NOTHING",
    "age",
    "capacitance_text",
    "difference_text",
    "duration_text",
    "exact_text",
    "in_unit",
    "number_text",
    "reading_text",
    "span_in_unit",
    "span_text",
    "temperature_text",
    "unbroken",
    "with_sign",
]

NOTHING = "– – –"
"""Stands where there is no value."""

_MINUS = "\u2212"
_BEFORE_UNIT = re.compile(
    rf"(?<=\d) (?=±|(?:{'|'.join(map(re.escape, sorted(UNITS, key=len, reverse=True)))})(?!\w))"
)
_POINT = re.compile(r"(?<=\d)\.(?=\d)")
_DIVIDING = Context(prec=90)
_EXACT = Context(prec=60, rounding=ROUND_HALF_EVEN)
_NEAR = Context(prec=20)  # beyond it quotients of five ninths, and limits made of them, differ
_SHORT = Context(prec=6)
_MOST_DIGITS = 12  # no label and no meter has more
_HUGE = Decimal(10) ** 15  # no such reading exists; it is written with its power of ten
_MOST_DECIMALS = 12
_SIGNIFICANT = 4  # digits of a value whose resolution is not known


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


def _plain(number: Decimal) -> str:
    number = _NEAR.plus(number).normalize()
    if len(number.as_tuple().digits) > _MOST_DIGITS:
        number = _SHORT.plus(number).normalize()
    return f"{number if number else abs(number):f}"


def number_text(value: float | Decimal, decimals: int, *, decimal_sign: str = ".") -> str:
    """A number with so many decimals; negative `decimals` round to tens, hundreds.

    >>> number_text(-0.25, 1), number_text(-0.04, 1), number_text(1250.0, -2)
    ('−0.2', '0.0', '1200')
    """
    number = _decimal(value)
    if not number.is_finite():
        return NOTHING
    if abs(number) >= _HUGE:
        rounded, text = number, f"{abs(number):.3E}"
    else:
        step = Decimal(1).scaleb(-min(decimals, _MOST_DECIMALS))
        rounded = number.quantize(step, context=_EXACT)
        text = format(abs(rounded), "f")
    text = text.replace(".", decimal_sign)
    return f"{_MINUS}{text}" if rounded < 0 else text


def temperature_text(
    kelvin: float,
    unit: str,
    *,
    decimals: int | None = None,
    uncertainty_k: float | None = None,
    most_decimals: int = 3,
    decimal_sign: str = ".",
) -> str:
    """A temperature: "34.2 °C", "93.6 °F ± 1.1".

    Args:
        decimals: of the text; else as the uncertainty supports; else one.
        uncertainty_k: expanded uncertainty or half of an interval, a difference.
        most_decimals: never more; an uncertainty that would vanish stands as one of the last digit.
    """
    value = in_unit(_decimal(kelvin), unit)
    spread = _degrees(uncertainty_k, unit)
    return _with_uncertainty(value, unit, spread, decimals, decimal_sign, most_decimals)


def difference_text(
    kelvin: float,
    unit: str,
    *,
    decimals: int | None = None,
    uncertainty_k: float | None = None,
    decimal_sign: str = ".",
) -> str:
    """A difference of temperatures, in degrees of the person's scale: 10 K is "18.0 °F"."""
    value = in_unit(_decimal(kelvin), f"Δ{unit}")
    return _with_uncertainty(value, unit, _degrees(uncertainty_k, unit), decimals, decimal_sign)


def capacitance_text(
    farad: float | Decimal,
    *,
    resolution_f: float | Decimal | None = None,
    uncertainty_f: float | Decimal | None = None,
    decimal_sign: str = ".",
) -> str:
    """A capacitance in µF: "44.10 µF", "44.10 µF ± 0.99".

    The meter's digits, if `resolution_f` is told; else those that the uncertainty supports; else
    four.
    """
    value = in_unit(_decimal(farad), "µF")
    spread = None if uncertainty_f is None else in_unit(_decimal(uncertainty_f), "µF")
    decimals = None
    if resolution_f is not None:
        decimals = _decimals_of(in_unit(_decimal(resolution_f), "µF"))
    elif spread is None or spread <= 0:
        decimals = _significant(value)
    return _with_uncertainty(value, "µF", spread, decimals, decimal_sign)


def duration_text(seconds: float) -> str:
    """A span of time: "40 s", "about 6 min", "about 1 h 20 min"."""
    if not math.isfinite(seconds):
        return NOTHING
    whole = round(max(seconds, 0))
    if whole < 90:
        return f"{whole} s"
    minutes = round(seconds / 60)
    if minutes < 60:
        return f"about {minutes} min"
    minutes = round(seconds / 300) * 5
    hours, rest = divmod(minutes, 60)
    return f"about {hours} h {rest} min" if rest else f"about {hours} h"


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


def with_sign(text: str, decimal_sign: str) -> str:
    """A sentence of ours with its numbers in this person's decimal sign.

    >>> with_sign("44.10 µF is inside 42.3 to 47.7 µF.", ",")
    '44,10 µF is inside 42,3 to 47,7 µF.'
    """
    return _POINT.sub(decimal_sign, text)


def unbroken(text: str) -> str:
    """The same text with each number tied to its unit and its ±, wherever a line ends.

    >>> unbroken("44.10 ±0.63 µF is good") == "44.10\\u00a0±0.63\\u00a0µF is good"
    True
    """
    return _BEFORE_UNIT.sub("\u00a0", text)


def reading_text(
    reading: Reading,
    quantity: Quantity,
    temperature_unit: str,
    *,
    decimal_sign: str = ".",
) -> tuple[str, str]:
    """A reading as digits and unit: ("44.10", "µF").

    The meter's own digits and unit where it wrote them; a temperature in the other unit has the
    digits that its resolution supports. "OL" for an overload; `NOTHING` without a value.
    """
    if reading.status is Status.OVERLOAD:
        return "OL", ""
    if reading.value is None or not math.isfinite(reading.value):
        return NOTHING, ""
    kind = quantity.kind
    own = _as_written(reading, kind)
    if own is not None and (kind != "temperature" or own[1] == temperature_unit):
        number, symbol = own
        exponent = number.as_tuple().exponent
        decimals = max(-exponent, 0) if isinstance(exponent, int) else 0
        return number_text(number, decimals, decimal_sign=decimal_sign), symbol
    if kind == "temperature":
        value = in_unit(_decimal(reading.value), temperature_unit)
        decimals = _temperature_decimals(reading.resolution, temperature_unit)
        return number_text(value, decimals, decimal_sign=decimal_sign), temperature_unit
    size = abs(reading.value)
    symbol = next(name for least, name in quantity.row.ladder if size >= least)
    value = in_unit(_decimal(reading.value), symbol)
    if reading.resolution is not None and reading.resolution > 0:
        decimals = _decimals_of(in_unit(_decimal(reading.resolution), symbol))
    else:
        decimals = _significant(value)
    return number_text(value, decimals, decimal_sign=decimal_sign), symbol


def _as_written(reading: Reading, kind: str) -> tuple[Decimal, str] | None:
    """Number and unit of the meter's own text, if they say the same as the reading's value."""
    digits, name = split_value(reading.text)
    try:
        number, unit = parse_number(digits), find_unit(name, kind)
    except InputError:
        return None
    same = reading.value is not None and math.isclose(
        to_si(number, unit), reading.value, rel_tol=1e-9, abs_tol=1e-15
    )
    return (number, unit.symbol) if same else None


def _decimal(value: float | Decimal) -> Decimal:
    """The shortest decimal that is this float: what the meter showed, not its binary neighbour."""
    return value if isinstance(value, Decimal) else Decimal(repr(float(value)))


def _degrees(kelvin: float | None, unit: str) -> Decimal | None:
    if kelvin is None:
        return None
    return in_unit(_decimal(kelvin), f"Δ{unit}")


def _with_uncertainty(
    value: Decimal,
    unit: str,
    spread: Decimal | None,
    decimals: int | None,
    decimal_sign: str,
    most: int = 3,
) -> str:
    if not value.is_finite():
        return NOTHING
    if spread is None or not spread.is_finite() or spread <= 0:
        shown = 1 if decimals is None else decimals
        return f"{number_text(value, shown, decimal_sign=decimal_sign)} {unit}"
    spread = max(spread, Decimal(1).scaleb(-most))
    digits = min(_supported(spread), most)
    shown = digits if decimals is None else decimals
    return (
        f"{number_text(value, shown, decimal_sign=decimal_sign)} {unit} "
        f"± {number_text(spread, max(shown, digits), decimal_sign=decimal_sign)}"
    )


def _supported(spread: Decimal) -> int:
    """Decimals that leave one digit of an uncertainty, two if it begins with 1 (GUM 7.2.6)."""
    leading = spread.adjusted()
    first = int(spread.scaleb(-leading))
    return min(max(-leading + (first == 1), 0), 3)


def _significant(value: Decimal) -> int:
    return max(_SIGNIFICANT - 1 - value.adjusted(), 0) if value else _SIGNIFICANT - 1


def _decimals_of(resolution: Decimal) -> int:
    """Decimals of one digit of a display: 0.1 -> 1, 0.05 -> 2, 10 -> 0."""
    exponent = Context(prec=10).plus(resolution).normalize().as_tuple().exponent
    return max(-exponent, 0) if isinstance(exponent, int) and resolution > 0 else 0


def _temperature_decimals(resolution_k: float | None, unit: str) -> int:
    if resolution_k is None or not resolution_k > 0 or not math.isfinite(resolution_k):
        return 1
    in_unit = {u: _short(_degrees(resolution_k, u)) for u in ("°C", "°F")}
    # The scale on which one digit is the shorter number is the meter's own.
    own = min(("°C", "°F"), key=lambda u: len(in_unit[u].as_tuple().digits))
    if own == unit:
        return min(_decimals_of(in_unit[unit]), 3)
    # The finest decimal that is not below half of what one digit is worth.
    return min(max(math.floor(-math.log10(float(in_unit[unit]) / 2)), 0), 3)


def _short(number: Decimal | None) -> Decimal:
    return Context(prec=9).plus(number or Decimal(0)).normalize()
