"""The values that a label gives: exact, plausible, with their ranges and tolerances."""

from dataclasses import dataclass
from decimal import Decimal

from benchmeter.errors import InputError
from benchmeter.parts.nameplate.tokens import Piece
from benchmeter.parts.nameplate.tolerance import Tolerance, symmetrical, two_sided
from benchmeter.parts.part_kind import NameplateField
from benchmeter.quantities.label_text import EXACTLY
from benchmeter.quantities.typed_numbers import parse_number
from benchmeter.quantities.units import UNITS, Unit, find_unit

__all__ = [
    "DIFFERENCE",
    "NameplateValue",
    "amount_si",
    "find_amount_unit",
    "plain_value",
    "tolerance_value",
]

DIFFERENCE = "temperature difference"
"""The kind of unit of what lies between two temperatures."""

# What no part of the trade goes beyond, in SI.
_PLAUSIBLE: dict[str, tuple[Decimal, Decimal]] = {
    "resistance": (Decimal("1e-6"), Decimal("1e12")),
    "voltage": (Decimal("1e-6"), Decimal("1e5")),
    "current": (Decimal("1e-9"), Decimal("1e5")),
    "power": (Decimal("1e-6"), Decimal("1e8")),
    "frequency": (Decimal("0.1"), Decimal("1e9")),
    "capacitance": (Decimal("1e-13"), Decimal("0.1")),
    "time": (Decimal("1e-6"), Decimal("1e8")),
    "pressure": (Decimal(-101_325), Decimal("1e8")),  # gauge, in kinds of before the two were apart
    "gauge pressure": (Decimal(-101_325), Decimal("1e8")),
    "temperature": (Decimal(50), Decimal(2500)),
    "temperature difference": (Decimal("1e-6"), Decimal(1000)),
    "ratio": (Decimal("1e-9"), Decimal(1000)),
}


_ONE_SUPPLY = Decimal("1.25")
"""Two nominal voltages farther apart are two ways of wiring it: 115/230 V (common practice, no
source)."""


@dataclass(frozen=True, slots=True)
class NameplateValue:
    """What was typed, or taken as default, for one given.

    Attributes:
        text: as typed.
        value_si: exact; None of a range, a word, or a tolerance whose sides differ.
        low_si, high_si: ends of a range; of a tolerance its sides, below zero and above; else
            None. Of a tolerance in percent they are fractions.
        word: of a given with choices, as the choice is written there; else "".
        from_default: taken since nothing was typed.
    """

    text: str
    value_si: Decimal | None
    low_si: Decimal | None
    high_si: Decimal | None
    word: str
    from_default: bool


def find_amount_unit(text: str, kind: str) -> Unit:
    """The unit of a value of that kind; °C and °F of a difference are degrees of difference.

    Raises:
        InputError: not in the list, or of another kind.
    """
    if kind == DIFFERENCE:
        try:
            return find_unit(text, kind)
        except InputError:
            return UNITS["Δ°F" if find_unit(text, "temperature").symbol == "°F" else "Δ°C"]
    return find_unit(text, kind)


def amount_si(number: Decimal, unit: Unit) -> Decimal:
    """SI value, exact but for the digits of five ninths."""
    return EXACTLY.multiply(EXACTLY.add(number, unit.zero), unit.scale)


def plain_value(given: NameplateField, unit: Unit, piece: Piece) -> NameplateValue:
    """What is given: one value, or a range where the given may be one.

    Raises:
        InputError: absurd, a range where there is none, or a tolerance.
    """
    if piece.form == "value":
        value = _plausible(amount_si(parse_number(piece.numbers[0]), unit), unit, piece)
        return NameplateValue(piece.text, value, None, None, "", False)
    if piece.form not in ("range", "either", "around"):
        raise InputError(
            "nameplate.tolerance_for_value",
            text=piece.text,
            title=given.title.lower(),
            name=given.name,
            unit=given.unit,
        )
    if not (given.nominal if piece.form == "either" else given.range):
        raise InputError("nameplate.range_for_value", text=piece.text, title=given.title)
    first, second = (parse_number(number) for number in piece.numbers)
    if piece.form == "around":
        if second <= 0:
            raise InputError("nameplate.no_room", text=piece.text)
        middle: Decimal | None = amount_si(first, unit)
        ends = EXACTLY.subtract(first, second), EXACTLY.add(first, second)
    else:
        middle, ends = None, (first, second)
    low, high = (_plausible(amount_si(end, unit), unit, piece) for end in ends)
    if low >= high:
        raise InputError("nameplate.larger_first", text=piece.text)
    if given.nominal and high > low * _ONE_SUPPLY:
        raise InputError("nameplate.two_supplies", text=piece.text, name=given.name)
    return NameplateValue(piece.text, middle, low, high, "", False)


def tolerance_value(given: NameplateField, unit: Unit, piece: Piece) -> NameplateValue:
    """How far another given may be off, below and above.

    Raises:
        InputError: a range, one side only, or absurd.
    """
    if piece.form in ("range", "either", "around"):
        raise InputError(
            "nameplate.range_for_tolerance", text=piece.text, unit=given.unit.removeprefix("Δ")
        )
    if piece.form == "value" and piece.numbers[0][0] in "+-":
        raise InputError("nameplate.one_side", text=piece.text)
    if unit.kind == "ratio":
        found: Tolerance = (
            two_sided(*piece.numbers)
            if piece.form == "two sides"
            else symmetrical(piece.numbers[0])
        )
        low, high = (
            EXACTLY.multiply(side, unit.scale) for side in (EXACTLY.minus(found.below), found.above)
        )
    else:
        width = EXACTLY.multiply(parse_number(piece.numbers[0]), unit.scale)
        if width <= 0:
            raise InputError("nameplate.no_room", text=piece.text)
        low, high = EXACTLY.minus(width), width
    return NameplateValue(
        piece.text, high if high == EXACTLY.minus(low) else None, low, high, "", False
    )


def _plausible(value: Decimal, unit: Unit, piece: Piece) -> Decimal:
    low, high = _PLAUSIBLE[unit.kind]
    if not low <= value <= high:
        raise InputError("nameplate.absurd", text=piece.text, unit=unit.symbol)
    return value
