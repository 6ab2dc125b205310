"""A temperature sensor against a probe beside it: by its class, or by its curve."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from benchmeter.conformity.decision import at_least
from benchmeter.conformity.uncertainty import COVERAGE_FACTOR, half_width, standard_uncertainty
from benchmeter.conformity.verdict import (
    Reason,
    Rule,
    Verdict,
)
from benchmeter.errors import InputError, WorldError
from benchmeter.motors.windings import ASSUMED_ACCURACY
from benchmeter.parts.combined.evidence import (
    Evidence,
    Value,
    decide,
    expanded,
    not_measured,
)
from benchmeter.parts.conclusion import (
    AnyFinding,
    Conclusion,
    ConclusionFinding,
)
from benchmeter.parts.nameplate.nameplate import parse_givens
from benchmeter.parts.part_kind import SensorRule, sensor_of
from benchmeter.quantities.temperature import ZERO_CELSIUS_K
from benchmeter.quantities.units import UNITS
from benchmeter.sensors.curves import thermistors
from benchmeter.sensors.resistance_curves import Platinum, Thermistor
from benchmeter.sensors.thermistor_check import (
    TOLERANCE_C,
    CurveFinding,
    check_thermistor,
)
from benchmeter.sensors.thermocouples import Thermocouple

__all__ = ["ASSUMED_PROBE_C", "conclude_sensor"]

ASSUMED_PROBE_C = 1.0
"""Half-width of a thermometer that says nothing of itself, ±kelvin; common practice, no source."""


@dataclass(frozen=True, slots=True)
class _Beside:
    """A sensor and what is beside it, in the sensor's unit (Ω, mV), °C and kelvin.

    Attributes:
        u, probe_u_c: standard uncertainties, assumed where the accuracy is not known.
        known: none of them is assumed.
        count_unknown: one is not known for want of a count's worth.
    """

    rule: SensorRule
    decision: Rule
    reading: float
    u: float
    true_c: float
    probe_u_c: float
    known: bool
    count_unknown: bool


def conclude_sensor(rule: SensorRule, evidence: Evidence) -> Conclusion:
    """The verdict on a sensor; what it is off by is the value, in kelvin.

    Without the accuracy of meter and probe a sensor within its tolerance is good, one that is bad
    even for `ASSUMED_ACCURACY` and `ASSUMED_PROBE_C` is bad, and nothing is said in between.

    Source: IEC 60751, IEC 60584-1 (classes); thermistors: see `thermistor_check`.
    """
    if evidence.word(rule.reading) is Verdict.OPEN:
        return Conclusion(rule.name, Verdict.OPEN, Reason.OVERLOAD)
    reading, probe = evidence.value(rule.reading), evidence.value(rule.probe)
    if reading is None and evidence.word(rule.reading) is Verdict.SHORTED:
        return Conclusion(rule.name, Verdict.SHORTED, Reason.NO_RESISTANCE)
    if reading is None or probe is None:
        return not_measured(rule.name)
    givens = parse_givens(evidence.kind, evidence.label)
    try:
        sensor = sensor_of(evidence.kind, givens[rule.sensor].word)
    except WorldError:
        return _cannot(rule, ConclusionFinding.SENSOR_UNKNOWN)
    if reading.verdict.section.quantity.kind != UNITS[sensor.unit].kind:
        return _cannot(rule, ConclusionFinding.OTHER_MEASURE)
    if isinstance(sensor, Thermocouple):
        junction = evidence.value(rule.junction) if rule.junction else None
        if junction is None:
            missing = not_measured(rule.name)
            return missing if rule.junction else _cannot(rule, ConclusionFinding.JUNCTION_NEEDED)
        beside = _beside(rule, evidence, 1e3, (reading, probe, junction))
        class_name = givens[rule.sensor_class].word if rule.sensor_class in givens else ""
        return _thermocouple(sensor, class_name, beside, junction)
    if reading.si <= 0:
        return Conclusion(rule.name, Verdict.SHORTED, Reason.NO_RESISTANCE)
    beside = _beside(rule, evidence, 1.0, (reading, probe))
    if isinstance(sensor, Thermistor):
        own = {k: c for k, c in evidence.kind.curves.items() if isinstance(c, Thermistor)}
        return _by_curve(sensor, {**thermistors(), **own}, beside)
    class_name = givens[rule.sensor_class].word if rule.sensor_class in givens else ""
    return _platinum(sensor, class_name, beside)


def _platinum(sensor: Platinum, class_name: str, beside: _Beside) -> Conclusion:
    try:
        shown_c = sensor.temperature_c(beside.reading)
    except InputError:
        return _never_reads(beside.rule, sensor.title)
    u_c = math.hypot(beside.u / sensor.per_kelvin(shown_c), beside.probe_u_c)
    return _by_class(sensor, class_name, shown_c, u_c, beside)


def _thermocouple(
    sensor: Thermocouple, class_name: str, beside: _Beside, junction: Value
) -> Conclusion:
    junction_c = junction.si - ZERO_CELSIUS_K
    try:
        at_terminals = sensor.per_kelvin(junction_c)
    except InputError:
        return _cannot(beside.rule, ConclusionFinding.BEYOND_CURVE, sensor.title)
    emf_u = math.hypot(beside.u, at_terminals * _probe_u(junction))

    def judged(emf_mv: float) -> Conclusion:
        try:
            shown_c = sensor.temperature_c(emf_mv, junction_c)
        except InputError:
            return _never_reads(beside.rule, sensor.title)
        u_c = math.hypot(emf_u / sensor.per_kelvin(shown_c), beside.probe_u_c)
        return _by_class(sensor, class_name, shown_c, u_c, beside)

    found = judged(beside.reading)
    if found.word is Verdict.FAIL and judged(-beside.reading).word is not Verdict.FAIL:
        return _cannot(beside.rule, ConclusionFinding.LEADS_EXCHANGED, sensor.title)
    return found


def _by_class(
    sensor: Platinum | Thermocouple, class_name: str, shown_c: float, u_c: float, beside: _Beside
) -> Conclusion:
    if not class_name:
        return _cannot(beside.rule, ConclusionFinding.CLASS_NEEDED, sensor.title)
    try:
        tolerance = sensor.tolerance_c(class_name, beside.true_c)
    except InputError:
        return _cannot(beside.rule, ConclusionFinding.CLASS_UNDEFINED, sensor.title, class_name)
    deviation = shown_c - beside.true_c
    verdict = _decide(deviation, tolerance, u_c, beside)
    return _with_limits(beside, verdict, deviation, tolerance, u_c, (sensor.title, class_name))


def _by_curve(sensor: Thermistor, curves: Mapping[str, Thermistor], beside: _Beside) -> Conclusion:
    name = next(key for key, curve in curves.items() if curve == sensor)
    try:
        found = check_thermistor(
            name,
            curves,
            beside.reading,
            beside.true_c,
            meter_u_ohm=beside.u,
            probe_u_c=beside.probe_u_c,
        )
    except InputError:
        return _cannot(beside.rule, ConclusionFinding.BEYOND_CURVE, sensor.title)
    deviation, u = found.deviations_c[name], found.expanded_uncertainty_c[name]
    u_c = None if u is None else u / COVERAGE_FACTOR
    verdict: tuple[Verdict, AnyFinding] = _WORD_OF_CURVE[found.finding], found.finding
    if beside.count_unknown:
        verdict = Verdict.UNDECIDABLE, Reason.COUNT_UNKNOWN
    elif found.finding is CurveFinding.FITS and deviation is not None and u_c is not None:
        verdict = _fitting(deviation, u_c, beside)
    told = verdict[1] == found.finding  # the sentence is about the curves
    others = tuple(key for key in found.possible if key != name) if told else ()
    return _with_limits(beside, verdict, deviation, TOLERANCE_C, u_c, (name, *others))


_WORD_OF_CURVE = {
    CurveFinding.FITS: Verdict.PASS,
    CurveFinding.OTHER_CURVE: Verdict.FAIL,
    CurveFinding.NO_CURVE: Verdict.FAIL,
    CurveFinding.CANNOT_TELL: Verdict.UNDECIDABLE,
}


def _fitting(deviation: float, u_c: float, beside: _Beside) -> tuple[Verdict, AnyFinding]:
    """The verdict on a thermistor that can be of no other curve.

    A probe that is too coarse for the tolerance has told the curves apart all the same.
    """
    word, finding = _decide(deviation, TOLERANCE_C, u_c, beside)
    if word is Verdict.PASS and beside.known:
        return word, CurveFinding.FITS
    if finding != Reason.METER_TOO_COARSE:
        return word, finding
    if at_least(TOLERANCE_C, abs(deviation)):
        return Verdict.CONDITIONAL_PASS, Reason.NEAR_LIMIT_INSIDE
    return Verdict.CONDITIONAL_FAIL, Reason.NEAR_LIMIT_OUTSIDE


def _decide(
    deviation: float, tolerance: float, u_c: float, beside: _Beside
) -> tuple[Verdict, AnyFinding]:
    word, reason = decide(
        deviation,
        -tolerance,
        tolerance,
        u_c if beside.known else None,
        beside.decision,
        count_unknown=beside.count_unknown,
    )
    certain = beside.known or not at_least(tolerance + COVERAGE_FACTOR * u_c, abs(deviation))
    if word is Verdict.FAIL and not certain:
        return Verdict.UNDECIDABLE, ConclusionFinding.ACCURACY_NEEDED
    return word, reason


def _with_limits(
    beside: _Beside,
    verdict: tuple[Verdict, AnyFinding],
    deviation: float | None,
    tolerance: float,
    u_c: float | None,
    names: tuple[str, ...],
) -> Conclusion:
    return Conclusion(
        beside.rule.name,
        *verdict,
        value_si=deviation,
        expanded_uncertainty_si=expanded(u_c) if beside.known else None,
        low_si=-tolerance,
        high_si=tolerance,
        unit="K",
        names=names,
    )


def _beside(
    rule: SensorRule, evidence: Evidence, per_si: float, values: Sequence[Value]
) -> _Beside:
    reading, probe = values[0], values[1]
    return _Beside(
        rule=rule,
        decision=evidence.rule,
        reading=reading.si * per_si,
        u=_meter_u(reading) * per_si,
        true_c=probe.si - ZERO_CELSIUS_K,
        probe_u_c=_probe_u(probe),
        known=all(v.u_si is not None for v in values),
        count_unknown=any(v.count_unknown for v in values),
    )


def _meter_u(reading: Value) -> float:
    if reading.u_si is not None:
        return reading.u_si
    digit = reading.verdict.resolution_si
    assumed = ASSUMED_ACCURACY if digit else replace(ASSUMED_ACCURACY, counts=Decimal(0))
    width = half_width(Decimal(reading.si), assumed, digit)
    assert width is not None  # the worth of a count is known, or there are none
    return standard_uncertainty(width, 0.0)


def _probe_u(probe: Value) -> float:
    return standard_uncertainty(ASSUMED_PROBE_C, 0.0) if probe.u_si is None else probe.u_si


def _cannot(rule: SensorRule, finding: ConclusionFinding, *names: str) -> Conclusion:
    return Conclusion(rule.name, Verdict.UNDECIDABLE, finding, names=names)


def _never_reads(rule: SensorRule, title: str) -> Conclusion:
    return Conclusion(rule.name, Verdict.FAIL, ConclusionFinding.NEVER_READS, names=(title,))
