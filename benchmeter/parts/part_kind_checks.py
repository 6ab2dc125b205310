"""What must hold between the fields of a kind of part, beyond their types."""

import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from functools import partial
from typing import assert_never

from benchmeter.errors import DataFileError, InputError, Message
from benchmeter.parts.nameplate.nameplate import default_of, tolerance_names
from benchmeter.parts.nameplate.nameplate_values import DIFFERENCE
from benchmeter.parts.part_kind import (
    LONGEST_NAME,
    SECTIONS,
    AlikeRule,
    Between,
    DifferenceRule,
    FromPower,
    InLabel,
    Limits,
    MeasurementSpec,
    NameplateField,
    OfGiven,
    PartKind,
    RangeGiven,
    Rule,
    SensorRule,
    ShareOfGiven,
    UnbalanceRule,
    UnderLoadRule,
    WindingsRule,
    sensor_of,
)
from benchmeter.parts.rating import rate, tolerance_sides, written_si
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.units import UNITS

__all__ = ["faults_of"]

_NAME = re.compile(r"[A-Za-z][A-Za-z0-9]*(-[A-Za-z0-9]+)*", re.ASCII)
_OHMS = (Quantity.RESISTANCE, Quantity.CONTINUITY)
_VOLTS = (Quantity.VOLTAGE_AC, Quantity.VOLTAGE_DC)


def faults_of(kind: PartKind) -> list[Message]:
    """What keeps a part from being judged, each with the place of its `field` in the file.

    What the kind must say of itself besides is in `declarations.py`.
    """
    faults = [
        *_given_faults(kind),
        *_measure_faults(kind),
        *_conclusion_faults(kind),
    ]
    # A default, a limit and the example are tried out only where each field is right by itself.
    return faults or [*_trial_faults(kind)]


def _trial_faults(kind: PartKind) -> Iterator[Message]:
    for i, given in enumerate(kind.givens):
        if given.default:
            yield from _tried(f"givens[{i}].default", partial(default_of, kind, given))
    yield from _tried("example", partial(rate, kind, kind.example))


def _given_faults(kind: PartKind) -> Iterator[Message]:
    names = Counter(given.name.casefold() for given in kind.givens)
    choices = {choice.casefold() for given in kind.givens for choice in given.choices}
    words = Counter(
        (word.casefold(), UNITS[given.unit].kind if given.unit in UNITS else "")
        for given in kind.givens
        for word in {given.name, *given.also}
    )
    for i, given in enumerate(kind.givens):
        at = f"givens[{i}]."
        for word in (given.name, *given.also):
            field = f"{at}name" if word == given.name else f"{at}also"
            if not _NAME.fullmatch(word) or len(word) > LONGEST_NAME:
                yield Message("parts.no_word", {"field": field, "word": word})
            if word.casefold() in choices:
                yield Message("parts.word_is_choice", {"field": field, "word": word})
        if names[given.name.casefold()] > 1:
            yield Message("parts.twice", {"field": f"{at}name", "name": given.name})
        elif any(words[w.casefold(), _kind_of(given)] > 1 for w in {given.name, *given.also}):
            yield Message("parts.word_taken", {"field": f"{at}also"})
        if bool(given.unit) == bool(given.choices):
            yield Message("parts.unit_or_choices", {"field": f"{at}unit"})
        elif given.unit and given.unit not in UNITS:
            yield _wrong_unit(f"{at}unit", given.unit, UNITS)
        if given.range and (given.choices or given.name in tolerance_names(kind)):
            yield Message("parts.range_of_value", {"field": f"{at}range"})
        if given.default and not given.source.strip():
            yield Message("parts.default_without_source", {"field": f"{at}source"})
        if kind.label == "capacitor" and given.unit != "Hz":
            yield Message("parts.frequency_only", {"field": f"{at}unit"})


def _kind_of(given: NameplateField) -> str:
    return UNITS[given.unit].kind if given.unit in UNITS else ""


def _measure_faults(kind: PartKind) -> Iterator[Message]:
    names = Counter(measure.name.casefold() for measure in kind.measures)
    of_label = [m for m in kind.measures if isinstance(m.limits, InLabel)]
    for i, measure in enumerate(kind.measures):
        at = f"measures[{i}]."
        if names[measure.name.casefold()] > 1:
            yield Message("parts.twice", {"field": f"{at}name", "name": measure.name})
        if of_label and measure not in of_label and measure.name in SECTIONS:
            yield Message("parts.name_of_section", {"field": f"{at}name", "name": measure.name})
        unit = UNITS.get(measure.unit)
        expected = measure.quantity.kind
        if unit is None or unit.kind != expected:
            yield _wrong_unit(f"{at}unit", measure.unit, _units_of(expected))
            continue
        if measure.shorted_below:
            if measure.quantity not in _OHMS:
                yield Message("parts.short_of_resistance", {"field": f"{at}shorted_below"})
            yield from _tried(f"{at}shorted_below", partial(written_si, measure.shorted_below, "Ω"))
        if measure.idle_below:
            if expected != "current":
                yield Message("parts.idle_current", {"field": f"{at}idle_below"})
            yield from _tried(f"{at}idle_below", partial(written_si, measure.idle_below, "A"))
        if measure.graded_at is not None:
            yield from _refers(kind, f"{at}graded_at.given", measure.graded_at.given, "voltage")
            least = partial(written_si, measure.graded_at.least, "V")
            yield from _tried(f"{at}graded_at.least", least)
        if measure.remark_above:
            yield from _refers(kind, f"{at}remark_above", measure.remark_above, expected)
        others = {other.name for other in kind.measures} - {measure.name}
        for name in measure.needs:
            if name not in others:
                yield Message("parts.no_measurement", {"field": f"{at}needs", "name": name})
        yield from _limit_faults(kind, measure.limits, measure.unit, f"{at}limits", measure)
    if len(of_label) > 1:
        yield Message("parts.label_twice", {"field": "measures"})


def _limit_faults(
    kind: PartKind,
    limits: Limits | None,
    unit: str,
    at: str,
    measure: MeasurementSpec | None = None,
) -> Iterator[Message]:
    """Faults of limits in that unit; `measure` is None for those of a difference."""
    own = UNITS[unit].kind
    match limits:
        case None:
            return
        case Between():
            yield from _sides(at, limits.low, limits.high, lambda text: written_si(text, unit))
        case OfGiven():
            yield from _refers(kind, f"{at}.given", limits.given, own)
            yield from _tolerance_faults(kind, f"{at}.tolerance", limits.tolerance, unit)
        case RangeGiven():
            yield from _refers(kind, f"{at}.given", limits.given, own)
            if not any(g.range for g in kind.givens if g.name == limits.given):
                yield Message("parts.no_range", {"field": f"{at}.given", "name": limits.given})
        case ShareOfGiven():
            yield from _refers(kind, f"{at}.given", limits.given, own)
            if any(g.range and not g.nominal for g in kind.givens if g.name == limits.given):
                yield Message("parts.share_of_range", {"field": f"{at}.given"})
            if own == "temperature":
                yield Message("parts.share_of_temperature", {"field": at})
            yield from _sides(at, limits.low, limits.high, lambda text: written_si(text, "%"))
        case FromPower():
            yield from _refers(kind, f"{at}.volts", limits.volts, "voltage")
            yield from _refers(kind, f"{at}.power", limits.power, "power")
            for name in (limits.volts, limits.power):
                if any(g.range for g in kind.givens if g.name == name):
                    yield Message("parts.one_value", {"field": at, "name": name})
            if limits.tolerance and own != "resistance":
                yield Message("parts.power_gives_resistance", {"field": at})
            if not limits.tolerance and own != "current":
                yield Message("parts.power_gives_current", {"field": at})
            if limits.tolerance:
                yield from _tolerance_faults(kind, f"{at}.tolerance", limits.tolerance, "", True)
        case InLabel():
            if measure is None or measure.quantity is not Quantity.CAPACITANCE:
                yield Message("parts.capacitance_in_label", {"field": at})
            if kind.label != "capacitor":
                yield Message("parts.capacitor_label", {"field": at})
        case _:
            assert_never(limits)


def _sides(at: str, low: str, high: str, value: Callable[[str], object]) -> Iterator[Message]:
    if not low and not high:
        yield Message("parts.no_limit", {"field": at})
    faults = [*_tried(f"{at}.low", lambda: value(low)), *_tried(f"{at}.high", lambda: value(high))]
    yield from faults
    if low and high and not faults and not value(low) < value(high):  # type: ignore[operator]
        yield Message("parts.low_above_high", {"field": f"{at}.low"})


def _tolerance_faults(
    kind: PartKind, at: str, text: str, unit: str, percent: bool = False
) -> Iterator[Message]:
    """`percent`: nothing but a ratio will do."""
    own = UNITS[unit].kind if unit else ""
    given = next((g for g in kind.givens if g.name == text), None)
    fitting = {"ratio", DIFFERENCE if own == "temperature" else own} - {""}
    if own == "temperature":
        fitting.discard("ratio")  # per cent of a temperature would hang on its zero point
    if given is not None:
        if _kind_of(given) not in fitting:
            yield Message("parts.other_unit", {"field": at, "name": text, "kinds": sorted(fitting)})
        return
    if text[:1].isalpha():
        yield Message("parts.no_given", {"field": at, "name": text})
        return
    relative = text.rstrip().endswith("%")
    if relative and "ratio" not in fitting:
        yield Message("parts.tolerance_in_degrees", {"field": at})
    elif percent and not relative:
        yield Message("parts.tolerance_in_percent", {"field": at})
    else:
        yield from _tried(at, lambda: tolerance_sides(kind, text, unit or "%", {}))


def _refers(kind: PartKind, at: str, name: str, unit_kind: str) -> Iterator[Message]:
    given = next((g for g in kind.givens if g.name == name), None)
    if given is None:
        yield Message("parts.no_given", {"field": at, "name": name})
    elif _kind_of(given) != unit_kind:
        yield Message("parts.other_unit", {"field": at, "name": name, "kinds": [unit_kind]})


def _conclusion_faults(kind: PartKind) -> Iterator[Message]:
    names = Counter(rule.name.casefold() for rule in kind.conclusions)
    for i, rule in enumerate(kind.conclusions):
        at = f"conclusions[{i}]."
        if names[rule.name.casefold()] > 1:
            yield Message("parts.twice", {"field": f"{at}name", "name": rule.name})
        yield from _rule_faults(kind, rule, at)


def _rule_faults(kind: PartKind, rule: Rule, at: str) -> Iterator[Message]:
    match rule:
        case WindingsRule():
            if sorted(rule.pairs.values()) != ["C-R", "C-S", "S-R"]:
                yield Message("parts.three_pairs", {"field": f"{at}pairs"})
            for name in rule.pairs:
                yield from _measured(kind, f"{at}pairs", name, _OHMS)
            states = [g.choices for g in kind.givens if g.name == rule.state]
            if rule.state and not any("cold" in choices for choices in states):
                yield Message("parts.no_choices", {"field": f"{at}state"})
        case AlikeRule():
            yield from _all_measured(kind, f"{at}of", rule.of)
            yield from _alike_faults(kind, rule, at)
        case UnbalanceRule():
            yield from _all_measured(kind, f"{at}of", rule.of, _VOLTS)
            yield from _tried(f"{at}most", lambda: written_si(rule.most, "%"))
            if not rule.most:
                yield Message("files.missing_field", {"field": f"{at}most"})
        case UnderLoadRule():
            yield from _measured(kind, f"{at}volts", rule.volts, (Quantity.VOLTAGE_AC,))
            yield from _measured(kind, f"{at}amps", rule.amps, (Quantity.CURRENT_AC,))
            yield from _refers(kind, f"{at}frequency", rule.frequency, "frequency")
            if kind.label != "capacitor":
                yield Message("parts.capacitor_label", {"field": at[:-1]})
        case SensorRule():
            yield from _sensor_faults(kind, rule, at)
        case DifferenceRule():
            yield from _difference_faults(kind, rule, at)
        case _:
            assert_never(rule)


def _alike_faults(kind: PartKind, rule: AlikeRule, at: str) -> Iterator[Message]:
    found = [m for m in kind.measures if m.name in rule.of]
    units = {m.quantity.kind for m in found}
    if len(set(rule.of)) < 2:
        yield Message("parts.two_measurements", {"field": f"{at}of"})
    elif len(units) > 1:
        yield Message("parts.one_quantity", {"field": f"{at}of"})
    elif units:
        unit = found[0].unit if found[0].unit in UNITS else ""
        if rule.most[:1].isalpha():
            yield Message("parts.share_or_amount", {"field": f"{at}most"})
        elif unit:
            yield from _tolerance_faults(kind, f"{at}most", rule.most, unit)


def _sensor_faults(kind: PartKind, rule: SensorRule, at: str) -> Iterator[Message]:
    yield from _measured(kind, f"{at}probe", rule.probe, (Quantity.TEMPERATURE,))
    if rule.junction:
        yield from _measured(kind, f"{at}junction", rule.junction, (Quantity.TEMPERATURE,))
    given = next((g for g in kind.givens if g.name == rule.sensor), None)
    if given is None or not given.choices:
        yield Message("parts.no_choices", {"field": f"{at}sensor"})
        return
    for name in given.choices:
        try:
            ohms = sensor_of(kind, name).unit == "Ω"
        except (InputError, DataFileError) as why:
            yield Message("files.fault", {"field": f"{at}sensor", "why": why.message})
        else:
            quantities = _OHMS if ohms else (Quantity.VOLTAGE_DC,)
            yield from _measured(kind, f"{at}reading", rule.reading, quantities)
    if rule.sensor_class and not any(g.choices for g in kind.givens if g.name == rule.sensor_class):
        yield Message("parts.no_choices", {"field": f"{at}sensor_class"})


def _difference_faults(kind: PartKind, rule: DifferenceRule, at: str) -> Iterator[Message]:
    yield from _measured(kind, f"{at}of", rule.of)
    yield from _measured(kind, f"{at}less", rule.less)
    kinds = {m.quantity.kind for m in kind.measures if m.name in (rule.of, rule.less)}
    if rule.of == rule.less or len(kinds) > 1:
        yield Message("parts.two_of_one_quantity", {"field": f"{at}of"})
    elif kinds:
        own = kinds.pop()
        own = DIFFERENCE if own == "temperature" else own
        if rule.unit not in UNITS or UNITS[rule.unit].kind != own:
            yield _wrong_unit(f"{at}unit", rule.unit, _units_of(own))
        else:
            yield from _limit_faults(kind, rule.limits, rule.unit, f"{at}limits")


def _all_measured(
    kind: PartKind, at: str, names: Iterable[str], quantities: tuple[Quantity, ...] = ()
) -> Iterator[Message]:
    for name in names:
        yield from _measured(kind, at, name, quantities)


def _measured(
    kind: PartKind, at: str, name: str, quantities: tuple[Quantity, ...] = ()
) -> Iterator[Message]:
    found = next((m for m in kind.measures if m.name == name), None)
    if found is None:
        yield Message("parts.no_measurement", {"field": at, "name": name})
    elif quantities and found.quantity not in quantities:
        wanted = [quantity.value for quantity in quantities]
        yield Message("parts.other_quantity", {"field": at, "name": name, "quantities": wanted})


def _units_of(kind: str) -> list[str]:
    return [unit.symbol for unit in UNITS.values() if unit.kind == kind]


def _wrong_unit(field: str, unit: str, fitting: Iterable[str]) -> Message:
    return Message("parts.wrong_unit", {"field": field, "unit": unit, "fitting": list(fitting)})


def _tried(at: str, read: Callable[[], object]) -> Iterator[Message]:
    try:
        read()
    except InputError as why:
        yield Message("files.fault", {"field": at, "why": why.message})
