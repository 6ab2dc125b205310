"""What labels and accuracy lines have in common: signs brought to one spelling, exact values."""

import re
from decimal import Context, Decimal

from benchmeter.errors import InputError
from benchmeter.quantities.typed_numbers import parse_number
from benchmeter.quantities.units import find_unit

__all__ = ["CAPACITANCE_UNIT", "EXACTLY", "NUMBER", "capacitance_f", "clip", "in_plain_signs"]

NUMBER = r"(?:\d{1,12}(?:[.,]\d{1,12})?|[.,]\d{1,12})"
"""Pattern of an unsigned decimal number; use with re.ASCII, so that ² and ٤ are no digits."""

CAPACITANCE_UNIT = r"(?:microfarads?|[µu]fd|mfd|[µu]f|nf|pf|mf|f)"
"""Pattern of a unit of capacitance; use with re.IGNORECASE."""

EXACTLY = Context(prec=120)
"""Room for every digit, whatever decimal context the caller has set."""

_LONGEST = 200
_LARGEST_F = Decimal("0.01")
_SMALLEST_F = Decimal("1e-9")

_SIGNS = str.maketrans(
    {
        "\u03bc": "µ",
        "\u2212": "-", "\u2010": "-", "\u2011": "-", "\u2012": "-", "\u2013": "-", "\u2014": "-",
        "\u2044": "/", "\u2215": "/", "\uff0f": "/",
        "\u00ba": "°", "\u223c": "~", "\uff5e": "~", "\u00d7": "x", "\u2026": "...",
    }
)  # fmt: skip
_PLUS_MINUS = re.compile(r"\+ ?/ ?-|- ?/ ?\+|\+-")


def in_plain_signs(text: str) -> str:
    """`text` with one kind of space, dash, slash, micro sign and ±.

    Raises:
        InputError: longer than any label.
    """
    if len(text) > _LONGEST:
        raise InputError("quantities.text_too_long", length=len(text))
    spaced = " ".join(text.translate(_SIGNS).split())
    return _PLUS_MINUS.sub("±", spaced)


def capacitance_f(number: str, unit: str) -> Decimal:
    """Exact farads of a rating or of a count.

    Raises:
        InputError: no number, ambiguous unit, or no capacitance that such a part can have.
    """
    farad = EXACTLY.multiply(parse_number(number), find_unit(unit, "capacitance").scale)
    if not _SMALLEST_F <= farad <= _LARGEST_F:
        raise InputError("quantities.no_motor_capacitance", number=number, unit=unit)
    return farad


def clip(text: str) -> str:
    """The beginning of `text`, for a message."""
    return text if len(text) <= 40 else text[:39] + "…"
