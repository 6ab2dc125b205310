"""What the file of a kind must declare: the sentences that a verdict, and a screen, will need.

Kinds in records of earlier programs lack some of them, and are judged all the same.
"""

from collections.abc import Iterator

from benchmeter.errors import Message
from benchmeter.parts.part_kind import (
    Between,
    DifferenceRule,
    EvidenceNeeded,
    FromPower,
    Hazard,
    InLabel,
    Limits,
    MeasurementSpec,
    PartKind,
    Rule,
    ShareOfGiven,
    Subject,
    UnderLoadRule,
)

__all__ = ["undeclared"]


def undeclared(kind: PartKind) -> Iterator[Message]:
    """What is missing or idle, each with the place of its `field` in the file."""
    yield from _needed("", about=kind.about)
    yield from _wherever(bool(kind.hazards), "caution", kind.caution)
    if _to_be_seen_dead(kind) and not kind.dead_between:
        yield Message("parts.dead_between_missing", {"field": "dead_between"})
    for i, measure in enumerate(kind.measures):
        yield from _of_measurement(measure, f"measures[{i}].")
    for i, rule in enumerate(kind.conclusions):
        yield from _of_conclusion(rule, f"conclusions[{i}].")
    if all(said.subject is not Subject.PART for said in (*kind.measures, *kind.conclusions)):
        yield Message("parts.nothing_of_part", {"field": "measures"})


def _to_be_seen_dead(kind: PartKind) -> bool:
    """Whether it may hold volts; the terminals of a capacitor's sections its label names."""
    held = Hazard.LIVE in kind.hazards or Hazard.STORED_CHARGE in kind.hazards
    return held and not any(isinstance(m.limits, InLabel) for m in kind.measures)


def _of_measurement(measure: MeasurementSpec, at: str) -> Iterator[Message]:
    limits, overload = measure.limits, measure.overload
    opens = overload == "open" or isinstance(limits, InLabel)
    yield from _needed(at, source=measure.source)
    yield from _wherever(bool(measure.hazards), f"{at}caution", measure.caution)
    yield from _exactly(_has_low(limits), f"{at}too_low", measure.too_low)
    yield from _exactly(_has_high(limits), f"{at}too_high", measure.too_high)
    yield from _exactly(opens, f"{at}open", measure.open)
    yield from _exactly(bool(measure.shorted_below), f"{at}shorted", measure.shorted)
    flows = bool(measure.idle_below or measure.needs) or limits is None
    if EvidenceNeeded.CURRENT_FLOWS in measure.evidence and not flows:
        yield Message("parts.current_unseen", {"field": f"{at}evidence"})
    if EvidenceNeeded.TESTER_VOLTS in measure.evidence and measure.graded_at is None:
        yield Message("parts.volts_unknown", {"field": f"{at}evidence"})
    passes = limits is not None or overload == "pass"
    yield from _exactly(passes, f"{at}pass_leaves", measure.pass_leaves)


def _of_conclusion(rule: Rule, at: str) -> Iterator[Message]:
    yield from _needed(at, source=rule.source, pass_leaves=rule.pass_leaves)
    match rule:
        case DifferenceRule():
            yield from _exactly(_has_low(rule.limits), f"{at}too_low", rule.too_low)
            yield from _exactly(_has_high(rule.limits), f"{at}too_high", rule.too_high)
        case UnderLoadRule():
            yield from _needed(at, too_low=rule.too_low, too_high=rule.too_high, open=rule.open)
        case _:
            yield from _needed(at, failure=rule.failure)


def _has_low(limits: Limits | None) -> bool:
    match limits:
        case None:
            return False
        case Between(low=low) | ShareOfGiven(low=low):
            return bool(low)
        case FromPower(tolerance=tolerance):
            return bool(tolerance)
    return True


def _has_high(limits: Limits | None) -> bool:
    match limits:
        case None:
            return False
        case Between(high=high) | ShareOfGiven(high=high):
            return bool(high)
    return True


def _needed(at: str, **texts: str) -> Iterator[Message]:
    for name, text in texts.items():
        yield from _wherever(True, f"{at}{name}", text)


def _wherever(needed: bool, field: str, text: str) -> Iterator[Message]:
    if needed and not text.strip():
        yield Message("parts.sentence_missing", {"field": field})


def _exactly(needed: bool, field: str, text: str) -> Iterator[Message]:
    yield from _wherever(needed, field, text)
    if text and not needed:
        yield Message("parts.sentence_idle", {"field": field})
