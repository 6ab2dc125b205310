"""What the three pairs of a single-phase motor say together; see `windings`."""

import math
from dataclasses import replace
from decimal import Decimal

from benchmeter.conformity.verdict import (
    Accuracy,
    Verdict,
)
from benchmeter.errors import InputError
from benchmeter.motors.winding_pairs import Pair, PairReading
from benchmeter.motors.windings import judge_windings
from benchmeter.parts.combined.evidence import (
    Evidence,
    not_measured,
)
from benchmeter.parts.conclusion import (
    Conclusion,
    ConclusionFinding,
)
from benchmeter.parts.nameplate.nameplate import parse_givens
from benchmeter.parts.part_kind import WindingsRule

__all__ = ["conclude_windings"]


def conclude_windings(rule: WindingsRule, evidence: Evidence) -> Conclusion:
    """The verdict of `judge_windings`, with the residual in ohm."""
    readings: dict[Pair, PairReading] = {}
    for name, pair in rule.pairs.items():
        reading = _reading(name, evidence)
        if reading is None:
            return not_measured(rule.name)
        readings[frozenset(end.strip().upper() for end in pair.split("-"))] = reading
    known, accuracy = _accuracy(rule, evidence)
    if not known:
        readings = {pair: replace(r, half_width_ohm=None) for pair, r in readings.items()}
    try:
        found = judge_windings(readings, accuracy, _leads(rule, evidence), _cold(rule, evidence))
    except InputError:  # the pairs are what they are without the leads already
        finding = ConclusionFinding.LESS_THAN_LEADS
        return Conclusion(rule.name, Verdict.UNDECIDABLE, finding)
    return Conclusion(
        rule.name,
        found.verdict,
        found.finding,
        value_si=found.residual_ohm,
        expanded_uncertainty_si=found.expanded_uncertainty_ohm,
        unit="Ω",
        terminals=dict(found.terminals or {}),
    )


def _reading(name: str, evidence: Evidence) -> PairReading | None:
    if evidence.is_open(name):
        return PairReading(None)
    value = evidence.value(name)
    if value is None:
        return PairReading(Decimal(0)) if evidence.word(name) is Verdict.SHORTED else None
    # The width that gives this u, so that the scatter of repeated readings counts too.
    width = None if value.u_si is None else value.u_si * math.sqrt(3)
    return PairReading(value.verdict.reading_si, value.verdict.resolution_si, width)


def _accuracy(rule: WindingsRule, evidence: Evidence) -> tuple[bool, Accuracy | None]:
    """Whether each pair's uncertainty is known, and the accuracy to judge by."""
    values = [value for name in rule.pairs if (value := evidence.value(name)) is not None]
    if any(v.u_si is None and not v.count_unknown for v in values):
        return False, None
    return True, next((v.line for v in values if v.count_unknown), evidence.accuracy)


def _cold(rule: WindingsRule, evidence: Evidence) -> bool | None:
    if not rule.state:
        return None
    state = parse_givens(evidence.kind, evidence.label).get(rule.state)
    return state is not None and state.word == "cold"


def _leads(rule: WindingsRule, evidence: Evidence) -> Decimal | None:
    """0 where each pair is without its leads; None where they were not subtracted."""
    verdicts = [evidence.sections[name] for name in rule.pairs]
    subtracted = all(v.lead_offset_si for v in verdicts if v.reading_si is not None)
    return Decimal(0) if subtracted else None
