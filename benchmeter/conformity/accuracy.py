"""A meter's accuracy line, as its leaflet prints it: ±(1.2 % + 2 × 0.1 µF)."""

import re
from decimal import Decimal

from benchmeter.conformity.verdict import Accuracy
from benchmeter.conformity.writing import NUMBER, clip, in_plain_signs
from benchmeter.errors import InputError
from benchmeter.readings.numbers import parse_number
from benchmeter.readings.units import find_unit

__all__ = ["parse_accuracy"]

_EXAMPLE = "Write it like 1.2 % + 2 x 0.1 µF, or 1.2 % + 2 counts."
_LARGEST_COUNT_F = Decimal("1e-3")
_MOST_COUNTS = 10_000

_COUNTS = r"(?:counts?|cts?|digits?|dgts?|digs?|d|lsds?|lsb)"
_PATTERNS = {
    kind: re.compile(pattern, re.IGNORECASE | re.ASCII)
    for kind, pattern in {
        "percent": rf"({NUMBER}) ?% ?(?:of )?(?:the )?(?:rdg|rd|reading|value|indication)?\.?",
        "counts": rf"({NUMBER}) ?{_COUNTS}\.?",
        "worth": rf"({NUMBER}) ?{_COUNTS}? ?[x*·] ?({NUMBER}) ?([A-Zµ]+)",
        "absolute": rf"({NUMBER}) ?(?!{_COUNTS}\b)([A-Zµ]+)",
        "bare": r"(\d{1,5})",  # 0.1 without unit may be µF
    }.items()
}


def parse_accuracy(text: str) -> Accuracy:
    """The accuracy line ±(percent of reading + counts).

    >>> parse_accuracy("±(1.2% + 2 x 0.1uF)").counts
    Decimal('2')

    Read are also `1,9 % rdg + 4 dgt`, `2 %`, `3 digits`, and `0.5 % + 10 nF` (one count of 10 nF).
    Counts without their worth mean the last digit of the reading.

    Raises:
        InputError: not understood, of full scale, negative, or no uncertainty at all.
    """
    percent: Decimal | None = None
    counts: tuple[Decimal, Decimal | None] | None = None
    for term in _terms(text):
        kind, match = _term(term, text)
        if kind == "percent" and percent is None:
            percent = parse_number(match[1])
        elif kind != "percent" and counts is None and (kind != "bare" or percent is not None):
            counts = _counts(kind, match)
        else:
            raise _not_understood(text)
    number, worth = counts or (Decimal(0), None)
    percent = percent or Decimal(0)
    if percent >= 100 or number > _MOST_COUNTS:
        raise InputError(f"The accuracy “{clip(text)}” is too large to be one.", _EXAMPLE)
    if not percent and not number:
        raise InputError("No meter is free of error.", _EXAMPLE)
    return Accuracy(percent=percent, counts=number, count_f=worth, text=text.strip())


def _terms(text: str) -> list[str]:
    plain = in_plain_signs(text).replace("(", " ").replace(")", " ")
    terms = [" ".join(t.split()) for t in re.split(r"[+±]", plain)]
    if not terms[0] and len(terms) > 1:  # the leading ±
        del terms[0]
    return terms


def _term(term: str, text: str) -> tuple[str, re.Match[str]]:
    for kind, pattern in _PATTERNS.items():
        match = pattern.fullmatch(term)
        if match:
            return kind, match
    if re.search(r"range|scale|f\.? ?s", term, re.IGNORECASE):
        raise InputError(
            f"“{clip(term)}” is not a percentage of the reading.",
            "Write that part in µF, for example 1 % + 0.5 µF.",
        )
    raise _not_understood(text)


def _counts(kind: str, match: re.Match[str]) -> tuple[Decimal, Decimal | None]:
    if kind in ("counts", "bare"):
        return parse_number(match[1]), None
    number, worth, unit = (
        (match[1], match[2], match[3]) if kind == "worth" else ("1", *match.groups())
    )
    farad = parse_number(worth) * find_unit(unit, "capacitance").scale
    if not 0 < farad <= _LARGEST_COUNT_F:
        raise InputError(f"“{clip(match[0])}” cannot be the worth of a count.", _EXAMPLE)
    return parse_number(number), farad


def _not_understood(text: str) -> InputError:
    return InputError(f"The accuracy “{clip(text.strip())}” is not understood.", _EXAMPLE)
