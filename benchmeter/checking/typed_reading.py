"""A reading as a person reads it off the meter: "44.1 uF", "12 ohm", "OL", "open"."""

from dataclasses import dataclass
from decimal import Decimal

from benchmeter.conformity.verdict import Measurement, Reason, Verdict
from benchmeter.errors import InputError
from benchmeter.quantities.label_text import EXACTLY
from benchmeter.quantities.quantity import Quantity, of_other_current
from benchmeter.quantities.typed_numbers import parse_number
from benchmeter.quantities.units import Unit, find_unit, split_value

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
_SHOWN_KINDS = {q.kind for q in Quantity}
_BY_OHMS = {Quantity.RESISTANCE, Quantity.CONTINUITY, Quantity.DIODE}


@dataclass(frozen=True, slots=True)
class TypedReading:
    """Either a value or the reason why there is none.

    Attributes:
        value_si: exact.
        resolution_si: worth of the last digit that was typed; of a temperature a difference.
        reason: None with a value.
    """

    value_si: Decimal | None
    resolution_si: Decimal | None
    reason: Reason | None


def parse_typed(text: str, section: Measurement | None = None) -> TypedReading:
    """What a person typed as the reading of a section.

    A number without unit is in µF, Ω, V, A or Hz, where the section is written in that; where it
    is written in another, such as MΩ or °F, the unit must be typed. A value of another quantity is
    a finding too: the meter's wrong function. A capacitor that reads less than 10 Ω is shorted.

    Args:
        section: whose reading it is; None: a capacitance, in µF.

    Raises:
        InputError: neither a number nor a word that tells something of this section, an absurd
            value, or one whose unit is missing.
    """
    word = " ".join(text.split()).lower()
    if word in _WORDS:
        reason = _WORDS[word] if section is None else _of_word(word, section)
        return TypedReading(None, None, reason)
    if section is None or section.quantity is Quantity.CAPACITANCE:
        return _capacitance(text, "µF" if section is None else section.unit)
    return _value(text, section)


def _capacitance(text: str, default_unit: str) -> TypedReading:
    written, name = split_value(text)
    if not written:
        raise InputError("checking.no_capacitance_reading", text=text.strip())
    number, unit = parse_number(written), find_unit(name or default_unit)
    if unit.kind == "resistance":
        shorted = abs(number * unit.scale) < SHORTED_BELOW_OHM
        return TypedReading(None, None, _SHORTED if shorted else Reason.WRONG_FUNCTION)
    if unit.kind not in _SHOWN_KINDS:
        raise InputError("checking.no_capacitance", text=text.strip())
    if unit.kind != "capacitance":
        return TypedReading(None, None, Reason.WRONG_FUNCTION)
    if abs(EXACTLY.multiply(number, unit.scale)) > Quantity.CAPACITANCE.row.largest_si:
        raise InputError("checking.capacitance_too_large", text=text.strip())
    return _found(number, unit)


def _value(text: str, section: Measurement) -> TypedReading:
    written, name = split_value(text)
    kind = section.quantity.kind
    shown, in_unit = text.strip(), section.unit
    if not written:
        raise InputError("checking.no_reading", text=shown, unit=in_unit)
    number = parse_number(written)
    row = section.quantity.row
    if not name and not (row.implied and section.unit == row.plain_unit):
        raise _unit_missing(text, section)
    if kind == "resistance" and name in ("k", "K"):
        raise InputError("checking.kilohm_or_kelvin", text=shown, number=written)
    unit = _unit_shown(name or section.unit, kind)
    if unit.kind not in _SHOWN_KINDS:
        raise InputError("checking.not_shown_by_meters", text=shown, unit=in_unit)
    if unit.kind != kind or of_other_current(name, section.quantity):
        return TypedReading(None, None, Reason.WRONG_FUNCTION)
    found = _found(number, unit)
    value_si = found.value_si or Decimal(0)
    if kind == "temperature" and value_si < 0:
        raise InputError("checking.below_absolute_zero", text=shown, unit=in_unit)
    if abs(value_si) > row.largest_si:
        raise InputError("checking.more_than_meters_show", text=shown, unit=in_unit)
    return found


def _unit_shown(name: str, kind: str) -> Unit:
    """The unit of a reading: of another quantity it is a finding, and no fault of who typed it."""
    try:
        return find_unit(name, kind)
    except InputError:
        return find_unit(name)


def _unit_missing(text: str, section: Measurement) -> InputError:
    """5 may be ohms that the meter shows or megohms that the section is written in."""
    shown, plain = text.strip(), section.quantity.row.plain_unit
    if plain == section.unit:
        return InputError("checking.unit_missing", text=shown, unit=section.unit)
    return InputError(
        "checking.unit_missing_of_two", text=shown, unit=section.unit, other=str(plain)
    )


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


def _found(number: Decimal, unit: Unit) -> TypedReading:
    value_si = EXACTLY.multiply(EXACTLY.add(number, unit.zero), unit.scale)
    last = Decimal(1).scaleb(int(number.as_tuple().exponent))
    return TypedReading(value_si, EXACTLY.multiply(last, unit.scale), None)
