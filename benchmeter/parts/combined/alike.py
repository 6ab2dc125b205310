"""Values that are compared with each other: windings, poles, line voltages, switch points."""

import math
from collections.abc import Sequence
from decimal import Decimal

from benchmeter.conformity.verdict import (
    Reason,
    Verdict,
)
from benchmeter.errors import InputError
from benchmeter.motors.voltage_unbalance import deviation_u, farthest, voltage_unbalance
from benchmeter.parts.combined.evidence import (
    Evidence,
    Value,
    decide,
    expanded,
    not_measured,
)
from benchmeter.parts.conclusion import (
    Conclusion,
    ConclusionFinding,
)
from benchmeter.parts.nameplate.nameplate import parse_givens
from benchmeter.parts.part_kind import AlikeRule, DifferenceRule, UnbalanceRule
from benchmeter.parts.rating import limits_of, tolerance_sides, written_si
from benchmeter.quantities.label_text import EXACTLY
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.units import UNITS

__all__ = ["conclude_alike", "conclude_difference", "conclude_unbalance"]


def conclude_alike(rule: AlikeRule, evidence: Evidence) -> Conclusion:
    """Whether the greatest deviation from the mean is within the limit.

    Three pairs in ohm give what `judge_balance` gives.
    """
    if any(evidence.is_open(name) for name in rule.of):
        return Conclusion(rule.name, Verdict.OPEN, Reason.OVERLOAD)
    if any(evidence.word(name) is Verdict.SHORTED for name in rule.of):
        return Conclusion(rule.name, Verdict.SHORTED, Reason.NO_RESISTANCE)
    values = evidence.values(rule.of)
    if values is None:
        return not_measured(rule.name)
    if _ohms(values) and min(v.si for v in values) <= 0:
        return Conclusion(rule.name, Verdict.SHORTED, Reason.NO_RESISTANCE)
    unit = values[0].verdict.section.unit
    sides = tolerance_sides(evidence.kind, rule.most, unit, {})
    scale = math.fsum(v.si for v in values) / len(values) if sides.relative else 1.0
    if scale <= 0:
        finding = ConclusionFinding.NOTHING_TO_COMPARE
        return Conclusion(rule.name, Verdict.UNDECIDABLE, finding)
    written = "%" if sides.relative else _of_difference(unit)
    return _deviation(rule, values, scale, float(min(sides.high, -sides.low)), written, evidence)


def conclude_unbalance(rule: UnbalanceRule, evidence: Evidence) -> Conclusion:
    """The unbalance of three line voltages.

    Source: NEMA MG 1 cl. 12.45 and 14.36 (from memory).
    """
    values = evidence.values(rule.of)
    if values is None:
        return not_measured(rule.name)
    try:
        voltage_unbalance([v.si for v in values])
    except InputError:
        dead = max(abs(v.si) for v in values) < 1
        finding = ConclusionFinding.NO_VOLTAGE if dead else ConclusionFinding.OUT_OF_RANGE
        return Conclusion(rule.name, Verdict.UNDECIDABLE, finding)
    mean = math.fsum(v.si for v in values) / len(values)
    most = float(written_si(rule.most, "%") or 0)
    return _deviation(rule, values, mean, most, "%", evidence)


def conclude_difference(rule: DifferenceRule, evidence: Evidence) -> Conclusion:
    """One value less another, of independent readings (JCGM 100 cl. 5.1.2)."""
    values = evidence.values((rule.of, rule.less))
    if values is None:
        return not_measured(rule.name)
    # Readings are decimals of a few digits: what is left of binary fractions is no difference.
    of, less = (v.verdict.reading_si or Decimal(0) for v in values)
    difference = float(EXACTLY.subtract(of, less))
    u = _combined(values)
    givens = parse_givens(evidence.kind, evidence.label)
    try:
        bounds = limits_of(evidence.kind, rule.limits, rule.unit, givens)
    except InputError:
        return Conclusion(rule.name, Verdict.UNDECIDABLE, ConclusionFinding.RANGE_NEEDED)
    low, high = (None if end is None else float(end) for end in (bounds.low_si, bounds.high_si))
    word, reason = decide(
        difference, low, high, u, evidence.rule, count_unknown=any(v.count_unknown for v in values)
    )
    if low is None and high is None:  # that the label may give, and does not
        word, reason = Verdict.MEASURED, Reason.WITHOUT_LIMITS
    return Conclusion(
        rule.name,
        word,
        reason,
        value_si=difference,
        expanded_uncertainty_si=expanded(u),
        low_si=low,
        high_si=high,
        unit=_of_difference(rule.unit),
    )


def _deviation(
    rule: AlikeRule | UnbalanceRule,
    values: Sequence[Value],
    scale: float,
    most: float,
    unit: str,
    evidence: Evidence,
) -> Conclusion:
    """The verdict on the greatest deviation from the mean over `scale`: the mean, or 1."""
    numbers, us = [v.si for v in values], [v.u_si for v in values]
    far = farthest(numbers)
    deviation = abs(numbers[far] - math.fsum(numbers) / len(numbers)) / scale
    known = [u for u in us if u is not None]
    u = deviation_u(numbers, known) / scale if len(known) == len(us) else None
    word, reason = decide(
        deviation, -most, most, u, evidence.rule, count_unknown=any(v.count_unknown for v in values)
    )
    return Conclusion(
        rule.name,
        word,
        reason,
        value_si=deviation,
        expanded_uncertainty_si=expanded(u),
        high_si=most,
        unit=unit,
        names=(rule.of[far],),
    )


def _ohms(values: Sequence[Value]) -> bool:
    ohms = Quantity.RESISTANCE.kind
    return all(v.verdict.section.quantity.kind == ohms for v in values)


def _combined(values: Sequence[Value]) -> float | None:
    known = [v.u_si for v in values if v.u_si is not None]
    return math.hypot(*known) if len(known) == len(values) else None


def _of_difference(unit: str) -> str:
    return f"Δ{unit}" if f"Δ{unit}" in UNITS else unit
