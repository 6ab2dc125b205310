"""The quantities that a channel can carry: one row each, with everything that is told of it.

A row is complete or refused at import. What another room needs of a quantity it takes from here.
"""

import re
from collections.abc import Iterable
from decimal import Decimal
from enum import StrEnum
from typing import Literal, NamedTuple, Self

from benchmeter.quantities.units import UNITS, Unit

__all__ = ["Quantity", "QuantityRow", "Stillness", "of_other_current", "quantity_told_by"]

Current = Literal["", "AC", "DC"]


class Stillness(NamedTuple):
    """How long (ns) and how narrow (share of the mean, and SI) readings must be to be still."""

    span_ns: int = 1_500_000_000
    relative: float = 0.003
    absolute: float = 0.0


class QuantityRow(NamedTuple):
    """What is told of one quantity. Units are symbols of `quantities.units`, all of one kind.

    Attributes:
        si_unit: in which values are held, as records name it.
        wire_unit: of a number that an instrument sends without a unit.
        plain_unit: of records and tables, and in which people name the quantity.
        implied: whether a number typed without a unit is in `plain_unit`.
        ladder: units that people read it in, by the least size in SI that each is used for.
        current: AC and DC are apart: a residual voltage is DC.
        told_by_unit: whether a unit, with its current, says that it is this quantity: ohms are
            resistance until a meter says continuity; a percentage may be anything.
        scpi: names of the function, capitals the short form (SCPI-1999 volume 2, SENSe:FUNCtion,
            from memory).
        signed: whether a value may lie below zero.
        least_si: a value below cannot be, such as a temperature below absolute zero.
        largest_si: more than any meter of the trade shows.
        count_unit, largest_count_si: in which the count of a display is told, and the most that
            one is worth; None: no accuracy line is asked for, since no part is judged by it.
        stillness: when readings hold still.
    """

    si_unit: str
    wire_unit: str
    plain_unit: str
    implied: bool
    ladder: tuple[tuple[float, str], ...]
    current: Current
    told_by_unit: bool
    scpi: tuple[str, ...]
    signed: bool
    least_si: float | None
    largest_si: Decimal
    count_unit: str | None
    largest_count_si: Decimal | None
    stillness: Stillness

    def faults(self) -> Iterable[str]:
        """What does not hold together."""
        symbols = {self.wire_unit, self.plain_unit, *(symbol for _, symbol in self.ladder)}
        symbols.add(self.count_unit or self.plain_unit)
        if unknown := symbols - set(UNITS):
            yield f"no unit {', '.join(sorted(unknown))}"
        elif len({UNITS[symbol].kind for symbol in symbols}) > 1:
            yield "units of several kinds"
        least = [size for size, _ in self.ladder]
        if not least or least[-1] != 0 or least != sorted(set(least), reverse=True):
            yield "a ladder that does not end at 0, or is not in order"
        if not all(re.fullmatch(r"[A-Z]+[a-z]*(:[A-Z]+[a-z]*)*", name) for name in self.scpi):
            yield "a function's name without its short form in capitals"
        if not self.si_unit or self.largest_si <= 0:
            yield "no SI unit, or no largest value"
        if (self.count_unit is None) != (self.largest_count_si is None):
            yield "half of what is needed to read an accuracy line"
        if self.stillness.span_ns <= 0 or not (self.stillness.relative or self.stillness.absolute):
            yield "no width within which readings are still"


_MAINS = Stillness(relative=0.01)
"""The mains is never quite still."""
_SLOW = 20_000_000_000
"""Air moves slowly."""


def _ohms(*, told_by_unit: bool, scpi: tuple[str, ...]) -> QuantityRow:
    return QuantityRow(
        si_unit="ohm",
        wire_unit="Ω",
        plain_unit="Ω",
        implied=True,
        ladder=((1e9, "GΩ"), (1e6, "MΩ"), (1e3, "kΩ"), (0, "Ω")),
        current="",
        told_by_unit=told_by_unit,
        scpi=scpi,
        signed=False,
        least_si=None,
        largest_si=Decimal("1e13"),
        count_unit="Ω",
        largest_count_si=Decimal("1e6"),
        stillness=Stillness(),
    )


def _volts(
    current: Current, *, told_by_unit: bool, scpi: tuple[str, ...], stillness: Stillness
) -> QuantityRow:
    return QuantityRow(
        si_unit="V",
        wire_unit="V",
        plain_unit="V",
        implied=True,
        ladder=((1e3, "kV"), (0.1, "V"), (1e-9, "mV"), (0, "V")),
        current=current,
        told_by_unit=told_by_unit,
        scpi=scpi,
        signed=current == "DC",
        least_si=None,
        largest_si=Decimal("1e5"),
        count_unit="mV",
        largest_count_si=Decimal(1),
        stillness=stillness,
    )


def _amps(current: Current, *, scpi: tuple[str, ...], stillness: Stillness) -> QuantityRow:
    return QuantityRow(
        si_unit="A",
        wire_unit="A",
        plain_unit="A",
        implied=True,
        ladder=((0.1, "A"), (1e-9, "mA"), (0, "A")),
        current=current,
        told_by_unit=True,
        scpi=scpi,
        signed=current == "DC",
        least_si=None,
        largest_si=Decimal("1e4"),
        count_unit="mA",
        largest_count_si=Decimal(1),
        stillness=stillness,
    )


def _pressure(
    wire_unit: str, plain_unit: str, *, told_by_unit: bool, least_si: float
) -> QuantityRow:
    """Absolute, from nothing, or gauge, from the pressure around (ISO 80000-4, 4-14)."""
    return QuantityRow(
        si_unit="Pa",
        wire_unit=wire_unit,
        plain_unit=plain_unit,
        implied=False,
        ladder=((0, plain_unit),),
        current="",
        told_by_unit=told_by_unit,  # a bare psi leaves open from which zero it counts
        scpi=(),
        signed=least_si < 0,
        least_si=least_si,
        largest_si=Decimal("1e9"),
        count_unit=None,
        largest_count_si=None,
        stillness=Stillness(),
    )


class Quantity(StrEnum):
    """What a meter can be set to measure; the value stands in records and profiles."""

    row: QuantityRow
    kind: str  # of unit that measures it
    wire_unit: Unit  # of a number that comes without one
    plain_unit: Unit  # in which records tell it
    largest_si: float  # that of the row, for each reading on the wire

    def __new__(cls, value: str, row: QuantityRow | None = None) -> Self:
        """A quantity by its name in records.

        Raises:
            ValueError: it has no row, or one that does not hold together.
        """
        if row is None or (faults := "; ".join(row.faults())):
            raise ValueError(f"the quantity {value} has {'no row' if row is None else faults}")
        member = str.__new__(cls, value)
        member._value_ = value
        member.row, member.largest_si = row, float(row.largest_si)
        member.wire_unit, member.plain_unit = UNITS[row.wire_unit], UNITS[row.plain_unit]
        member.kind = member.wire_unit.kind
        return member

    CAPACITANCE = (
        "capacitance",
        QuantityRow(
            si_unit="F",
            wire_unit="F",
            plain_unit="µF",
            implied=True,
            ladder=((1e-9, "µF"), (1e-12, "nF"), (0, "µF")),  # of motor parts, however large
            current="",
            told_by_unit=True,
            scpi=("CAPacitance",),
            signed=False,
            least_si=None,
            largest_si=Decimal("0.1"),
            count_unit="µF",
            largest_count_si=Decimal("1e-3"),
            stillness=Stillness(),
        ),
    )
    RESISTANCE = "resistance", _ohms(told_by_unit=True, scpi=("RESistance", "FRESistance"))
    VOLTAGE_DC = (
        "DC voltage",
        _volts("DC", told_by_unit=True, scpi=("VOLTage", "VOLTage:DC"), stillness=Stillness()),
    )
    VOLTAGE_AC = (
        "AC voltage",
        _volts("AC", told_by_unit=True, scpi=("VOLTage:AC",), stillness=_MAINS),
    )
    CURRENT_DC = "DC current", _amps("DC", scpi=("CURRent", "CURRent:DC"), stillness=Stillness())
    CURRENT_AC = "AC current", _amps("AC", scpi=("CURRent:AC",), stillness=_MAINS)
    TEMPERATURE = (
        "temperature",
        QuantityRow(
            si_unit="K",
            wire_unit="°C",
            plain_unit="°C",
            implied=False,
            ladder=((0, "°C"),),
            current="",
            told_by_unit=True,
            scpi=("TEMPerature",),
            signed=True,
            least_si=0.0,
            largest_si=Decimal(3000),
            count_unit="°C",
            largest_count_si=Decimal(10),
            stillness=Stillness(_SLOW, 0.0, 0.3),
        ),
    )
    FREQUENCY = (
        "frequency",
        QuantityRow(
            si_unit="Hz",
            wire_unit="Hz",
            plain_unit="Hz",
            implied=True,
            ladder=((1e6, "MHz"), (1e3, "kHz"), (0, "Hz")),
            current="",
            told_by_unit=True,
            scpi=("FREQuency",),
            signed=False,
            least_si=None,
            largest_si=Decimal("1e9"),
            count_unit="Hz",
            largest_count_si=Decimal(1000),
            stillness=Stillness(),
        ),
    )
    DIODE = "diode", _volts("DC", told_by_unit=False, scpi=("DIODe",), stillness=Stillness())
    CONTINUITY = "continuity", _ohms(told_by_unit=False, scpi=("CONTinuity",))
    DUTY = (
        "duty cycle",
        QuantityRow(
            si_unit="1",
            wire_unit="%",
            plain_unit="%",
            implied=False,
            ladder=((0, "%"),),
            current="",
            told_by_unit=False,
            scpi=(),
            signed=True,
            least_si=None,
            largest_si=Decimal(10),
            count_unit=None,
            largest_count_si=None,
            stillness=Stillness(),
        ),
    )
    PRESSURE = "pressure", _pressure("Pa", "kPa", told_by_unit=False, least_si=0.0)
    GAUGE_PRESSURE = (
        "gauge pressure",
        _pressure("Pag", "kPag", told_by_unit=True, least_si=-110_000.0),
    )
    HUMIDITY = (
        "relative humidity",
        QuantityRow(
            si_unit="1",
            wire_unit="%RH",
            plain_unit="%RH",
            implied=False,
            ladder=((0, "%RH"),),
            current="",
            told_by_unit=True,
            scpi=(),
            signed=False,
            least_si=0.0,
            largest_si=Decimal(1),
            count_unit=None,
            largest_count_si=None,
            stillness=Stillness(_SLOW, 0.0, 0.01),
        ),
    )
    AIRFLOW = (
        "airflow",
        QuantityRow(
            si_unit="m³/s",
            wire_unit="m³/h",
            plain_unit="m³/h",
            implied=False,
            ladder=((0, "m³/h"),),
            current="",
            told_by_unit=True,
            scpi=(),
            signed=False,
            least_si=None,
            largest_si=Decimal(1000),
            count_unit=None,
            largest_count_si=None,
            stillness=Stillness(5_000_000_000, 0.03),  # turbulent
        ),
    )


def _told_by_units() -> dict[tuple[str, str], Quantity]:
    told: dict[tuple[str, str], Quantity] = {}
    for quantity in Quantity:
        if quantity.row.told_by_unit:
            twin = told.setdefault((quantity.kind, quantity.row.current), quantity)
            if twin is not quantity:
                raise ValueError(f"one unit tells both {twin.value} and {quantity.value}")
    return told


_TOLD_BY_UNITS = _told_by_units()


def quantity_told_by(kind: str, current: str = "") -> Quantity | None:
    """The quantity that a unit of `kind` tells, with "AC" or "DC" beside it; None if it does not.

    >>> quantity_told_by("voltage", "AC")
    <Quantity.VOLTAGE_AC: 'AC voltage'>
    """
    return _TOLD_BY_UNITS.get((kind, current))


def of_other_current(name: str, quantity: Quantity) -> bool:
    """Whether a unit as written says DC where AC is measured, or AC where DC is: "VAC"."""
    said = name.upper().replace(" ", "")[-2:]
    return said in ("AC", "DC") and said != quantity.row.current
