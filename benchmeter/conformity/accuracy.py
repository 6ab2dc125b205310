"""A meter's accuracy lines, as its leaflet prints them: ±(1.2 % + 2 × 0.1 µF)."""

import re
from dataclasses import replace
from decimal import Decimal

from benchmeter.conformity.verdict import INSULATION_TESTER, Accuracy
from benchmeter.errors import InputError
from benchmeter.quantities.label_text import EXACTLY, NUMBER, in_plain_signs
from benchmeter.quantities.quantity import Quantity, of_other_current, quantity_told_by
from benchmeter.quantities.typed_numbers import parse_number
from benchmeter.quantities.units import find_unit, parse_value, split_value

__all__ = ["parse_accuracy"]

_COUNTS_OF = {
    q.kind: (q.row.count_unit, q.row.largest_count_si)
    for q in Quantity
    if q.row.count_unit is not None and q.row.largest_count_si is not None
}
_UNIT = {kind: unit for kind, (unit, _) in _COUNTS_OF.items()}
_LARGEST_COUNT = {kind: largest for kind, (_, largest) in _COUNTS_OF.items()}
_FUNCTIONS = {
    **{q.value.lower(): q for q in Quantity if q.kind in _UNIT},
    "ohms": Quantity.RESISTANCE,
    "dc volts": Quantity.VOLTAGE_DC,
    "ac volts": Quantity.VOLTAGE_AC,
    "dc amps": Quantity.CURRENT_DC,
    "ac amps": Quantity.CURRENT_AC,
    "insulation": Quantity.RESISTANCE,
}
_LINE = re.compile(
    rf"(?P<function>{'|'.join(sorted(_FUNCTIONS, key=len, reverse=True))})? ?:? ?"
    rf"(?:up to (?P<range>{NUMBER} ?[A-ZµΩ\u2126°]+)\b ?:? ?)?(?P<line>.*)",
    re.IGNORECASE | re.ASCII,
)
_MOST_COUNTS = 10_000
_COUNTS = r"(?:counts?|cts?|digits?|dgts?|digs?|d|lsds?|lsb)"
_PATTERNS = {
    form: re.compile(pattern, re.IGNORECASE | re.ASCII)
    for form, pattern in {
        "percent": rf"({NUMBER}) ?% ?(?:of )?(?:the )?(?:rdg|rd|reading|value|indication)?\.?",
        "counts": rf"({NUMBER}) ?{_COUNTS}\.?",
        "worth": rf"({NUMBER}) ?{_COUNTS}? ?[x*·] ?({NUMBER}) ?([A-ZµΩ\u2126°]+)",
        "absolute": rf"({NUMBER}) ?(?!{_COUNTS}\b)([A-ZµΩ\u2126°]+)",
        "bare": r"(\d{1,5})",  # 0.1 without unit may be µF
    }.items()
}


def parse_accuracy(text: str, kind: str = "capacitance") -> Accuracy:
    """The accuracy line ±(percent of reading + counts).

    >>> parse_accuracy("±(1.2% + 2 x 0.1uF)").counts
    Decimal('2')

    Read are also `1,9 % rdg + 4 dgt`, `2 %`, `3 digits`, and `0.5 % + 10 nF` (one count of 10 nF).
    Counts without their worth mean the last digit of the reading.

    Several lines, parted by semicolons, hold for functions and ranges of their own:
    `capacitance 1.2 % + 2 counts; resistance up to 200 ohm 0.5 % + 3 x 0.1 ohm`. Those of an
    insulation tester begin with `insulation`.

    Args:
        kind: kind of unit that a line without function is for; "": told by the unit in the line.

    Raises:
        InputError: not understood, of full scale, negative, or no uncertainty at all.
    """
    lines = [part.strip() for part in re.split(r"[;\n]", text) if part.strip()]
    found = [_line(line, kind) for line in lines or [text]]
    if len(found) == 1 and not found[0].holds_for and found[0].up_to_si is None:
        return replace(found[0], text=text.strip())
    _refuse_doubles(found, text)
    return replace(found[0], text="; ".join(lines), more=tuple(found[1:]))


def _refuse_doubles(found: list[Accuracy], text: str) -> None:
    keys = [(line.holds_for, line.up_to_si) for line in found]
    if len(set(keys)) < len(keys):
        raise InputError("conformity.accuracy_twice", text=text.strip())


def _line(text: str, kind: str) -> Accuracy:
    match = _LINE.fullmatch(" ".join(in_plain_signs(text).split()))
    if match is None:
        raise _not_understood(text, kind or "capacitance")
    quantity = _FUNCTIONS[match["function"].lower()] if match["function"] else None
    own = quantity.kind if quantity else kind or _kind_in(match["range"], match["line"])
    units = _units(match["range"], match["line"])
    if quantity is None and not kind:  # VAC tells the function
        quantity = next((q for u in units if (q := quantity_told_by(own, u[-2:].upper()))), None)
    for unit_name in units:
        if quantity is not None and of_other_current(unit_name, quantity):
            raise InputError("conformity.unit_of_other_current", unit=unit_name, quantity=quantity)
    line = _plain_line(match["line"], own or "capacitance")
    up_to = None
    if match["range"]:
        number, unit = parse_value(match["range"], own)
        up_to = EXACTLY.multiply(EXACTLY.add(number, unit.zero), unit.scale)
        if up_to <= 0:
            raise InputError("conformity.empty_range", range=match["range"], unit=_UNIT[own])
    if own == "temperature" and line.percent:
        raise InputError("conformity.percent_of_temperature")
    holds_for = quantity.value if quantity else "" if kind else own
    if (match["function"] or "").lower() == "insulation":
        holds_for = INSULATION_TESTER
    return replace(line, holds_for=holds_for, up_to_si=up_to)


def _kind_in(range_end: str | None, line: str) -> str:
    """The kind of the unit that the line is written with; "" if it has none."""
    for name in _units(range_end, line):
        kind = find_unit(name).kind
        if kind not in _UNIT:
            raise InputError("conformity.no_accuracy_of_kind", unit=name, kind=kind)
        return kind
    return ""


def _units(range_end: str | None, line: str) -> list[str]:
    """The units that a line is written with, that of its range first."""
    found = [split_value(range_end)[1]] if range_end else []
    for term in _terms(line):
        matches = (_PATTERNS[form].fullmatch(term) for form in ("worth", "absolute"))
        found += [match[match.re.groups] for match in matches if match]
    return found


def _plain_line(text: str, kind: str) -> Accuracy:
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
        raise InputError("conformity.accuracy_too_large", text=text, unit=_UNIT[kind])
    if not percent and not number:
        raise InputError("conformity.accuracy_of_zero", unit=_UNIT[kind])
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
        raise InputError("conformity.percent_of_range", text=term, unit=_UNIT[kind])
    raise _not_understood(text, kind)


def _counts(form: str, match: re.Match[str], kind: str) -> tuple[Decimal, Decimal | None]:
    if form in ("counts", "bare"):
        return parse_number(match[1]), None
    number, worth, unit = (
        (match[1], match[2], match[3]) if form == "worth" else ("1", *match.groups())
    )
    count = parse_number(worth) * find_unit(unit, kind).scale
    if not 0 < count <= _LARGEST_COUNT[kind]:
        raise InputError("conformity.no_resolution", text=match[0], unit=_UNIT[kind])
    return parse_number(number), count


def _not_understood(text: str, kind: str) -> InputError:
    return InputError("conformity.accuracy_not_understood", text=text.strip(), unit=_UNIT[kind])
