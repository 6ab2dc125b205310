"""What can lie between the leads, and what hands can do wrong, for each section of each kind.

All follows from the sections themselves, so that a kind that is added is tested as well.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_FLOOR, Decimal
from fractions import Fraction

from benchmeter.conformity.verdict import Measurement
from benchmeter.parts.part_kind import PartKind
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.units import UNITS
from benchmeter.simulator.scenario_plan import SectionPlan, TruthPlan
from tests.parity.accuracies import half_width

__all__ = [
    "Deed",
    "deeds_of",
    "good_deed",
    "is_typed",
    "section_plan_for",
    "truth_for",
    "word_of_overload",
]

_LEAD_OHM = Decimal("0.2")  # of the virtual meter's leads
_COUNTS = 6000
_DIGITS = {  # worth of a digit in the ranges of the virtual meter, as powers of ten
    Quantity.CAPACITANCE: range(-12, -5),
    Quantity.RESISTANCE: range(-1, 5),
    Quantity.VOLTAGE_DC: range(-5, 0),
    Quantity.VOLTAGE_AC: range(-4, 0),
    Quantity.CURRENT_AC: range(-3, -1),
}
_TOP = {  # more than the last range shows
    Quantity.RESISTANCE: Decimal("80e6"),
    Quantity.VOLTAGE_DC: Decimal(900),
    Quantity.VOLTAGE_AC: Decimal(900),
    Quantity.CURRENT_AC: Decimal(90),
    Quantity.CAPACITANCE: Decimal("9e-3"),
}
_WRONG_KNOB = {  # where the meter shows digits on such a part, and no overload
    Quantity.CAPACITANCE: Quantity.VOLTAGE_AC,
    Quantity.RESISTANCE: Quantity.VOLTAGE_DC,
    Quantity.VOLTAGE_DC: Quantity.VOLTAGE_AC,
    Quantity.VOLTAGE_AC: Quantity.CURRENT_AC,
    Quantity.CURRENT_AC: Quantity.VOLTAGE_AC,
}


@dataclass(frozen=True)
class Deed:
    """What is done about one section.

    Attributes:
        name: for people.
        value: shown by the meter (SI), leads included; None: see `truth`.
        truth: "open", "shorted": what is between the terminals in place of a value.
        leads: False: they stay in the air.
        knob: that it is set to in place of the right one.
        hasty: the key is pressed while the reading still moves.
        typed: what is typed; the meter is not looked at.
        left_out: nothing is done.
        word: the verdict, where it does not follow from a value; "" else.
    """

    name: str
    value: Decimal | None = None
    truth: str = ""
    leads: bool = True
    knob: Quantity | None = None
    hasty: bool = False
    typed: str = ""
    left_out: bool = False
    word: str = ""


def is_typed(section: Measurement, kind: PartKind) -> bool:
    return kind.measure_of(section.name).typed


def truth_for(section: Measurement, deed: Deed) -> TruthPlan:
    """What is between the terminals so that the meter shows that."""
    if deed.truth:
        return TruthPlan(open=deed.truth == "open", shorted=deed.truth == "shorted")
    assert deed.value is not None
    value = deed.value
    match section.quantity:
        case Quantity.CAPACITANCE:
            return TruthPlan(uf=float(value.scaleb(6)))
        case Quantity.RESISTANCE:
            return TruthPlan(ohm=float(value - _LEAD_OHM))
        case Quantity.VOLTAGE_AC:
            return TruthPlan(volts_ac=float(value))
        case Quantity.VOLTAGE_DC:
            return TruthPlan(volts_dc=float(value))
    return TruthPlan(amps_ac=float(value))


def section_plan_for(deed: Deed) -> SectionPlan:
    """The same for a section of a capacitor's label."""
    if deed.truth:
        return SectionPlan(open=deed.truth == "open", shorted=deed.truth == "shorted")
    assert deed.value is not None
    return SectionPlan(true_uf=float(deed.value.scaleb(6)))


def good_deed(section: Measurement, kind: PartKind) -> Deed:
    """Well inside whatever limits there are."""
    value = _middle(section)
    if is_typed(section, kind):
        return Deed("well inside", typed=_text(value, section))
    return Deed("well inside", value=_on_display(value, section.quantity))


def deeds_of(section: Measurement, kind: PartKind) -> Iterator[Deed]:
    """Every deed for this section, the good one first."""
    yield good_deed(section, kind)
    if is_typed(section, kind):
        yield from _typed_deeds(section)
        return
    yield from _shown_deeds(section)


def _shown_deeds(section: Measurement) -> Iterator[Deed]:
    quantity = section.quantity
    seen: set[Decimal] = set()
    for name, value in _around_limits(section):
        for side, shown in _counts_beside(value, quantity):
            least = _LEAD_OHM if quantity is Quantity.RESISTANCE else Decimal(0)
            if shown > least and shown not in seen:
                seen.add(shown)
                yield Deed(f"{name}, {side}", value=shown)
    if quantity is Quantity.VOLTAGE_DC:
        yield Deed("leads exchanged", value=-_on_display(_middle(section), quantity))
    yield Deed("open", truth="open", word=_word_of_open(section))
    yield Deed("shorted", truth="shorted", word=_word_of_short(section))
    yield Deed("overload", value=_TOP[quantity], word=word_of_overload(section))
    yield Deed("leads in the air", value=_middle(section), leads=False, word=_word_of_open(section))
    yield Deed(
        "wrong function", value=_middle(section), knob=_WRONG_KNOB[quantity], word="no reading"
    )
    yield Deed("still moving", value=_middle(section), hasty=True, word="no reading")
    yield Deed("not measured", value=_middle(section), left_out=True, word="no reading")
    yield Deed("typed none", value=_middle(section), typed="none", word="no reading")
    yield Deed("typed OL", value=_middle(section), typed="OL", word=word_of_overload(section))
    below = -Decimal(2) * max(abs(_middle(section)), Decimal("1e-6"))
    if quantity is not Quantity.VOLTAGE_DC:
        yield Deed(
            "typed below zero",
            value=_middle(section),
            typed=_text(below, section),
            word="no reading",
        )
    other = "12 V" if quantity in (Quantity.RESISTANCE, Quantity.CURRENT_AC) else "40 ohm"
    yield Deed("typed in another unit", value=_middle(section), typed=other, word="no reading")


def _typed_deeds(section: Measurement) -> Iterator[Deed]:
    step = Decimal("0.1")
    for name, value in _around_limits(section):
        in_unit = _in_unit(value, section)
        floor = in_unit.quantize(step, ROUND_FLOOR)
        for side, number in (("at or below", floor), ("above", floor + step)):
            yield Deed(f"typed {name}, {side}", typed=f"{number} {section.unit}")
    yield Deed("typed OL", typed="OL", word=word_of_overload(section))
    yield Deed("typed none", typed="none", word="no reading")
    other = "12 V" if section.quantity.kind == "current" else "12 A"
    yield Deed("typed in another unit", typed=other, word="no reading")
    yield Deed("not measured", left_out=True, word="no reading")


def _around_limits(section: Measurement) -> Iterator[tuple[str, Decimal]]:
    """Limits, limits plus and minus U, and what lies well outside; SI, of the display."""
    if section.low_si is not None:
        yield "well below", section.low_si * Decimal("0.5")
        yield "at the low limit", section.low_si
        for name, value in _guarded(section, section.low_si):
            yield f"at the low limit {name} U", value
    if section.high_si is not None:
        yield "well above", section.high_si * Decimal("1.5")
        yield "at the high limit", section.high_si
        for name, value in _guarded(section, section.high_si):
            yield f"at the high limit {name} U", value
    if section.shorted_below_si is not None:
        yield "where a short begins", section.shorted_below_si
    if section.quantity is Quantity.CAPACITANCE and section.low_si is not None:
        nominal = section.low_si if section.rated_si is None else section.rated_si
        yield "where open begins", nominal / 100


def _guarded(section: Measurement, limit: Decimal) -> Iterator[tuple[str, Decimal]]:
    """limit ± U, with U of a reading there."""
    for name, sign in (("less", -1), ("plus", 1)):
        value = limit
        for _ in range(20):  # U depends on the reading
            digit = _digit(value, section.quantity)
            a = half_width(section.quantity.value, Fraction(value), Fraction(digit))
            if a is None:
                return
            value = limit + sign * Decimal(2 * float(a) / math.sqrt(3))
        yield name, value


def _counts_beside(value: Decimal, quantity: Quantity) -> Iterator[tuple[str, Decimal]]:
    """What the display can show at that value and next to it."""
    digit = _digit(value, quantity)
    counts = (value / digit).to_integral_value(ROUND_FLOOR)
    if counts * digit == value:
        yield "a count below", (counts - 1) * digit
        yield "exactly", counts * digit
    else:
        yield "a count below", counts * digit
    yield "a count above", (counts + 1) * digit


def _on_display(value: Decimal, quantity: Quantity) -> Decimal:
    digit = _digit(value, quantity)
    return (value / digit).to_integral_value() * digit


def _digit(value: Decimal, quantity: Quantity) -> Decimal:
    powers = _DIGITS.get(quantity)
    if powers is None:
        return Decimal("0.1")
    fitting = [p for p in powers if abs(value) <= Decimal(_COUNTS).scaleb(p)]
    return Decimal(1).scaleb(fitting[0] if fitting else powers[-1])


def _middle(section: Measurement) -> Decimal:
    low, high = section.low_si, section.high_si
    if low is not None and high is not None:
        return (low + high) / 2
    if high is not None:
        return high * Decimal("0.5")
    if low is not None:
        return low * 4
    return {
        Quantity.VOLTAGE_DC: Decimal("0.0041"),
        Quantity.VOLTAGE_AC: Decimal("240"),
        Quantity.CURRENT_AC: Decimal("4.5"),
        Quantity.TEMPERATURE: Decimal("296.15"),
        Quantity.RESISTANCE: Decimal("109.7"),
    }[section.quantity]


def _in_unit(value_si: Decimal, section: Measurement) -> Decimal:
    unit = UNITS[section.unit]
    return value_si / unit.scale - unit.zero


def _text(value_si: Decimal, section: Measurement) -> str:
    return f"{_in_unit(value_si, section).quantize(Decimal('0.01'))} {section.unit}"


def word_of_overload(section: Measurement) -> str:
    """What the kind says of it; without a word of its own it is no reading."""
    return "no reading" if section.overload is None else section.overload.value


def _word_of_open(section: Measurement) -> str:
    """In ohms an overload; a capacitance of nothing is open; volts and amps of nothing are values."""
    if section.quantity is Quantity.RESISTANCE:
        return word_of_overload(section)
    return "open" if section.quantity is Quantity.CAPACITANCE else ""


def _word_of_short(section: Measurement) -> str:
    """A capacitance meter shows overload on a short; the rest are values."""
    return word_of_overload(section) if section.quantity is Quantity.CAPACITANCE else ""
