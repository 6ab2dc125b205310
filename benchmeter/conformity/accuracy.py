"""A meter's accuracy line, as its leaflet prints it: ±(1.2 % + 2 × 0.1 µF)."""

import re
from decimal import Decimal

from benchmeter.conformity.verdict import Accuracy
from benchmeter.conformity.writing import NUMBER, clip, in_plain_signs
from benchmeter.errors import InputError
from benchmeter.readings.numbers import parse_number
from benchmeter.readings.units import find_unit

__all__ = ["parse_accuracy"]

_UNIT = {"capacitance": "µF", "resistance": "Ω", "voltage": "mV"}
_LARGEST_COUNT = {
    "capacitance": Decimal("1e-3"),
    "resistance": Decimal("1e6"),
    "voltage": Decimal(1),
}
_MOST_COUNTS = 10_000

_COUNTS = r"(?:counts?|cts?|digits?|dgts?|digs?|d|lsds?|lsb)"
_PATTERNS = {
    form: re.compile(pattern, re.IGNORECASE | re.ASCII)
    for form, pattern in {
        "percent": rf"({NUMBER}) ?% ?(?:of )?(?:the )?(?:rdg|rd|reading|value|indication)?\.?",
        "counts": rf"({NUMBER}) ?{_COUNTS}\.?",
        "worth": rf"({NUMBER}) ?{_COUNTS}? ?[x*·] ?({NUMBER}) ?([A-ZµΩ\u2126]+)",
        "absolute": rf"({NUMBER}) ?(?!{_COUNTS}\b)([A-ZµΩ\u2126]+)",
        "bare": r"(\d{1,5})",  # 0.1 without unit may be µF
    }.items()
}


def parse_accuracy(text: str, kind: str = "capacitance") -> Accuracy:
    """The accuracy line ±(percent of reading + counts).

    >>> parse_accuracy("±(1.2% + 2 x 0.1uF)").counts
    Decimal('2')

    Read are also `1,9 % rdg + 4 dgt`, `2 %`, `3 digits`, and `0.5 % + 10 nF` (one count of 10 nF).
    Counts without their worth mean the last digit of the reading.

    Args:
        kind: "capacitance", "resistance" or "voltage": what the units in the line may measure.

    Raises:
        InputError: not understood, of full scale, negative, or no uncertainty at all.
    """
    percent: Decimal | None = None
    counts: tuple[Decimal, Decimal | None] | None = None
    for term in _terms(text):
        form, match = _term(term, text, kind)
        if form == "percent" and percent is None:
            percent = parse_number(match[1])
        elif form != "percent" and counts is None and (form != "bare" or percent is not None):
            counts = _counts(form, match, kind)
        else:
            raise _not_understood(text, kind)
    number, worth = counts or (Decimal(0), None)
    percent = percent or Decimal(0)
    if percent >= 100 or number > _MOST_COUNTS:
        raise InputError(f"The accuracy “{clip(text)}” is too large to be one.", _example(kind))
    if not percent and not number:
        raise InputError("No meter is free of error.", _example(kind))
    return Accuracy(percent=percent, counts=number, count_si=worth, text=text.strip())


def _terms(text: str) -> list[str]:
    plain = in_plain_signs(text).replace("(", " ").replace(")", " ")
    terms = [" ".join(t.split()) for t in re.split(r"[+±]", plain)]
    if not terms[0] and len(terms) > 1:  # the leading ±
        del terms[0]
    return terms


def _term(term: str, text: str, kind: str) -> tuple[str, re.Match[str]]:
    for form, pattern in _PATTERNS.items():
        match = pattern.fullmatch(term)
        if match:
            return form, match
    if re.search(r"range|scale|f\.? ?s", term, re.IGNORECASE):
        raise InputError(
            f"“{clip(term)}” is not a percentage of the reading.",
            f"Write that part in {_UNIT[kind]}, for example 1 % + 0.5 {_UNIT[kind]}.",
        )
    raise _not_understood(text, kind)


def _counts(form: str, match: re.Match[str], kind: str) -> tuple[Decimal, Decimal | None]:
    if form in ("counts", "bare"):
        return parse_number(match[1]), None
    number, worth, unit = (
        (match[1], match[2], match[3]) if form == "worth" else ("1", *match.groups())
    )
    count = parse_number(worth) * find_unit(unit, kind).scale
    if not 0 < count <= _LARGEST_COUNT[kind]:
        raise InputError(f"“{clip(match[0])}” cannot be the worth of a count.", _example(kind))
    return parse_number(number), count


def _not_understood(text: str, kind: str) -> InputError:
    return InputError(f"The accuracy “{clip(text.strip())}” is not understood.", _example(kind))


def _example(kind: str) -> str:
    return f"Write it like 1.2 % + 2 x 0.1 {_UNIT[kind]}, or 1.2 % + 2 counts."
