"""The capacitance of a running capacitor, from the volts across and the amps through it."""

import math

from benchmeter.conformity.decision import at_least
from benchmeter.conformity.judgement import open_below_si
from benchmeter.conformity.uncertainty import COVERAGE_FACTOR
from benchmeter.conformity.verdict import (
    Measurement,
    Reason,
    Rule,
    Verdict,
)
from benchmeter.errors import InputError
from benchmeter.parts.capacitor import under_load
from benchmeter.parts.combined.evidence import (
    Evidence,
    decide,
    expanded,
    not_measured,
)
from benchmeter.parts.conclusion import (
    Conclusion,
    ConclusionFinding,
)
from benchmeter.parts.nameplate.label import parse_label
from benchmeter.parts.nameplate.nameplate import parse_givens
from benchmeter.parts.part_kind import UnderLoadRule
from benchmeter.parts.rated_part import (
    Rating,
)

__all__ = ["conclude_under_load"]

_LEAST_V = 1.0
_LEAST_A = 0.001


def conclude_under_load(rule: UnderLoadRule, evidence: Evidence) -> Conclusion:
    """C = I/(2πfV) against the label's section; f is taken as exact.

    The relative uncertainties of volts and amps add in quadrature (JCGM 100 cl. 5.1.6).
    """
    values = evidence.values((rule.volts, rule.amps))
    if values is None:
        return not_measured(rule.name)
    volts, amps = values
    section = next(s for s in _label(evidence).sections if s.name == rule.section)
    frequency = parse_givens(evidence.kind, evidence.label).get(rule.frequency)
    if frequency is None or frequency.value_si is None:
        return _cannot(rule, ConclusionFinding.FREQUENCY_NEEDED)
    frequency_hz = float(frequency.value_si)
    if abs(volts.si) < _LEAST_V:
        return _cannot(rule, ConclusionFinding.NO_VOLTAGE)
    per_amp = 1 / (2 * math.pi * frequency_hz * volts.si)
    try:
        farad = (
            amps.si * per_amp
            if abs(amps.si) < _LEAST_A
            else under_load(amps.si, volts.si, frequency_hz)
        )
    except InputError:
        return _cannot(rule, ConclusionFinding.OUT_OF_RANGE)
    u = None
    if volts.u_si is not None and amps.u_si is not None:
        u = math.hypot(amps.u_si * per_amp, farad * volts.u_si / volts.si)
    low, high = (None if end is None else float(end) for end in (section.low_si, section.high_si))
    word, reason = decide(
        farad,
        low,
        high,
        u,
        evidence.rule,
        count_unknown=volts.count_unknown or amps.count_unknown,
    )
    if _is_open(farad, section, u, evidence.rule):
        word, reason = Verdict.OPEN, Reason.NO_CAPACITANCE
    return Conclusion(
        rule.name,
        word,
        reason,
        value_si=farad,
        expanded_uncertainty_si=expanded(u),
        low_si=low,
        high_si=high,
        unit=section.unit,
    )


def _is_open(farad: float, section: Measurement, u: float | None, rule: Rule) -> bool:
    """As with what a meter shows: too coarse a clamp cannot tell that it is open."""
    guard = COVERAGE_FACTOR * (u or 0.0) if rule is Rule.GUARDED else 0.0
    low, open_below = float(section.low_si or 0), float(open_below_si(section) or 0)
    return farad <= open_below and not at_least(farad, low - guard)


def _label(evidence: Evidence) -> Rating:
    """The capacitor's own rating: that of a kind has one section per measurement."""
    rating = evidence.rating
    typed = rating.tolerance if rating.tolerance_from == "user" else ""
    return parse_label(evidence.label, typed)


def _cannot(rule: UnderLoadRule, finding: ConclusionFinding) -> Conclusion:
    return Conclusion(rule.name, Verdict.UNDECIDABLE, finding)
