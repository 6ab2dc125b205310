"""What the label of a motor capacitor says, as people type it.

Nothing on a label is skipped in silence: what is neither understood nor known to be harmless is
an error that names the word.
"""

import re
from decimal import Decimal

from benchmeter.conformity.verdict import (
    Measurement,
)
from benchmeter.errors import InputError
from benchmeter.parts.nameplate.tolerance import (
    LETTERS,
    UNSYMMETRICAL,
    Tolerance,
    parse_tolerance,
    symmetrical,
    two_sided,
)
from benchmeter.parts.rated_part import (
    CapacitorKind,
    Rating,
)
from benchmeter.quantities.label_text import (
    CAPACITANCE_UNIT,
    NUMBER,
    capacitance_f,
    in_plain_signs,
)

__all__ = ["RANGE", "ToleranceMissing", "parse_label"]

RANGE = "range on the label"
"""`Rating.tolerance` of a part whose label gives the limits themselves."""

_WIDEST_RANGE = Decimal(2)
_NARROWEST_PAIR = Decimal("1.5")

_GROUPED = r"\d{1,3}(?:[ .,]?\d{3}){0,2}"
_END = r"(?![A-Za-zµ%])"
_NO_UNIT_AFTER = rf"(?! ?(?:V|Hz|%|{CAPACITANCE_UNIT}))"
# Repeated: each blank can be matched in one way only, or the time grows without bounds.
_AGAIN = rf"{NUMBER} ?(?:{CAPACITANCE_UNIT} ?)?[-/+&] ?"
_VOLTS_AGAIN = r"\d{1,5} ?(?:V(?:AC)? ?)?[-/] ?"
_DEGREES = r"[-+]?\d{1,3}"

# In this order, at each place of the label.
_PATTERNS = [
    ("climate", rf"\d\d/\d{{2,3}}/\d\d(?![\d.,]){_NO_UNIT_AFTER}"),
    ("protected", rf"{_GROUPED} ?AFC{_END}"),
    ("hours", rf"{_GROUPED} ?h(?:rs?|ours?)?{_END}"),
    (
        "standard",
        rf"(?:IEC|EN|UL|EIA)(?:[ /-]?EN)?[ -]?\d{{3,}}(?:[-:]\d+)*(?![\w/]){_NO_UNIT_AFTER}",
    ),
    (
        "capacitance",
        rf"(?:{_AGAIN})*{NUMBER} ?{CAPACITANCE_UNIT}(?P<letter>[JKMR])?(?![A-Za-z0-9µ%])",
    ),
    ("voltage", rf"(?:{_VOLTS_AGAIN})*\d{{1,5}} ?V(?:olts?)? ?(?:A\.?C\.?)?{_END}"),
    ("frequency", rf"(?:\d{{2,3}} ?(?:Hz)? ?[-/] ?)?\d{{2,3}} ?Hz{_END}"),
    (
        "temperature",
        rf"(?:{_DEGREES} ?(?:°?C)? ?(?:/|\.\.\.|to|-) ?)?{_DEGREES} ?(?:°[CF]|℃|℉|C){_END}",
    ),
    ("two sides", UNSYMMETRICAL),
    ("both sides", rf"(?:± ?)?{NUMBER} ?%"),
    ("absolute", rf"± ?{NUMBER} ?{CAPACITANCE_UNIT}"),
    ("one side", rf"[+-] ?{NUMBER} ?%"),
    ("negative", rf"- ?{NUMBER} ?{CAPACITANCE_UNIT}"),
    ("word", r"[A-Za-z][A-Za-z0-9]*"),
    ("number", rf"[-+±]? ?{NUMBER}[^\s;()]*"),
    ("other", r"[^\s;()]+"),
]
_TOKENS = [(k, re.compile(p, re.IGNORECASE | re.ASCII)) for k, p in _PATTERNS]
# A dash between words parts them; before a percentage or a capacitance it may be a minus.
_DASH = rf"-(?=\s)(?!\s{NUMBER} ?(?:%|{CAPACITANCE_UNIT}))"
_BETWEEN = re.compile(rf"(?:[\s;()\[\]|~:]|[.,](?!\d)|/(?=\s)|{_DASH})+", re.I | re.A)

# What labels carry besides the rating: use, build, protection, class, marks.
_HARMLESS_WORDS = {
    *("RUN", "START", "STARTING", "MOTOR", "CAP", "CAPACITOR", "DUAL", "SINGLE", "OVAL", "ROUND"),
    *("AC", "VAC", "HZ", "RATED", "TOL", "TOLERANCE", "MAX", "SH"),
    *("PROTECTED", "S0", "S1", "S2", "S3", "P0", "P1", "P2", "NO", "NON", "PCB", "PCBS"),
    *("CLASS", "A", "B", "C", "D", "CE", "CSA", "EN", "IEC", "ROHS", "UL", "VDE"),
}
_SECTION_WORDS = {"HERM", "FAN", "COMP", "COMPRESSOR"}


class ToleranceMissing(InputError):
    """The label gives no tolerance, and none was typed beside it."""


def parse_label(text: str, tolerance: str = "") -> Rating:
    """The rating that a label gives.

    >>> parse_label("45/5 µF ±6 % 440 VAC").sections[1].low_si
    Decimal('0.00000470')

    Args:
        text: as on the part: `45/5 uF ±6% 440 V`, `35µF K 370V`, `88-108 MFD 250VAC`.
        tolerance: typed by the user where the label gives none: "6 %", "J".

    The larger of two sections is HERM, in whatever order they stand (common practice, no source).

    Raises:
        ToleranceMissing: no tolerance anywhere.
        InputError: a word is not understood, a value is absurd, or the label contradicts itself.
    """
    found: dict[str, list[re.Match[str]]] = {kind: [] for kind, _ in _PATTERNS}
    for kind, match in _scan(in_plain_signs(text)):
        found[kind].append(match)
    words = [m[0].upper() for m in found["word"]]
    values, is_range = _capacitances(found["capacitance"], text)
    marked = _tolerances(found, words)
    sections, used, origin = _sections(values, is_range, marked, tolerance, text)
    started = is_range or not {"START", "STARTING"}.isdisjoint(words)
    return Rating(
        text=text,
        kind=CapacitorKind.START if started else CapacitorKind.RUN,
        sections=sections,
        tolerance=used,
        tolerance_from=origin,
        voltages_v=_whole_numbers(found["voltage"], 10_000, "V"),
        frequencies_hz=_whole_numbers(found["frequency"], 1_000, "Hz"),
    )


def _scan(plain: str) -> list[tuple[str, re.Match[str]]]:
    tokens = []
    at = _skip(plain, 0)
    while at < len(plain):
        kind, match = next((k, m) for k, p in _TOKENS if (m := p.match(plain, at)))
        _refuse(kind, match[0])
        tokens.append((kind, match))
        at = _skip(plain, match.end())
    return tokens


def _skip(plain: str, at: int) -> int:
    between = _BETWEEN.match(plain, at)
    return between.end() if between else at


def _refuse(kind: str, piece: str) -> None:
    word = piece.upper()
    if kind == "word" and word not in _HARMLESS_WORDS and word not in LETTERS:
        if word in _SECTION_WORDS:
            raise InputError("nameplate.section_word", text=piece)
        raise InputError("nameplate.label_word", text=piece)
    if kind == "absolute":
        raise InputError("nameplate.tolerance_not_percent", text=piece)
    if kind == "one side":
        raise InputError("nameplate.one_side", text=piece)
    if kind == "negative":
        raise InputError("nameplate.negative", text=piece)
    if kind == "number":
        raise InputError("nameplate.label_number", text=piece)
    if kind == "other":
        raise InputError("nameplate.label_word", text=piece)


def _capacitances(matches: list[re.Match[str]], text: str) -> tuple[tuple[Decimal, ...], bool]:
    """Farads as written, and whether they are the ends of a range."""
    if not matches:
        raise InputError("nameplate.no_capacitance", text=text.strip())
    found = {_one_capacitance(m) for m in matches}
    if len(found) > 1:
        one, other = (m[0].strip() for m in matches[:2])
        raise InputError("nameplate.two_capacitances", one=one, other=other)
    return found.pop()


def _one_capacitance(match: re.Match[str]) -> tuple[tuple[Decimal, ...], bool]:
    piece = match[0][: match.start("letter") - match.start()] if match["letter"] else match[0]
    parts = re.findall(rf"([-/+&]?) ?({NUMBER}) ?({CAPACITANCE_UNIT})?", piece, re.I | re.A)
    if len(parts) > 2:
        raise InputError("nameplate.many_sections", text=piece)
    last_unit = parts[-1][2]
    values = tuple(capacitance_f(number, unit or last_unit) for _, number, unit in parts)
    if len(values) == 1:
        return values, False
    first, second = values
    is_range = parts[1][0] == "-"
    if is_range and not first < second <= _WIDEST_RANGE * first:
        raise InputError("nameplate.no_range_of_part", text=piece)
    if not is_range and first < second <= _NARROWEST_PAIR * first:
        raise InputError("nameplate.range_or_sections", text=piece)
    return values, is_range


def _tolerances(found: dict[str, list[re.Match[str]]], words: list[str]) -> list[Tolerance]:
    letters = [m["letter"].upper() for m in found["capacitance"] if m["letter"]]
    letters += [w for w in words if w in LETTERS]
    return [
        *(LETTERS[letter] for letter in letters),
        *(symmetrical(m[0].strip("±% ")) for m in found["both sides"]),
        *(two_sided(m["first"], m["second"]) for m in found["two sides"]),
    ]


def _sections(
    values: tuple[Decimal, ...], is_range: bool, marked: list[Tolerance], typed: str, text: str
) -> tuple[tuple[Measurement, ...], str, str]:
    given = [*marked, *([parse_tolerance(typed)] if typed.strip() else [])]
    if is_range:
        if given:
            raise InputError("nameplate.range_and_tolerance", tolerance=given[0].text)
        low, high = values
        return (Measurement("single", None, low, high),), RANGE, "label"
    if not given:
        raise ToleranceMissing("nameplate.no_tolerance", text=text.strip())
    for other in given[1:]:
        if other != given[0]:
            raise InputError("nameplate.two_tolerances", one=given[0].text, other=other.text)
    names = ("HERM", "FAN") if len(values) == 2 else ("single",)
    rated = sorted(values, reverse=True)
    sections = tuple(
        Measurement(n, r, *given[0].limits(r)) for n, r in zip(names, rated, strict=True)
    )
    return sections, given[0].text, "label" if marked else "user"


def _whole_numbers(matches: list[re.Match[str]], most: int, unit: str) -> tuple[int, ...]:
    numbers = [int(n) for m in matches for n in re.findall(r"\d+", m[0], re.ASCII)]
    for number in numbers:
        if not 0 < number <= most:
            raise InputError("nameplate.absurd_on_label", number=number, unit=unit)
    return tuple(dict.fromkeys(numbers))
