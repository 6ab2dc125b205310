"""The one gate: what was metered, typed, written in a table or in a command is admitted here.

Whoever lets a value in reads its words only. What they mean together is decided here, by the same
checks and with the same refusals for all: function, unit, status, plausibility.
"""

import re
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from typing import NamedTuple

from benchmeter.errors import InputError
from benchmeter.quantities.quantity import Quantity, quantity_told_by
from benchmeter.quantities.typed_numbers import parse_number
from benchmeter.quantities.units import Unit, find_unit, split_value, to_si
from benchmeter.readings.status import Status

__all__ = [
    "UNKNOWN_FUNCTION",
    "Admitted",
    "ShownField",
    "WrittenUnit",
    "admit",
    "admit_written",
    "place",
    "quantity_named",
    "status_named",
    "weigh",
    "written_unit",
]

_CURRENT = re.compile(r"(.+?)(AC|DC)", re.ASCII | re.IGNORECASE)
_SHOWN_KINDS = {q.kind for q in Quantity}
_QUANTITIES = {q.value.casefold(): q for q in Quantity}
_STATUSES = {
    "": Status.OK,
    **{status.value: status for status in Status},
    **dict.fromkeys(("ol", "0l", "o.l", "ovl"), Status.OVERLOAD),
    # A held display shows an old reading.
    **dict.fromkeys(("hold", "held", "---"), Status.NO_VALUE),
}


@dataclass(frozen=True, slots=True)
class ShownField:
    """One value that is expected: of a wire format as the profile describes it, or of a section.

    Attributes:
        name: of the field; "" where there is one value only.
        quantity: what it measures; None where the instrument says so itself.
        unit: in which it is written.
        lowest, highest: plausible range, in SI; None for no limit.
        doubtful: values in SI that stand for something else, such as a probe's power-up value.
        bare: whether a number may come without a unit: it is in `unit` then.

    Where the instrument says what it measures, range and doubtful values hold for what `unit` can
    measure only: limits of a temperature are none of a resistance.
    """

    name: str = ""
    quantity: Quantity | None = None
    unit: Unit | None = None
    lowest: float | None = None
    highest: float | None = None
    doubtful: tuple[float, ...] = ()
    bare: bool = True


class WrittenUnit(NamedTuple):
    """A unit as it was written. `current`: "AC", "DC" or ""."""

    unit: Unit
    current: str = ""

    def measures(self, quantity: Quantity) -> bool:
        """Whether a value of that quantity can be written with it."""
        return self.unit.kind == quantity.kind and self.current in ("", quantity.row.current)

    @property
    def tells(self) -> Quantity | None:
        """What it leaves no choice of; None: volts may be AC or DC."""
        return quantity_told_by(self.unit.kind, self.current)


@lru_cache(maxsize=1024)
def written_unit(name: str, expected: Quantity | None = None) -> WrittenUnit:
    """The unit that is written behind a number: "uF", "mV AC".

    Args:
        expected: settles what F and psi mean. A bare k is kΩ to one and kelvin to another.

    Raises:
        InputError: it is not known, ambiguous, or of nothing that meters show.
    """
    plain, current = "".join(name.split()), ""
    if match := _CURRENT.fullmatch(plain):
        plain, current = match[1], match[2].upper()
        if _CURRENT.fullmatch(plain):
            raise InputError("quantities.unit_unknown", unit=name.strip())
    if plain == "k" or (plain == "K" and expected is not Quantity.TEMPERATURE):
        raise InputError("readings.kilohm_or_kelvin", unit=plain)
    try:
        unit = find_unit(plain, expected.kind if expected else "")
    except InputError:
        if expected is None:
            raise
        unit = find_unit(plain)
    if unit.kind not in _SHOWN_KINDS:
        raise InputError("readings.not_shown_by_meters", unit=name.strip())
    written = WrittenUnit(unit, current)
    if current and written.tells is None:
        raise InputError("quantities.unit_unknown", unit=name.strip())
    return written


def quantity_named(text: str) -> Quantity | None:
    """The function that a table names, as records do; None where it names none.

    Raises:
        InputError: there is no such function.
    """
    word = " ".join(text.split()).casefold()
    if word and word not in _QUANTITIES:
        raise InputError("readings.function_unknown", function=text.strip())
    return _QUANTITIES.get(word)


def status_named(text: str) -> Status:
    """The status that a table tells of a value; none is OK.

    Raises:
        InputError: there is no such status.
    """
    word = " ".join(text.split()).casefold()
    if word not in _STATUSES:
        raise InputError("readings.status_unknown", status=text.strip())
    return _STATUSES[word]


class Admitted(NamedTuple):
    """What is known of what was shown. Without a value `status` says why.

    Attributes:
        quantity: what was measured; of a wrong function the one that was told, None if unknown.
        unit: of the number; None without a value.
    """

    quantity: Quantity | None
    unit: Unit | None
    status: Status


def admit(
    field: ShownField,
    text: str,
    number: Decimal | None,
    unit: WrittenUnit | None,
    *,
    told: Quantity | None = None,
    status: Status = Status.OK,
) -> Admitted:
    """Whether what was shown is a value of what is expected: `place`, then `weigh`.

    Args:
        number: None where a word or a sign stands in its place, which `status` tells.

    Raises:
        InputError: no reading: its unit is missing, or no meter shows such a value.
    """
    found = place(field, text, unit, told, status if number is not None else _without(status))
    if number is None or found.unit is None:
        return found
    return found._replace(status=weigh(field, to_si(number, found.unit), found, text))


def _without(status: Status) -> Status:
    return Status.NO_VALUE if status.has_value else status


def place(
    field: ShownField, text: str, unit: WrittenUnit | None, told: Quantity | None, status: Status
) -> Admitted:
    """What was measured, and in which unit, whatever the number.

    The wrong function counts more than anything else. A unit that contradicts the function that
    the meter names leaves open what was measured.

    Args:
        text: as it was written, for the refusal.
        unit: as it was written; None: that of the field.
        told: the function that the meter names; None: it does not say.

    Raises:
        InputError: the unit is missing.
    """
    quantity = field.quantity
    if unit is not None and told is not None and not unit.measures(told):
        return UNKNOWN_FUNCTION
    if quantity is None:
        quantity = told if told is not None or unit is None else unit.tells
        if quantity is None and unit is not None:
            return UNKNOWN_FUNCTION
    elif told not in (None, quantity) or not (unit is None or unit.measures(quantity)):
        said = told or (unit.tells if unit is not None else None)
        return Admitted(said, None, Status.WRONG_FUNCTION)
    if not status.has_value:
        return Admitted(quantity, None, status)
    in_unit = unit.unit if unit is not None else field.unit if field.bare else None
    if quantity is None or in_unit is None or in_unit.kind != quantity.kind:
        raise _unit_missing(text, field, quantity)
    return Admitted(quantity, in_unit, status)


def weigh(field: ShownField, value: float, found: Admitted, text: str) -> Status:
    """The status of a value, SI, in its place: implausible ones are SUSPECT.

    Raises:
        InputError: no meter shows such a value.
    """
    quantity, unit = found.quantity, found.unit
    assert quantity is not None and unit is not None, "it has a value"
    if not abs(value) <= quantity.largest_si:
        raise InputError("readings.more_than_meters_show", text=text)
    least = quantity.row.least_si
    if least is not None and value < least:
        if quantity is Quantity.TEMPERATURE:
            raise InputError("readings.below_absolute_zero", text=text)
        raise InputError("readings.less_than_can_be", text=text, quantity=quantity.value)
    if field.unit is not None and field.unit.kind != unit.kind:
        return found.status
    implausible = (
        value in field.doubtful
        or (field.lowest is not None and value < field.lowest)
        or (field.highest is not None and value > field.highest)
    )
    return Status.SUSPECT if implausible else found.status


def admit_written(text: str, quantity: Quantity, unit: Unit | None = None) -> tuple[Decimal, Unit]:
    """The number that a person wrote as a value of a quantity, and its unit.

    Args:
        unit: of a number without one; None: it must be written.

    Raises:
        InputError: no number, refused, or a value of another quantity.
    """
    written, name = split_value(text)
    number = parse_number(written)
    own = written_unit(name, quantity) if name else None
    field = ShownField(quantity=quantity, unit=unit or quantity.plain_unit, bare=unit is not None)
    found = admit(field, text.strip(), number, own)
    if found.unit is None:
        raise InputError("readings.other_quantity", text=text.strip(), quantity=quantity.value)
    return number, found.unit


UNKNOWN_FUNCTION = Admitted(None, None, Status.WRONG_FUNCTION)
"""What the meter measures is not known here, or it contradicts itself: no value."""


def _unit_missing(text: str, field: ShownField, quantity: Quantity | None) -> InputError:
    """5 may be ohms that the meter shows or megohms that the part is written in."""
    units = [field.unit] if field.unit is not None else []
    units += [(quantity or Quantity.CAPACITANCE).plain_unit]
    likes = tuple(dict.fromkeys(f"{text} {unit.symbol}" for unit in units))
    return InputError("readings.unit_missing", text=text, likes=likes)
