"""A reading as a person reads it off the meter: "44.1 uF", "12 ohm", "OL", "open"."""

from dataclasses import dataclass
from decimal import Decimal

from benchmeter.conformity.verdict import Measurement, Reason, Verdict
from benchmeter.errors import InputError
from benchmeter.quantities.label_text import EXACTLY
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.typed_numbers import parse_number
from benchmeter.quantities.units import (
    UNITS,
    Unit,
    last_digit,
    split_value,
)
from benchmeter.readings.gate import ShownField, admit, written_unit
from benchmeter.readings.resolution import DisplayResolution
from benchmeter.readings.status import Status

__all__ = ["SHORTED_BELOW_OHM", "TypedReading", "parse_typed"]

SHORTED_BELOW_OHM = Decimal(10)
"""Less resistance than this between the terminals is a shorted capacitor (common practice)."""

_OPEN, _SHORTED = Reason.NO_CAPACITANCE, Reason.NO_RESISTANCE
_WORDS = {
    **dict.fromkeys(("ol", "0l", "o.l", "o.l.", ".ol", "0.l", "overload", "over"), Reason.OVERLOAD),
    **dict.fromkeys(("open", "open circuit"), _OPEN),
    **dict.fromkeys(("short", "shorted", "short circuit"), _SHORTED),
    **dict.fromkeys(
        ("none", "no reading", "nothing", "-", "--", "---", "----"), Reason.NOT_MEASURED
    ),
}
_REASONS = {
    Status.OVERLOAD: Reason.OVERLOAD,
    Status.NO_VALUE: Reason.NO_VALUE,
    Status.SUSPECT: Reason.NO_VALUE,
    Status.NO_CONTACT: Reason.NO_CONTACT,
    Status.WRONG_FUNCTION: Reason.WRONG_FUNCTION,
}
_BY_OHMS = {Quantity.RESISTANCE, Quantity.CONTINUITY, Quantity.DIODE}


@dataclass(frozen=True, slots=True)
class TypedReading:
    """Either a value or the reason why there is none.

    Attributes:
        value_si: exact.
        resolution_si: worth of a count, by the digits that were typed; of a temperature a
            difference. None: more digits than a display has.
        reason: None with a value.
    """

    value_si: Decimal | None
    resolution_si: Decimal | None
    reason: Reason | None


def parse_typed(
    text: str,
    section: Measurement | None = None,
    *,
    told: Quantity | None = None,
    status: Status = Status.OK,
) -> TypedReading:
    """What a person typed as the reading of a section.

    A number without unit is in µF, Ω, V, A or Hz, where the section is written in that; where it
    is written in another, such as MΩ or °F, the unit must be typed. A value of another quantity is
    a finding too: the meter's wrong function. A capacitor that reads less than 10 Ω is shorted.

    Args:
        section: whose reading it is; None: a capacitance, in µF.
        told, status: what stands beside the value in a table: the meter's function, its status.

    Raises:
        InputError: neither a number nor a word that tells something of this section, an absurd
            value, or one whose unit is missing.
    """
    quantity = Quantity.CAPACITANCE if section is None else section.quantity
    if told not in (None, quantity):
        return TypedReading(None, None, Reason.WRONG_FUNCTION)
    if status is not Status.OK:
        return TypedReading(None, None, _REASONS[status])
    word = " ".join(text.split()).lower()
    if word in _WORDS:
        reason = _WORDS[word] if section is None else _of_word(word, section)
        return TypedReading(None, None, reason)
    unit = UNITS["µF" if section is None else section.unit]
    written, name = split_value(text)
    if not written:
        raise InputError("checking.no_reading", text=text.strip(), unit=unit.symbol)
    number = parse_number(written)
    own = written_unit(name, quantity) if name else None
    if quantity is Quantity.CAPACITANCE and own is not None and _is_short(number, own.unit):
        return TypedReading(None, None, _SHORTED)
    bare = quantity is Quantity.CAPACITANCE or (
        quantity.row.implied and unit.symbol == quantity.row.plain_unit
    )
    found = admit(
        ShownField(quantity=quantity, unit=unit, bare=bare),
        text.strip(),
        number,
        own,
        told=told,
        status=status,
    )
    if found.status is not Status.OK or found.unit is None:
        return TypedReading(None, None, _REASONS[found.status])
    scale, zero = found.unit.scale, found.unit.zero
    value_si = EXACTLY.multiply(EXACTLY.add(number, zero), scale)
    step = DisplayResolution().of(number, last_digit(number), found.unit).step
    return TypedReading(value_si, None if step is None else EXACTLY.multiply(step, scale), None)


def _is_short(number: Decimal, unit: Unit) -> bool:
    return unit.kind == "resistance" and abs(number * unit.scale) < SHORTED_BELOW_OHM


def _of_word(word: str, section: Measurement) -> Reason:
    """What a word says of this section: an open contact may be good, an open coil is not."""
    reason = _WORDS[word]
    if section.quantity is Quantity.CAPACITANCE or reason not in (_OPEN, _SHORTED):
        return reason
    if reason is _OPEN and section.overload is not None and section.quantity not in _BY_OHMS:
        return Reason.OVERLOAD
    if section.quantity not in _BY_OHMS:
        raise InputError(
            "checking.word_says_nothing",
            text=word,
            quantity=section.quantity.value,
            unit=section.unit,
        )
    if reason is _SHORTED:
        if section.shorted_below_si is None:  # a closed contact is good, an insulation is not
            raise InputError("checking.value_needed", text=word)
        return reason
    endless = section.overload is None and section.high_si is None and section.low_si is not None
    return Reason.OVERLOAD if endless or section.overload is Verdict.PASS else reason
