"""What several measurements of a part say together, each in a sentence. Decimal point."""

from collections.abc import Sequence
from decimal import Decimal

from benchmeter.conformity.verdict import (
    Conclusion,
    Measurement,
    MeasurementVerdict,
    Reason,
    Verdict,
)
from benchmeter.motors.voltage_unbalance import derating
from benchmeter.motors.windings import WindingFinding, WindingsVerdict
from benchmeter.parts.combined.evidence import ConclusionFinding
from benchmeter.parts.part_kind import (
    AlikeRule,
    DifferenceRule,
    Rule,
    SensorRule,
    UnbalanceRule,
    UnderLoadRule,
    WindingsRule,
)
from benchmeter.quantities.units import UNITS
from benchmeter.sensors.thermistor_check import CurveFinding, CurveVerdict
from benchmeter.words.motors import derating_why, off_the_mean, windings_why
from benchmeter.words.numbers import exact_text, in_unit
from benchmeter.words.sensors import curve_why, deviation_why
from benchmeter.words.verdicts import limits_text, reading_words, why, with_unit

__all__ = ["conclusion_value", "conclusion_why"]

_DIGITS_UNKNOWN = 3  # of a value whose uncertainty is not known
_FINEST_DEGREE = Decimal("0.01")

_CANNOT = {
    ConclusionFinding.LESS_THAN_LEADS: (
        "A pair reads less than the test leads alone: read the leads again, then the pair."
    ),
    ConclusionFinding.NOTHING_TO_COMPARE: (
        "There is nothing to compare: switch the machine on, then read again."
    ),
    ConclusionFinding.RANGE_NEEDED: "The label gives no range: type both ends, like 20-40 °F.",
    ConclusionFinding.NO_VOLTAGE: "There is no voltage: switch the machine on, then read again.",
    ConclusionFinding.FREQUENCY_NEEDED: (
        "The label gives no frequency: type that of the supply with it, like 60 Hz."
    ),
    ConclusionFinding.SENSOR_UNKNOWN: "This sensor is not known here: choose one that is.",
    ConclusionFinding.OTHER_MEASURE: (
        "This sensor is read in another unit: a thermocouple in mV, the others in Ω."
    ),
    ConclusionFinding.LEADS_EXCHANGED: (
        "It would be right with the leads exchanged: exchange them and read again."
    ),
    ConclusionFinding.JUNCTION_NEEDED: (
        "A thermocouple is judged with the temperature of its terminals: measure that as well."
    ),
}


def conclusion_why(conclusion: Conclusion, rule_of_kind: Rule) -> str:
    """The reason in a sentence or two, with the numbers.

    Args:
        rule_of_kind: the rule of the part's kind that the conclusion was drawn by.
    """
    if conclusion.finding == Reason.NOT_MEASURED.value:
        return f"It takes {_listed(_measures(rule_of_kind))}, and not all have a value."
    if conclusion.finding in _CANNOT:
        return _CANNOT[ConclusionFinding(conclusion.finding)]
    match rule_of_kind:
        case WindingsRule():
            return _windings(conclusion)
        case AlikeRule():
            return _alike(conclusion, rule_of_kind)
        case UnbalanceRule():
            return _unbalance(conclusion)
        case UnderLoadRule():
            return _under_load(conclusion, rule_of_kind)
        case SensorRule():
            return _sensor(conclusion)
        case DifferenceRule():
            return f"{rule_of_kind.of} less {rule_of_kind.less}: {_within(conclusion)}"


def conclusion_value(conclusion: Conclusion) -> str:
    """What was computed, to the digits that its uncertainty supports: "5.10 ±0.90 %"; else ""."""
    if conclusion.value_si is None:
        return ""
    text = _of_difference(reading_words(_as_section(conclusion)))
    zero = not any(digit in text.split()[0] for digit in "123456789")
    return text.removeprefix("-") if zero else text  # never -0.00


def _windings(conclusion: Conclusion) -> str:
    roles = conclusion.terminals
    text = windings_why(
        WindingsVerdict(
            conclusion.value_si,
            conclusion.expanded_uncertainty_si,
            roles or None,
            conclusion.word,
            WindingFinding(conclusion.finding),
        )
    )
    if all(role == terminal for role, terminal in roles.items()):
        return text
    return f"{text} {_listed([f'{role} is {roles[role]}' for role in sorted(roles)])}."


def _alike(conclusion: Conclusion, rule: AlikeRule) -> str:
    if conclusion.finding == Reason.OVERLOAD.value:
        return f"One of {_listed(rule.of)} is open."
    if conclusion.finding == Reason.NO_RESISTANCE.value:
        return f"One of {_listed(rule.of)} reads nothing: shorted."
    return _off(conclusion)


def _unbalance(conclusion: Conclusion) -> str:
    if conclusion.finding == ConclusionFinding.OUT_OF_RANGE.value:
        return "No supply has such voltages: check what the meter is set to."
    if conclusion.word is Verdict.UNDECIDABLE:
        return _off(conclusion)
    return f"{_off(conclusion)} {derating_why(derating((conclusion.value_si or 0.0) * 100))}"


def _off(conclusion: Conclusion) -> str:
    (farthest,) = conclusion.names
    limit = with_unit(
        exact_text(_exact(conclusion.high_si or 0.0), conclusion.unit), conclusion.unit
    )
    read, reason = conclusion_value(conclusion), Reason(conclusion.finding)
    return off_the_mean(farthest, read, _of_difference(limit), reason)


def _under_load(conclusion: Conclusion, rule: UnderLoadRule) -> str:
    if conclusion.finding == ConclusionFinding.OUT_OF_RANGE.value:
        return "No capacitor in operation has such volts and amps: check what the meter is set to."
    if conclusion.finding == Reason.NO_CAPACITANCE.value:
        return "There are volts across it, but no current goes through it: open."
    return f"{rule.volts} and {rule.amps}: {_within(conclusion)}"


def _within(conclusion: Conclusion) -> str:
    """How what was computed lies to its limits."""
    section = _as_section(conclusion)
    match section.reason:
        case Reason.COUNT_UNKNOWN:
            return (
                f"{conclusion_value(conclusion)}; the accuracy counts digits, but what one is "
                "worth is not known: write it with its unit, like 2 x 0.1 V."
            )
        case Reason.METER_TOO_COARSE:
            close = f"the limits {limits_text(section.section)} are closer together than that"
            text = f"{conclusion_value(conclusion)}: {close}; it takes a finer meter."
        case Reason.WITHOUT_LIMITS:
            text = f"{conclusion_value(conclusion)}; the label gives no limits for it."
        case _:
            text = why(section)
    return _of_difference(text)


def _sensor(conclusion: Conclusion) -> str:
    finding, names = conclusion.finding, conclusion.names
    if finding == Reason.OVERLOAD.value:
        return "The sensor is open."
    if finding == Reason.NO_RESISTANCE.value:
        return "The sensor reads nothing: shorted."
    if finding == ConclusionFinding.NEVER_READS.value:
        return f"{names[0]} never reads so: another kind of sensor, or a bad one."
    if finding == ConclusionFinding.BEYOND_CURVE.value:
        return f"{names[0]} has no curve at this temperature: check it, or measure in ice water."
    if finding == ConclusionFinding.CLASS_NEEDED.value:
        return f"{names[0]} is judged by its tolerance class: give it with the sensor."
    if finding == ConclusionFinding.CLASS_UNDEFINED.value:
        return f"{names[0]} has no class {names[1]} at this temperature."
    if finding in list(CurveFinding):
        return _curve(conclusion)
    tolerance = f"±{conclusion.high_si or 0.0:.2f} K"
    by_class = len(names) > 1
    allowed = f"class {names[1]} allows" if by_class else f"a sound {names[0]} is within"
    needed = finding == ConclusionFinding.ACCURACY_NEEDED.value
    return deviation_why(
        conclusion.value_si or 0.0,
        conclusion.expanded_uncertainty_si,
        f"{allowed} {tolerance}",
        None if needed else Reason(finding),
    )


def _curve(conclusion: Conclusion) -> str:
    name, *others = conclusion.names
    return curve_why(
        name,
        CurveVerdict(
            CurveFinding(conclusion.finding),
            {name: conclusion.value_si},
            {name: conclusion.expanded_uncertainty_si},
            tuple(others),
        ),
    )


def _measures(rule: Rule) -> tuple[str, ...]:
    match rule:
        case WindingsRule():
            return tuple(rule.pairs)
        case AlikeRule() | UnbalanceRule():
            return rule.of
        case UnderLoadRule():
            return rule.volts, rule.amps
        case SensorRule():
            named = (rule.reading, rule.probe, rule.junction)
            return tuple(name for name in named if name)
        case DifferenceRule():
            return rule.of, rule.less


def _as_section(conclusion: Conclusion) -> MeasurementVerdict:
    """So that what was computed is told like what was read."""
    c = conclusion
    return MeasurementVerdict(
        section=Measurement(c.name, None, _limit(c.low_si), _limit(c.high_si), unit=c.unit),
        readings_si=(),
        lead_offset_si=Decimal(0),
        reading_si=None if c.value_si is None else _exact(c.value_si),
        resolution_si=_digit(c),
        half_width_si=None,
        standard_uncertainty_si=None,
        expanded_uncertainty_si=c.expanded_uncertainty_si,
        guard_band_si=None,
        conformance_probability=None,
        verdict=c.word,
        reason=Reason(c.finding) if c.finding in list(Reason) else Reason.WITHOUT_LIMITS,
    )


def _digit(conclusion: Conclusion) -> Decimal | None:
    """The last digit that is told where no uncertainty says it."""
    if not conclusion.value_si:
        return None
    shown = in_unit(_exact(conclusion.value_si), conclusion.unit)
    last = Decimal(1).scaleb(shown.adjusted() - _DIGITS_UNKNOWN + 1)
    if UNITS[conclusion.unit].kind.startswith("temperature"):
        last = max(last, _FINEST_DEGREE)
    return last * UNITS[conclusion.unit].scale


def _limit(si: float | None) -> Decimal | None:
    return None if si is None else _exact(si)


def _exact(si: float) -> Decimal:
    return Decimal(repr(si))


def _of_difference(text: str) -> str:
    return text.replace("Δ", "")


def _listed(names: Sequence[str]) -> str:
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))
