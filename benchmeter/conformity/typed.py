"""A reading of a capacitor as a person reads it off the meter: "44.1 uF", "OL", "open"."""

from dataclasses import dataclass
from decimal import Decimal

from benchmeter.conformity.verdict import Reason
from benchmeter.conformity.writing import EXACTLY, clip
from benchmeter.errors import InputError
from benchmeter.readings.numbers import parse_number
from benchmeter.readings.units import find_unit, split_value

__all__ = ["SHORTED_BELOW_OHM", "TypedReading", "parse_typed"]

SHORTED_BELOW_OHM = Decimal(10)
"""Less resistance than this between the terminals is a shorted section (common practice)."""

_LARGEST_F = Decimal("0.1")

_WORDS = {
    **dict.fromkeys(("ol", "0l", "o.l", "o.l.", ".ol", "0.l", "overload", "over"), Reason.OVERLOAD),
    **dict.fromkeys(("open", "open circuit"), Reason.NO_CAPACITANCE),
    **dict.fromkeys(("short", "shorted", "short circuit"), Reason.NO_RESISTANCE),
    **dict.fromkeys(
        ("none", "no reading", "nothing", "-", "--", "---", "----"), Reason.NOT_MEASURED
    ),
}


@dataclass(frozen=True, slots=True)
class TypedReading:
    """Either a value or the reason why there is none.

    Attributes:
        value_si: farad, exact.
        resolution_si: worth of the last digit that was typed.
        reason: None with a value.
    """

    value_si: Decimal | None
    resolution_si: Decimal | None
    reason: Reason | None


def parse_typed(text: str) -> TypedReading:
    """What a person typed as the reading of a section; a number without unit is in µF.

    A resistance is a finding too: shorted below 10 Ω, otherwise the meter's wrong function.

    Raises:
        InputError: neither a number nor a word for none, or an absurd value.
    """
    word = " ".join(text.split()).lower()
    if word in _WORDS:
        return TypedReading(None, None, _WORDS[word])
    written, name = split_value(text)
    if not written:
        raise InputError(
            f"“{clip(text.strip())}” is no reading.", "Type it like 44.1 µF, OL, open or shorted."
        )
    number, unit = parse_number(written), find_unit(name or "µF")
    if unit.kind == "resistance":
        return TypedReading(None, None, _of_resistance(number, unit.scale))
    if unit.kind != "capacitance":
        raise InputError(f"“{clip(text.strip())}” is no capacitance.", "Type it like 44.1 µF.")
    value_si = EXACTLY.multiply(number, unit.scale)
    if abs(value_si) > _LARGEST_F:
        raise InputError(
            f"“{clip(text.strip())}” is more than any motor capacitor has.", "Type it in µF."
        )
    last = Decimal(1).scaleb(int(number.as_tuple().exponent))
    return TypedReading(value_si, EXACTLY.multiply(last, unit.scale), None)


def _of_resistance(number: Decimal, scale: Decimal) -> Reason:
    shorted = abs(number * scale) < SHORTED_BELOW_OHM
    return Reason.NO_RESISTANCE if shorted else Reason.WRONG_FUNCTION
