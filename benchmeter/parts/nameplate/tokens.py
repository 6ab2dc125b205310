"""The pieces of what is typed of a label: words, values with units, ranges, tolerances."""

import re
from collections.abc import Iterator
from typing import Literal, NamedTuple

from benchmeter.errors import InputError
from benchmeter.parts.nameplate.tolerance import UNSYMMETRICAL
from benchmeter.quantities.label_text import NUMBER, in_plain_signs
from benchmeter.quantities.units import find_unit

__all__ = ["Form", "Piece", "pieces"]

Form = Literal["word", "bare", "value", "range", "either", "around", "plus minus", "two sides"]


class Piece(NamedTuple):
    """One piece.

    Attributes:
        form: "range" is 9-14 ohm, "either" 208/230 V, "around" 14 ±2 ohm, "plus minus" ±10 %,
            "two sides" -5/+10 %, "bare" a number without unit.
        text: as typed.
        numbers: one, or two.
        unit: as typed; of the last number.
        current: "AC" or "DC" if it is said; else "".
    """

    form: Form
    text: str
    numbers: tuple[str, ...] = ()
    unit: str = ""
    current: str = ""


_SIGNED = rf"[-+]? ?{NUMBER}"
_UNIT = r"(?!to(?![A-Za-z]))[A-Za-zµΩ\u2126ω°℃℉Δδ%]+"
_CURRENT = r"(?: ?(AC|DC)(?![A-Za-z]))?"
_PATTERNS: list[tuple[str, str]] = [
    ("word", r"[A-Za-z][A-Za-z0-9]*(?:-[A-Za-z0-9]+)*"),
    ("two sides", UNSYMMETRICAL),
    (
        "range",
        rf"({_SIGNED}) ?({_UNIT})?{_CURRENT} ?(-|\.\.\.?|to|±|/) ?({_SIGNED}) ?({_UNIT}){_CURRENT}",
    ),
    ("plus minus", rf"± ?({NUMBER}) ?({_UNIT})"),
    ("value", rf"({_SIGNED}) ?({_UNIT}){_CURRENT}"),
    ("bare", rf"{_SIGNED}(?!\d)"),
]
_TOKENS = [(form, re.compile(pattern, re.I | re.A)) for form, pattern in _PATTERNS]
_OTHER = re.compile(r"[^\s;,]+")
# A comma before a digit parts two values only where it follows the first one at once.
_BETWEEN = re.compile(
    r"(?:[\s;()\[\]|:=~&/]|,(?!\d)|(?<=[^\s\d]),|\.(?!\d)|-(?=[\sA-Za-z]))+", re.A
)


def pieces(text: str, example: str) -> Iterator[Piece]:
    """The pieces of `text`, one after another.

    Args:
        example: of what is typed, for messages.

    Raises:
        InputError: too long, or a piece that is none.
    """
    plain = in_plain_signs(text)
    at = _skip(plain, 0)
    while at < len(plain):
        piece, at = _piece(plain, at, example)
        yield piece
        at = _skip(plain, at)


def _skip(plain: str, at: int) -> int:
    between = _BETWEEN.match(plain, at)
    return between.end() if between else at


def _piece(plain: str, at: int, example: str) -> tuple[Piece, int]:
    for form, pattern in _TOKENS:
        match = pattern.match(plain, at)
        piece = _made(form, match) if match else None
        if match and piece:
            if piece.numbers and piece.numbers[0].startswith(","):
                raise InputError(
                    "nameplate.comma_first",
                    text=piece.text,
                    number=piece.numbers[0],
                    example=example,
                )
            return piece, match.end()
    other = _OTHER.match(plain, at)
    shown = other[0] if other else plain[at:]
    raise InputError("nameplate.not_understood", text=shown, example=example)


def _made(form: str, match: re.Match[str]) -> Piece | None:
    text = match[0].strip()
    if form == "word":
        return Piece("word", text)
    if form == "two sides":
        return Piece("two sides", text, (match["first"], match["second"]), "%")
    if form == "plus minus":
        return Piece("plus minus", text, (match[1],), match[2])
    if form == "value":
        return Piece("value", text, (_close(match[1]),), match[2], _current(match[3], match[2]))
    if form == "bare":
        return Piece("bare", text)
    if form == "range":
        return _range(match, text)
    return None


def _range(match: re.Match[str], text: str) -> Piece | None:
    """None where these are two pieces: the units differ, or ± follows a value with its unit.

    In `opens 160 F, closes 130 F ±3 F` the tolerance is that of both points; `240 V/24 V` are two
    values.
    """
    first, unit_1, current_1, sign, second, unit_2, current_2 = match.groups()
    if unit_1 and (sign in "±/" or _symbol(unit_1) != _symbol(unit_2)):
        return None
    form: Form = "around" if sign == "±" else "either" if sign == "/" else "range"
    current = _current(current_2 or current_1, unit_2)
    return Piece(form, text, (_close(first), _close(second)), unit_2, current)


def _symbol(unit: str) -> str:
    try:
        return find_unit(unit).symbol
    except InputError:
        return unit


def _current(said: str | None, unit: str) -> str:
    """AC or DC, beside the unit or in it (VDC)."""
    end = (said or unit[-2:]).upper()
    return end if end in ("AC", "DC") else ""


def _close(number: str) -> str:
    """Sign and digits without the blank between."""
    return number.replace(" ", "")
