"""What must hold between the fields of a kind of part, beyond their types."""

import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from functools import partial
from typing import assert_never

from benchmeter.errors import DataFileError, InputError
from benchmeter.parts.nameplate.nameplate import default_of, tolerance_names
from benchmeter.parts.nameplate.nameplate_values import DIFFERENCE
from benchmeter.parts.part_kind import (
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
)
from benchmeter.parts.rating import rate, tolerance_sides, written_si
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.units import UNITS
from benchmeter.sensors.curves import load_sensor

__all__ = ["faults_of"]

_NAME = re.compile(r"[A-Za-z][A-Za-z0-9]*(-[A-Za-z0-9]+)*", re.ASCII)
_LONGEST_NAME = 24  # it stands on rulers and tags
_SECTIONS = ("HERM", "FAN", "single")
_OHMS = (Quantity.RESISTANCE, Quantity.CONTINUITY)
_VOLTS = (Quantity.VOLTAGE_AC, Quantity.VOLTAGE_DC)


def faults_of(kind: PartKind) -> list[str]:
    """What is wrong, each as "field must be so"; empty if nothing is."""
    faults = [
        *_empty("", title=kind.title, about=kind.about, example=kind.example),
        *_given_faults(kind),
        *_measure_faults(kind),
        *_conclusion_faults(kind),
    ]
    # A default, a limit and the example are tried out only where each field is right by itself.
    return faults or [*_trial_faults(kind)]


def _trial_faults(kind: PartKind) -> Iterator[str]:
    for i, given in enumerate(kind.givens):
        if given.default:
            yield from _tried(f"givens[{i}].default", partial(default_of, kind, given))
    yield from _tried("example", partial(rate, kind, kind.example))


def _given_faults(kind: PartKind) -> Iterator[str]:
    names = Counter(given.name.casefold() for given in kind.givens)
    choices = {choice.casefold() for given in kind.givens for choice in given.choices}
    words = Counter(
        (word.casefold(), UNITS[given.unit].kind if given.unit in UNITS else "")
        for given in kind.givens
        for word in {given.name, *given.also}
    )
    for i, given in enumerate(kind.givens):
        at = f"givens[{i}]."
        yield from _empty(at, title=given.title)
        for word in (given.name, *given.also):
            field = f"{at}name" if word == given.name else f"{at}also"
            if not _NAME.fullmatch(word) or len(word) > _LONGEST_NAME:
                yield f"{field} must be one word of letters and digits, not “{word[:40]}”"
            if word.casefold() in choices:
                yield f"{field}: “{word}” is one of the choices as well"
        if names[given.name.casefold()] > 1:
            yield f"{at}name: “{given.name}” stands there twice"
        elif any(words[w.casefold(), _kind_of(given)] > 1 for w in {given.name, *given.also}):
            yield f"{at}also: another given of the same kind of unit has that word"
        if bool(given.unit) == bool(given.choices):
            yield f"{at}unit must be given, or choices, and not both"
        elif given.unit and given.unit not in UNITS:
            yield f"{at}unit cannot be “{given.unit}”: write one of {', '.join(UNITS)}"
        if given.range and (given.choices or given.name in tolerance_names(kind)):
            yield f"{at}range is for values only"
        if given.default and not given.source.strip():
            yield f"{at}source of the default is missing"
        if kind.label == "capacitor" and given.unit != "Hz":
            yield f"{at}unit must be Hz: a capacitor's label gives nothing else here"


def _kind_of(given: NameplateField) -> str:
    return UNITS[given.unit].kind if given.unit in UNITS else ""


def _measure_faults(kind: PartKind) -> Iterator[str]:
    if not kind.measures:
        yield "measures must have at least one entry"
    names = Counter(measure.name.casefold() for measure in kind.measures)
    of_label = [m for m in kind.measures if isinstance(m.limits, InLabel)]
    for i, measure in enumerate(kind.measures):
        at = f"measures[{i}]."
        yield from _empty(
            at,
            name=measure.name,
            title=measure.title,
            failure=measure.failure,
            source=measure.source,
        )
        if len(measure.name) > _LONGEST_NAME:
            yield f"{at}name must not be longer than {_LONGEST_NAME} characters"
        if names[measure.name.casefold()] > 1:
            yield f"{at}name: “{measure.name}” stands there twice"
        if of_label and measure not in of_label and measure.name in _SECTIONS:
            yield f"{at}name: “{measure.name}” is a section of the label"
        if not all(end.strip() for end in measure.leads):
            yield f"{at}leads must name both terminals"
        unit = UNITS.get(measure.unit)
        expected = measure.quantity.kind
        if unit is None or unit.kind != expected:
            fitting = ", ".join(u.symbol for u in UNITS.values() if u.kind == expected)
            yield f"{at}unit cannot be “{measure.unit[:20]}”: write one of {fitting}"
            continue
        if measure.shorted_below:
            if measure.quantity not in _OHMS:
                yield f"{at}shorted_below is for resistances only"
            yield from _tried(f"{at}shorted_below", partial(written_si, measure.shorted_below, "Ω"))
        yield from _limit_faults(kind, measure.limits, measure.unit, f"{at}limits", measure)
    if len(of_label) > 1:
        yield "measures: only one may take its limits from the capacitor's label"


def _limit_faults(
    kind: PartKind,
    limits: Limits | None,
    unit: str,
    at: str,
    measure: MeasurementSpec | None = None,
) -> Iterator[str]:
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
                yield f"{at}.given: “{limits.given}” may not be written as a range"
        case ShareOfGiven():
            yield from _refers(kind, f"{at}.given", limits.given, own)
            if any(g.range for g in kind.givens if g.name == limits.given):
                yield f"{at}.given: of a range there is no share"
            if own == "temperature":
                yield f"{at}: of a temperature there is no share"
            yield from _sides(at, limits.low, limits.high, lambda text: written_si(text, "%"))
        case FromPower():
            yield from _refers(kind, f"{at}.volts", limits.volts, "voltage")
            yield from _refers(kind, f"{at}.power", limits.power, "power")
            for name in (limits.volts, limits.power):
                if any(g.range for g in kind.givens if g.name == name):
                    yield f"{at}: “{name}” must be one value"
            needed = "resistance" if limits.tolerance else "current"
            if own != needed:
                tail = "with a tolerance" if limits.tolerance else "without tolerance"
                yield f"{at}: volts and power {tail} give a {needed}"
            if limits.tolerance:
                yield from _tolerance_faults(kind, f"{at}.tolerance", limits.tolerance, "", True)
        case InLabel():
            if measure is None or measure.quantity is not Quantity.CAPACITANCE:
                yield f"{at}: only a capacitance stands in the label"
            if kind.label != "capacitor":
                yield f"{at}: label must be “capacitor”"
        case _:
            assert_never(limits)


def _sides(at: str, low: str, high: str, value: Callable[[str], object]) -> Iterator[str]:
    if not low and not high:
        yield f"{at} must have low, high or both"
    faults = [*_tried(f"{at}.low", lambda: value(low)), *_tried(f"{at}.high", lambda: value(high))]
    yield from faults
    if low and high and not faults and not value(low) < value(high):  # type: ignore[operator]
        yield f"{at}.low must be below high"


def _tolerance_faults(
    kind: PartKind, at: str, text: str, unit: str, percent: bool = False
) -> Iterator[str]:
    """`percent`: nothing but a ratio will do."""
    own = UNITS[unit].kind if unit else ""
    given = next((g for g in kind.givens if g.name == text), None)
    fitting = {"ratio", DIFFERENCE if own == "temperature" else own} - {""}
    if own == "temperature":
        fitting.discard("ratio")  # per cent of a temperature would hang on its zero point
    if given is not None:
        if _kind_of(given) not in fitting:
            yield f"{at}: “{text}” must be in a unit of {' or '.join(sorted(fitting))}"
        return
    if text[:1].isalpha():
        yield f"{at}: there is no given “{text[:40]}”"
        return
    relative = text.rstrip().endswith("%")
    if relative and "ratio" not in fitting:
        yield f"{at}: of a temperature write it in degrees, like 5 Δ°F"
    elif percent and not relative:
        yield f"{at} must be in percent"
    else:
        yield from _tried(at, lambda: tolerance_sides(kind, text, unit or "%", {}))


def _refers(kind: PartKind, at: str, name: str, unit_kind: str) -> Iterator[str]:
    given = next((g for g in kind.givens if g.name == name), None)
    if given is None:
        yield f"{at}: there is no given “{name[:40]}”"
    elif _kind_of(given) != unit_kind:
        yield f"{at}: “{name}” must be in a unit of {unit_kind}"


def _conclusion_faults(kind: PartKind) -> Iterator[str]:
    names = Counter(rule.name.casefold() for rule in kind.conclusions)
    for i, rule in enumerate(kind.conclusions):
        at = f"conclusions[{i}]."
        yield from _empty(at, name=rule.name, failure=rule.failure)
        if not isinstance(rule, WindingsRule | UnderLoadRule | SensorRule):
            yield from _empty(at, source=rule.source)
        if names[rule.name.casefold()] > 1:
            yield f"{at}name: “{rule.name}” stands there twice"
        yield from _rule_faults(kind, rule, at)


def _rule_faults(kind: PartKind, rule: Rule, at: str) -> Iterator[str]:
    match rule:
        case WindingsRule():
            if sorted(rule.pairs.values()) != ["C-R", "C-S", "S-R"]:
                yield f"{at}pairs must be C-S, C-R and S-R, each once"
            for name in rule.pairs:
                yield from _measured(kind, f"{at}pairs", name, _OHMS)
        case AlikeRule():
            yield from _all_measured(kind, f"{at}of", rule.of)
            yield from _alike_faults(kind, rule, at)
        case UnbalanceRule():
            yield from _all_measured(kind, f"{at}of", rule.of, _VOLTS)
            yield from _tried(f"{at}most", lambda: written_si(rule.most, "%"))
            if not rule.most:
                yield f"{at}most is missing"
        case UnderLoadRule():
            yield from _measured(kind, f"{at}volts", rule.volts, (Quantity.VOLTAGE_AC,))
            yield from _measured(kind, f"{at}amps", rule.amps, (Quantity.CURRENT_AC,))
            yield from _refers(kind, f"{at}frequency", rule.frequency, "frequency")
            if rule.section not in _SECTIONS:
                yield f"{at}section must be {', '.join(_SECTIONS)}"
            if kind.label != "capacitor":
                yield f"{at[:-1]}: label must be “capacitor”"
        case SensorRule():
            yield from _sensor_faults(kind, rule, at)
        case DifferenceRule():
            yield from _difference_faults(kind, rule, at)
        case _:
            assert_never(rule)


def _alike_faults(kind: PartKind, rule: AlikeRule, at: str) -> Iterator[str]:
    found = [m for m in kind.measures if m.name in rule.of]
    units = {m.quantity.kind for m in found}
    if len(set(rule.of)) < 2:
        yield f"{at}of must name at least two measurements"
    elif len(units) > 1:
        yield f"{at}of must name measurements of one quantity"
    elif units:
        unit = found[0].unit if found[0].unit in UNITS else ""
        if rule.most[:1].isalpha():
            yield f"{at}most must be a share or an amount, like 5 % or 20 mV"
        elif unit:
            yield from _tolerance_faults(kind, f"{at}most", rule.most, unit)


def _sensor_faults(kind: PartKind, rule: SensorRule, at: str) -> Iterator[str]:
    yield from _measured(kind, f"{at}probe", rule.probe, (Quantity.TEMPERATURE,))
    if rule.junction:
        yield from _measured(kind, f"{at}junction", rule.junction, (Quantity.TEMPERATURE,))
    given = next((g for g in kind.givens if g.name == rule.sensor), None)
    if given is None or not given.choices:
        yield f"{at}sensor must name a given with choices"
        return
    for name in given.choices:
        try:
            ohms = load_sensor(name).unit == "Ω"
        except (InputError, DataFileError) as why:
            yield f"{at}sensor: {_said(why)}"
        else:
            quantities = _OHMS if ohms else (Quantity.VOLTAGE_DC,)
            yield from _measured(kind, f"{at}reading", rule.reading, quantities)
    if rule.sensor_class and not any(g.choices for g in kind.givens if g.name == rule.sensor_class):
        yield f"{at}sensor_class must name a given with choices"


def _difference_faults(kind: PartKind, rule: DifferenceRule, at: str) -> Iterator[str]:
    yield from _all_measured(kind, f"{at}of and less", (rule.of, rule.less))
    kinds = {m.quantity.kind for m in kind.measures if m.name in (rule.of, rule.less)}
    if rule.of == rule.less or len(kinds) > 1:
        yield f"{at}of and less must be two measurements of one quantity"
    elif kinds:
        own = kinds.pop()
        own = DIFFERENCE if own == "temperature" else own
        if rule.unit not in UNITS or UNITS[rule.unit].kind != own:
            fitting = ", ".join(u.symbol for u in UNITS.values() if u.kind == own)
            yield f"{at}unit cannot be “{rule.unit[:20]}”: write one of {fitting}"
        else:
            yield from _limit_faults(kind, rule.limits, rule.unit, f"{at}limits")


def _all_measured(
    kind: PartKind, at: str, names: Iterable[str], quantities: tuple[Quantity, ...] = ()
) -> Iterator[str]:
    for name in names:
        yield from _measured(kind, at, name, quantities)


def _measured(
    kind: PartKind, at: str, name: str, quantities: tuple[Quantity, ...] = ()
) -> Iterator[str]:
    found = next((m for m in kind.measures if m.name == name), None)
    if found is None:
        yield f"{at}: there is no measurement “{name[:40]}”"
    elif quantities and found.quantity not in quantities:
        yield f"{at}: “{name}” must measure {' or '.join(q.value for q in quantities)}"


def _empty(at: str, **fields: str) -> Iterator[str]:
    for name, text in fields.items():
        if not text.strip():
            yield f"{at}{name} must not be empty"


def _tried(at: str, read: Callable[[], object]) -> Iterator[str]:
    try:
        read()
    except InputError as why:
        yield f"{at}: {_said(why)}"


def _said(why: InputError | DataFileError) -> str:
    return f"{why.user_text()} {why.advice()}".strip().rstrip(".")
