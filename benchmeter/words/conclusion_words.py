"""What several measurements of a part say together, each in a sentence."""

from decimal import Decimal

from benchmeter.conformity.verdict import (
    Measurement,
    MeasurementVerdict,
    Reason,
    Verdict,
)
from benchmeter.motors.voltage_unbalance import derating
from benchmeter.motors.windings import WindingFinding, WindingsVerdict
from benchmeter.parts.conclusion import (
    Conclusion,
    ConclusionFinding,
)
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
from benchmeter.words.numbers import in_unit
from benchmeter.words.presentation import PLAIN, Presentation
from benchmeter.words.sensors import class_allows, curve_why, deviation_why
from benchmeter.words.verdicts import limits_text, reading_words, why

__all__ = ["conclusion_value", "conclusion_why"]

_DIGITS_UNKNOWN = 3  # of a value whose uncertainty is not known
_FINEST_DEGREE = Decimal("0.01")

_CANNOT = {
    ConclusionFinding.LESS_THAN_LEADS: "conclusions.cannot_less_than_leads",
    ConclusionFinding.NOTHING_TO_COMPARE: "conclusions.cannot_nothing_to_compare",
    ConclusionFinding.RANGE_NEEDED: "conclusions.cannot_range_needed",
    ConclusionFinding.NO_VOLTAGE: "conclusions.cannot_no_voltage",
    ConclusionFinding.FREQUENCY_NEEDED: "conclusions.cannot_frequency_needed",
    ConclusionFinding.SENSOR_UNKNOWN: "conclusions.cannot_sensor_unknown",
    ConclusionFinding.OTHER_MEASURE: "conclusions.cannot_other_measure",
    ConclusionFinding.LEADS_EXCHANGED: "conclusions.cannot_leads_exchanged",
    ConclusionFinding.JUNCTION_NEEDED: "conclusions.cannot_junction_needed",
}


def conclusion_why(
    conclusion: Conclusion, rule_of_kind: Rule, presentation: Presentation = PLAIN
) -> str:
    """The reason in a sentence or two, with the numbers.

    Args:
        rule_of_kind: the rule of the part's kind that the conclusion was drawn by.
    """
    if conclusion.finding == Reason.NOT_MEASURED:
        return presentation.text("conclusions.not_measured", names=_measures(rule_of_kind))
    if conclusion.finding in _CANNOT:
        return presentation.text(_CANNOT[ConclusionFinding(conclusion.finding)])
    match rule_of_kind:
        case WindingsRule():
            return _windings(conclusion, presentation)
        case AlikeRule():
            return _alike(conclusion, rule_of_kind, presentation)
        case UnbalanceRule():
            return _unbalance(conclusion, presentation)
        case UnderLoadRule():
            return _under_load(conclusion, rule_of_kind, presentation)
        case SensorRule():
            return _sensor(conclusion, presentation)
        case DifferenceRule():
            return presentation.text(
                "conclusions.difference",
                of=rule_of_kind.of,
                less=rule_of_kind.less,
                why=_within(conclusion, presentation),
            )


def conclusion_value(conclusion: Conclusion, presentation: Presentation = PLAIN) -> str:
    """What was computed, to the digits that its uncertainty supports: "5.10 ±0.90 %"; else ""."""
    if conclusion.value_si is None:
        return ""
    text = reading_words(_as_section(conclusion, presentation), presentation)
    zero = not any(digit in text.split()[0] for digit in "123456789")
    return text.removeprefix("-") if zero else text  # never -0.00


def _windings(conclusion: Conclusion, presentation: Presentation) -> str:
    roles = conclusion.terminals
    text = windings_why(
        WindingsVerdict(
            conclusion.value_si,
            conclusion.expanded_uncertainty_si,
            roles or None,
            conclusion.word,
            WindingFinding(conclusion.finding),
        ),
        presentation,
    )
    if all(role == terminal for role, terminal in roles.items()):
        return text
    told = [
        presentation.text("conclusions.role", role=role, terminal=roles[role])
        for role in sorted(roles)
    ]
    return presentation.text("conclusions.roles", why=text, roles=told)


def _alike(conclusion: Conclusion, rule: AlikeRule, presentation: Presentation) -> str:
    if conclusion.finding == Reason.OVERLOAD:
        return presentation.text("conclusions.one_open", names=rule.of)
    if conclusion.finding == Reason.NO_RESISTANCE:
        return presentation.text("conclusions.one_shorted", names=rule.of)
    return _off(conclusion, presentation)


def _unbalance(conclusion: Conclusion, presentation: Presentation) -> str:
    if conclusion.finding == ConclusionFinding.OUT_OF_RANGE:
        return presentation.text("conclusions.no_such_supply")
    off = _off(conclusion, presentation)
    if conclusion.word is Verdict.UNDECIDABLE:
        return off
    factor = derating((conclusion.value_si or 0.0) * 100)
    return f"{off} {derating_why(factor, presentation)}"


def _off(conclusion: Conclusion, presentation: Presentation) -> str:
    (farthest,) = conclusion.names
    limit = presentation.exact(_exact(conclusion.high_si or 0.0), conclusion.unit)
    read, reason = conclusion_value(conclusion, presentation), Reason(conclusion.finding)
    return off_the_mean(farthest, read, limit, reason, presentation)


def _under_load(conclusion: Conclusion, rule: UnderLoadRule, presentation: Presentation) -> str:
    if conclusion.finding == ConclusionFinding.OUT_OF_RANGE:
        return presentation.text("conclusions.no_such_load")
    if conclusion.finding == Reason.NO_CAPACITANCE:
        return presentation.text("conclusions.no_current")
    why_ = _within(conclusion, presentation)
    return presentation.text("conclusions.under_load", volts=rule.volts, amps=rule.amps, why=why_)


def _within(conclusion: Conclusion, presentation: Presentation) -> str:
    """How what was computed lies to its limits."""
    found = _as_section(conclusion, presentation)
    value = conclusion_value(conclusion, presentation)
    match found.reason:
        case Reason.COUNT_UNKNOWN:
            example = presentation.amount("2 x 0.1", "V")
            return presentation.text("conclusions.count_unknown", value=value, example=example)
        case Reason.METER_TOO_COARSE:
            limits = limits_text(found.section, presentation)
            return presentation.text("conclusions.too_coarse", value=value, limits=limits)
        case Reason.WITHOUT_LIMITS:
            return presentation.text("conclusions.no_limits", value=value)
        case _:
            return why(found, presentation)


def _sensor(conclusion: Conclusion, presentation: Presentation) -> str:
    text, finding, names = presentation.text, conclusion.finding, conclusion.names
    if finding == Reason.OVERLOAD:
        return text("conclusions.sensor_open")
    if finding == Reason.NO_RESISTANCE:
        return text("conclusions.sensor_shorted")
    if finding == ConclusionFinding.NEVER_READS:
        return text("conclusions.never_reads", sensor=names[0])
    if finding == ConclusionFinding.BEYOND_CURVE:
        return text("conclusions.beyond_curve", sensor=names[0])
    if finding == ConclusionFinding.CLASS_NEEDED:
        return text("conclusions.class_needed", sensor=names[0])
    if finding == ConclusionFinding.CLASS_UNDEFINED:
        return text("conclusions.class_undefined", sensor=names[0], tolerance_class=names[1])
    if finding in list(CurveFinding):
        return _curve(conclusion, presentation)
    tolerance = conclusion.high_si or 0.0
    if len(names) > 1:
        allowed = class_allows(names[1], tolerance, presentation)
    else:
        allowed = text("conclusions.sound_sensor", sensor=names[0], kelvin=tolerance)
    needed = finding == ConclusionFinding.ACCURACY_NEEDED
    return deviation_why(
        conclusion.value_si or 0.0,
        conclusion.expanded_uncertainty_si,
        allowed,
        None if needed else Reason(finding),
        presentation,
    )


def _curve(conclusion: Conclusion, presentation: Presentation) -> str:
    name, *others = conclusion.names
    return curve_why(
        name,
        CurveVerdict(
            CurveFinding(conclusion.finding),
            {name: conclusion.value_si},
            {name: conclusion.expanded_uncertainty_si},
            tuple(others),
        ),
        presentation,
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


def _as_section(conclusion: Conclusion, presentation: Presentation) -> MeasurementVerdict:
    """So that what was computed is told like what was read."""
    c = conclusion
    unit = presentation.unit(c.unit)
    return MeasurementVerdict(
        section=Measurement(c.name, None, _limit(c.low_si), _limit(c.high_si), unit=unit),
        readings_si=(),
        lead_offset_si=Decimal(0),
        reading_si=None if c.value_si is None else _exact(c.value_si),
        resolution_si=_digit(c.value_si, unit),
        half_width_si=None,
        standard_uncertainty_si=None,
        expanded_uncertainty_si=c.expanded_uncertainty_si,
        guard_band_si=None,
        conformance_probability=None,
        verdict=c.word,
        reason=Reason(c.finding) if c.finding in list(Reason) else Reason.WITHOUT_LIMITS,
    )


def _digit(value_si: float | None, unit: str) -> Decimal | None:
    """The last digit that is told where no uncertainty says it."""
    if not value_si:
        return None
    shown = in_unit(_exact(value_si), unit)
    last = Decimal(1).scaleb(shown.adjusted() - _DIGITS_UNKNOWN + 1)
    if UNITS[unit].kind.startswith("temperature"):
        last = max(last, _FINEST_DEGREE)
    return last * UNITS[unit].scale


def _limit(si: float | None) -> Decimal | None:
    return None if si is None else _exact(si)


def _exact(si: float) -> Decimal:
    return Decimal(repr(si))
