"""The three pairs of a motor's terminals, and what the meter showed across each."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from benchmeter.conformity.uncertainty import half_width
from benchmeter.conformity.verdict import Accuracy
from benchmeter.errors import InputError
from benchmeter.quantities.label_text import EXACTLY
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.units import last_digit
from benchmeter.readings.gate import admit_written
from benchmeter.readings.resolution import DisplayResolution

__all__ = ["Pair", "PairReading", "parse_pairs", "worst_case_ohm"]

Pair = frozenset[str]
"""Two terminals, in whatever order."""

_LARGEST_OHM = Decimal("1e6")
_LONGEST_NAME = 6
_OPEN = {"ol", "0l", "o.l", "o.l.", ".ol", "0.l", "overload", "over", "open"}
_SHORTED = {"short", "shorted"}


@dataclass(frozen=True, slots=True)
class PairReading:
    """What the meter shows across a pair.

    Attributes:
        ohm: as shown, exact; None for overload: open.
        resolution_ohm: worth of the last digit; None if unknown.
        half_width_ohm: of this reading, where it is known already; None: by the accuracy line.
    """

    ohm: Decimal | None
    resolution_ohm: Decimal | None = None
    half_width_ohm: float | None = None


def parse_pairs(texts: Sequence[str]) -> dict[Pair, PairReading]:
    """Three pairs of three terminals, as a person writes them: `C-S=2.6ohm`, `A-B=OL`.

    Names are taken in upper case. A whole number beside others with decimals was shown with such
    decimals: nobody types 3.0.

    Raises:
        InputError: not three different pairs of three terminals, or a value that is none.
    """
    found: dict[Pair, PairReading] = {}
    for text in texts:
        pair, reading = _pair(text)
        if pair in found:
            raise InputError("motors.pair_twice", pair="-".join(sorted(pair)))
        found[pair] = reading
    if len(found) != 3 or len(frozenset().union(*found)) != 3:
        raise InputError("motors.three_pairs_needed")
    return _with_digits(found)


def worst_case_ohm(
    readings: Mapping[Pair, PairReading], accuracy: Accuracy
) -> dict[Pair, float] | None:
    """Half-width of each reading by the accuracy line, ohm; None if a count's worth is not known.

    Raises:
        ValueError: an open pair, which has no value.
    """
    found: dict[Pair, float] = {}
    for pair, reading in readings.items():
        if reading.ohm is None:
            raise ValueError(f"{sorted(pair)} is open")
        width = reading.half_width_ohm
        if width is None:
            width = half_width(reading.ohm, accuracy, reading.resolution_ohm)
        if width is None:
            return None
        found[pair] = width
    return found


def _with_digits(readings: dict[Pair, PairReading]) -> dict[Pair, PairReading]:
    finest = min((r.resolution_ohm for r in readings.values() if r.resolution_ohm), default=None)
    return {
        pair: replace(r, resolution_ohm=finest)
        if finest is not None and r.resolution_ohm == 1
        else r
        for pair, r in readings.items()
    }


def _pair(text: str) -> tuple[Pair, PairReading]:
    name, sign, value = text.partition("=")
    ends = [end.strip().upper() for end in name.split("-")]
    if not (
        sign and len(ends) == 2 and all(end.isalnum() and len(end) <= _LONGEST_NAME for end in ends)
    ):
        raise InputError("motors.no_pair", text=text)
    if ends[0] == ends[1]:
        raise InputError("motors.same_terminal_twice", text=text)
    return frozenset(ends), _reading(value, text)


def _reading(value: str, text: str) -> PairReading:
    word = " ".join(value.split()).lower()
    if word in _OPEN:
        return PairReading(None)
    if word in _SHORTED:
        return PairReading(Decimal(0))
    try:
        number, unit = admit_written(value, Quantity.RESISTANCE)
    except InputError as error:
        raise InputError("motors.pair_value", text=text, why=error) from None
    ohm = EXACTLY.multiply(number, unit.scale)
    if not 0 <= ohm <= _LARGEST_OHM:
        raise InputError("motors.no_winding_resistance", text=text)
    step = DisplayResolution().of(number, last_digit(number), unit).step
    return PairReading(ohm, None if step is None else EXACTLY.multiply(step, unit.scale))
