"""What judging one part and judging a lot have in common at the command line."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from benchmeter.conformity.judge import judge_section, without_value
from benchmeter.conformity.typed import TypedReading
from benchmeter.conformity.verdict import Accuracy, Rating, Reason, Rule, Section, SectionVerdict
from benchmeter.reporting.wording_verdict import verdict_word, why

__all__ = ["Terms", "in_microfarad", "judge_typed", "section_document", "section_words"]

_ASIDE = {"C", "COM", "COMMON"}


@dataclass(frozen=True, slots=True)
class Terms:
    """By what a part is judged, from the options of the command.

    Attributes:
        tolerance: as typed, for labels that give none.
        lead_offset_si: farad.
    """

    rating: Rating
    tolerance: str
    accuracy: Accuracy | None
    rule: Rule
    lead_offset_si: Decimal


def section_words(text: str) -> str:
    """The name of a section in capitals, without the common terminal: C-Herm is HERM."""
    words = text.upper().replace("-", " ").replace("/", " ").split()
    return " ".join(w for w in words if w not in _ASIDE)


def judge_typed(
    section: Section,
    shown: Sequence[TypedReading],
    accuracy: Accuracy | None,
    rule: Rule,
    offset_si: Decimal,
) -> SectionVerdict:
    """The verdict on a section from what was typed for it; nothing: not measured."""
    values = [r.value_si for r in shown if r.value_si is not None]
    if not values:
        reasons = [r.reason for r in shown if r.reason is not None]
        return without_value(section, reasons[0] if reasons else Reason.NOT_MEASURED)
    return judge_section(
        section,
        values,
        resolution_si=max(r.resolution_si for r in shown if r.resolution_si is not None),
        accuracy=accuracy,
        rule=rule,
        lead_offset_si=offset_si,
    )


def section_document(s: SectionVerdict) -> dict[str, Any]:
    """A section's verdict as JSON; numbers in µF."""
    return {
        "name": s.section.name,
        "unit": "µF",
        "rated": in_microfarad(s.section.rated_si),
        "low": in_microfarad(s.section.low_si),
        "high": in_microfarad(s.section.high_si),
        "reading": in_microfarad(s.reading_si),
        "expanded_uncertainty": in_microfarad(s.expanded_uncertainty_si),
        "conformance_probability": s.conformance_probability,
        "verdict": verdict_word(s.verdict),
        "why": why(s),
    }


def in_microfarad(farad: Decimal | float | None) -> float | None:
    """µF. A decimal keeps its digits: 4.7, not 4.699999999999999."""
    if farad is None:
        return None
    return float(farad * 10**6)
