"""The rating of a part of any kind: what is measured, between which limits.

All limits are exact decimals. What has no end as a decimal is rounded outwards, never inwards, so
that a reading on the limit is inside: five ninths beyond all digits that are shown, the quotients
of volts and power to seven digits.
"""

from collections.abc import Mapping
from dataclasses import replace
from decimal import ROUND_CEILING, ROUND_FLOOR, Context, Decimal
from typing import NamedTuple

from benchmeter.conformity.verdict import (
    Measurement,
    Verdict,
)
from benchmeter.errors import InputError
from benchmeter.parts.nameplate.label import parse_label
from benchmeter.parts.nameplate.nameplate import parse_givens, tolerance_names, with_tolerance
from benchmeter.parts.nameplate.nameplate_values import (
    DIFFERENCE,
    NameplateValue,
    amount_si,
    find_amount_unit,
)
from benchmeter.parts.nameplate.tolerance import parse_tolerance
from benchmeter.parts.part_kind import (
    Between,
    DifferenceRule,
    FromPower,
    GradedAt,
    InLabel,
    Limits,
    MeasurementSpec,
    OfGiven,
    PartKind,
    RangeGiven,
    ShareOfGiven,
    UnderLoadRule,
)
from benchmeter.parts.rated_part import (
    Rating,
)
from benchmeter.quantities.label_text import EXACTLY
from benchmeter.quantities.typed_numbers import parse_number
from benchmeter.quantities.units import UNITS, split_value

__all__ = ["Bounds", "Sides", "limits_of", "rate", "tolerance_sides", "written_si"]

_ALL = 80
_OF_QUOTIENT = 7
_OVERLOAD = {"open": Verdict.OPEN, "pass": Verdict.PASS, "": None}


class Bounds(NamedTuple):
    """Limits in SI, exact; None for no limit on that side, or no rated value."""

    rated_si: Decimal | None
    low_si: Decimal | None
    high_si: Decimal | None


class Sides(NamedTuple):
    """A tolerance: `low` below zero, `high` above; fractions of the value if `relative`."""

    low: Decimal
    high: Decimal
    relative: bool


_NONE = Bounds(None, None, None)


def rate(kind: PartKind, label: str, tolerance: str = "") -> Rating:
    """What is measured of a part of this kind, and the limits that its label gives.

    A kind with conclusions has a tolerance that was typed aside in the rating's text as well:
    `conclude` needs nothing but that text.

    Args:
        label: as typed: a capacitor's label, or the givens of the kind.
        tolerance: typed aside: "6 %"; "" for none.

    Raises:
        ToleranceMissing: a capacitor's label without one.
        InputError: label or tolerance are not understood, or do not fit the kind.
    """
    givens = parse_givens(kind, label, tolerance)
    _refuse_idle_tolerance(kind, givens)
    text = with_tolerance(kind, label, tolerance) if kind.conclusions else label
    if kind.label == "capacitor":
        of_label = parse_label(label, tolerance)
        _refuse_other_sections(kind, of_label)
        sections = _sections(kind, givens, of_label.sections)
        return replace(of_label, text=text, kind=kind.name, sections=sections)
    shown, origin = _tolerance_of(kind, givens, tolerance)
    sections = _sections(kind, givens, ())
    return Rating(text, kind.name, sections, shown, origin, voltages_v=(), frequencies_hz=())


def limits_of(
    kind: PartKind, limits: Limits | None, unit: str, givens: Mapping[str, NameplateValue]
) -> Bounds:
    """The limits of a measurement or of a difference, in SI.

    Args:
        unit: in which it is written, a symbol of `quantities.units`.
        givens: by name; limits that hang on one that is absent are none.

    Raises:
        InputError: a range is needed and one value is given, or both range and tolerance are.
    """
    match limits:
        case Between(low=low, high=high):
            return Bounds(None, written_si(low, unit), written_si(high, unit))
        case OfGiven(given=name, tolerance=tolerance) if name in givens:
            return _around(kind, name, tolerance, unit, givens)
        case RangeGiven(given=name) if name in givens:
            value = givens[name]
            if value.low_si is None:
                raise InputError("parts.range_needed", text=value.text)
            return _outward(value.value_si, value.low_si, value.high_si)
        case ShareOfGiven(given=name, low=low, high=high) if name in givens:
            value = givens[name]
            if value.low_si is not None and value.high_si is not None:
                return _outward(None, _share(value.low_si, low), _share(value.high_si, high))
            rated = value.value_si or Decimal(0)
            return _outward(rated, _share(rated, low), _share(rated, high))
        case FromPower(volts=volts, power=power) if volts in givens and power in givens:
            return _of_power(kind, limits, givens)
    return _NONE


def tolerance_sides(
    kind: PartKind, text: str, unit: str, givens: Mapping[str, NameplateValue]
) -> Sides:
    """A tolerance as a kind writes it: "10 %", "-10/+5 %", "5 psi", or the name of a given.

    Raises:
        InputError: neither.
    """
    named = next((given for given in kind.givens if given.name == text), None)
    if named is not None:
        if text not in givens:
            raise InputError("nameplate.missing", title=named.title, example=kind.example)
        value = givens[text]
        low, high = value.low_si or Decimal(0), value.high_si or Decimal(0)
        return Sides(low, high, relative=named.unit == "%")
    if text.rstrip().endswith("%"):
        found = parse_tolerance(text)
        return Sides(_percent(EXACTLY.minus(found.below)), _percent(found.above), relative=True)
    written, name = split_value(text.strip().removeprefix("±"))
    kind_of_unit = UNITS[unit].kind
    step = find_amount_unit(name, DIFFERENCE if kind_of_unit == "temperature" else kind_of_unit)
    width = EXACTLY.multiply(parse_number(written), step.scale)
    if width <= 0:
        raise InputError("parts.no_tolerance", text=text)
    return Sides(EXACTLY.minus(width), width, relative=False)


def written_si(text: str, unit: str) -> Decimal | None:
    """A value as a kind writes it, "1 Mohm", of the same kind as `unit`; None for "".

    Raises:
        InputError: no value, or of another unit.
    """
    if not text:
        return None
    written, name = split_value(text)
    return amount_si(parse_number(written), find_amount_unit(name, UNITS[unit].kind))


def _sections(
    kind: PartKind, givens: Mapping[str, NameplateValue], of_label: tuple[Measurement, ...]
) -> tuple[Measurement, ...]:
    found: list[Measurement] = []
    for measure in kind.measures:
        if isinstance(measure.limits, InLabel):
            found += [_of_label(section, measure) for section in of_label]
        else:
            found.append(_section(kind, measure, givens))
    names = [section.name for section in found]
    if len(set(names)) < len(names):
        raise InputError("parts.measurement_twice", kind=kind.name)
    return tuple(found)


def _section(
    kind: PartKind, measure: MeasurementSpec, givens: Mapping[str, NameplateValue]
) -> Measurement:
    bounds = limits_of(kind, measure.limits, measure.unit, givens)
    if measure.graded_at is not None and not _holds(measure.graded_at, givens):
        bounds = _NONE
    short = written_si(measure.shorted_below, "Ω")
    low, overload = bounds.low_si, _OVERLOAD[measure.overload]
    unrated = measure.limits is not None and bounds == _NONE and measure.unrated == "measured"
    if measure.limits is not None and bounds == _NONE and not unrated:
        low = short
    if unrated and overload is Verdict.PASS:
        overload = Verdict.MEASURED
    return Measurement(
        name=measure.name,
        rated_si=bounds.rated_si,
        low_si=low,
        high_si=bounds.high_si,
        quantity=measure.quantity,
        unit=measure.unit,
        shorted_below_si=short,
        overload=overload,
        idle_below_si=written_si(measure.idle_below, "A"),
        unrated=unrated,
        common_practice=bounds != _NONE and _is_practice(kind, measure, givens),
        instrument=measure.instrument,
    )


def _is_practice(
    kind: PartKind, measure: MeasurementSpec, givens: Mapping[str, NameplateValue]
) -> bool:
    """Whether its limits are common practice, or hang on a default that is."""
    if measure.common_practice:
        return True
    match measure.limits:
        case OfGiven(given=name, tolerance=tolerance):
            used = {name} if givens[name].low_si is not None else {name, tolerance}
        case ShareOfGiven(given=name) | RangeGiven(given=name):
            used = {name}
        case FromPower(tolerance=tolerance):
            used = {tolerance}
        case _:
            return False
    taken = (given for given in kind.givens if given.name in used and given.common_practice)
    return any(givens[given.name].from_default for given in taken)


def _holds(graded: GradedAt, givens: Mapping[str, NameplateValue]) -> bool:
    least = written_si(graded.least, "V") or Decimal(0)
    return graded.given in givens and (givens[graded.given].value_si or Decimal(0)) >= least


def _of_label(section: Measurement, measure: MeasurementSpec) -> Measurement:
    return replace(section, unit=measure.unit, overload=_OVERLOAD[measure.overload])


def _refuse_idle_tolerance(kind: PartKind, givens: Mapping[str, NameplateValue]) -> None:
    """Refuse a tolerance that was typed and belongs to no value: nothing is skipped in silence."""
    used: set[str] = set()
    limits: list[Limits | None] = [measure.limits for measure in kind.measures]
    limits += [rule.limits for rule in kind.conclusions if isinstance(rule, DifferenceRule)]
    for one in limits:
        match one:
            case OfGiven(given=name, tolerance=tolerance):
                if name in givens and givens[name].low_si is None:
                    used.add(tolerance)
            case FromPower(volts=volts, power=power, tolerance=tolerance):
                if volts in givens and power in givens:
                    used.add(tolerance)
    for name in tolerance_names(kind) - used:
        if name in givens and not givens[name].from_default:
            raise InputError(
                "parts.idle_tolerance", tolerance=givens[name].text, example=kind.example
            )


def _refuse_other_sections(kind: PartKind, rating: Rating) -> None:
    """Refuse a label with other sections than those that conclusions are drawn on."""
    asked = {rule.section for rule in kind.conclusions if isinstance(rule, UnderLoadRule)}
    given = {section.name for section in rating.sections}
    if asked and asked != given:
        raise InputError("parts.two_sections" if len(given) > 1 else "parts.one_section")


def _tolerance_of(
    kind: PartKind, givens: Mapping[str, NameplateValue], typed: str
) -> tuple[str, str]:
    """Text and origin of the one tolerance; "" where there is none, or where several are."""
    names = [name for name in givens if name in tolerance_names(kind)]
    if len(names) != 1:
        return "", "kind"
    value = givens[names[0]]
    if value.from_default:
        return value.text, "kind"
    return value.text, "user" if typed.strip() else "label"


def _around(
    kind: PartKind,
    name: str,
    tolerance: str,
    unit: str,
    givens: Mapping[str, NameplateValue],
) -> Bounds:
    value = givens[name]
    if value.low_si is not None and value.high_si is not None:
        if not any(given.nominal for given in kind.givens if given.name == name):
            return _outward(value.value_si, value.low_si, value.high_si)
        sides = tolerance_sides(kind, tolerance, unit, givens)
        low, high = _with_sides(None, value.low_si, sides), _with_sides(None, value.high_si, sides)
        return _outward(None, low.low_si, high.high_si)
    if tolerance in {given.name for given in kind.givens} and tolerance not in givens:
        raise InputError("parts.tolerance_needed", text=value.text)
    sides = tolerance_sides(kind, tolerance, unit, givens)
    rated = value.value_si or Decimal(0)
    return _with_sides(rated, rated, sides)


def _of_power(kind: PartKind, limits: FromPower, givens: Mapping[str, NameplateValue]) -> Bounds:
    volts = givens[limits.volts].value_si or Decimal(0)
    power = givens[limits.power].value_si or Decimal(0)
    if not limits.tolerance:
        amps = EXACTLY.divide(power, volts)
        return _outward(None, None, amps, _OF_QUOTIENT)
    sides = tolerance_sides(kind, limits.tolerance, "Ω", givens)
    squared = EXACTLY.multiply(volts, volts)
    # Multiplied before it is divided: an end such as 38.4·0.9 stays exact.
    low, high = (
        EXACTLY.divide(EXACTLY.multiply(squared, EXACTLY.add(1, side)), power)
        for side in (sides.low, sides.high)
    )
    return _outward(EXACTLY.divide(squared, power), low, high, _OF_QUOTIENT)


def _with_sides(rated: Decimal | None, value: Decimal, sides: Sides) -> Bounds:
    if sides.relative:
        low, high = (EXACTLY.multiply(value, EXACTLY.add(1, side)) for side in sides[:2])
    else:
        low, high = EXACTLY.add(value, sides.low), EXACTLY.add(value, sides.high)
    return _outward(rated, low, high)


def _outward(
    rated: Decimal | None, low: Decimal | None, high: Decimal | None, digits: int = _ALL
) -> Bounds:
    """Rounded where there are more digits; what has one limit only has no rated value."""
    return Bounds(
        None if rated is None or low is None or high is None else Context(digits).plus(rated),
        None if low is None else Context(digits, ROUND_FLOOR).plus(low),
        None if high is None else Context(digits, ROUND_CEILING).plus(high),
    )


def _share(rated: Decimal, text: str) -> Decimal | None:
    """ "85 %" of a value; None of ""."""
    fraction = written_si(text, "%")
    return None if fraction is None else EXACTLY.multiply(rated, fraction)


def _percent(number: Decimal) -> Decimal:
    return number.scaleb(-2, EXACTLY)
