"""What judging one part and judging a lot have in common at the command line."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from benchmeter.checking.typed_reading import TypedReading
from benchmeter.conformity.verdict import (
    Accuracy,
    CapacitorKind,
    Measurement,
    MeasurementVerdict,
    PartVerdict,
    Rating,
    Rule,
)
from benchmeter.parts import part_verdict
from benchmeter.parts.part_verdict import LeadOffsets
from benchmeter.quantities.units import UNITS
from benchmeter.words.numbers import exact_text, in_unit, span_in_unit
from benchmeter.words.verdicts import verdict_word, why

if TYPE_CHECKING:  # not for a capacitor by its label: that must start fast
    from benchmeter.parts.part_kind import PartKind

__all__ = [
    "Terms",
    "conclusions_document",
    "judge_shown",
    "label_measure",
    "offset_words",
    "section_document",
    "section_words",
    "unit_number",
    "unit_span",
]

_ASIDE = {"C", "COM", "COMMON"}


@dataclass(frozen=True, slots=True)
class Terms:
    """By what a part is judged, from the options of the command.

    Attributes:
        kind: of the part; None: a capacitor by its label.
        tolerance: as typed, for labels that give none.
    """

    kind: "PartKind | None"
    rating: Rating
    tolerance: str
    accuracy: Accuracy | None
    rule: Rule
    offsets: LeadOffsets


def section_words(text: str) -> str:
    """The name of a section in capitals, without the common terminal: C-Herm is HERM."""
    words = text.upper().replace("-", " ").replace("/", " ").split()
    return " ".join(w for w in words if w not in _ASIDE)


def label_measure(kind: "PartKind") -> str:
    """The name of the measurement whose sections the label of a capacitor gives; "" for none."""
    from benchmeter.parts.part_kind import InLabel

    return next((m.name for m in kind.measures if isinstance(m.limits, InLabel)), "")


def judge_shown(
    terms: Terms, rating: Rating, shown: Sequence[tuple[Measurement, Sequence[TypedReading]]]
) -> PartVerdict:
    """The verdict on a part from what was typed for each section."""
    kind = terms.kind or CapacitorKind.RUN  # of either kind nothing is concluded
    return part_verdict.judge_shown(
        kind, rating, shown, terms.accuracy, rule=terms.rule, offsets=terms.offsets
    )


def offset_words(offsets: LeadOffsets) -> list[str]:
    """A line for each that is not zero."""
    found = ((offsets.farad, "µF"), (offsets.ohm, "Ω"))
    return [
        f"the leads alone read {exact_text(si, unit)} {unit}, which is subtracted"
        for si, unit in found
        if si
    ]


def section_document(s: MeasurementVerdict) -> dict[str, Any]:
    """A section's verdict as JSON; numbers in its unit."""
    section, unit = s.section, s.section.unit
    return {
        "name": section.name,
        "unit": unit,
        "rated": unit_number(section.rated_si, unit),
        "low": unit_number(section.low_si, unit),
        "high": unit_number(section.high_si, unit),
        "reading": unit_number(s.reading_si, unit),
        "expanded_uncertainty": unit_span(s.expanded_uncertainty_si, unit),
        "conformance_probability": s.conformance_probability,
        "verdict": verdict_word(s.verdict),
        "why": why(s),
    }


def conclusions_document(verdict: PartVerdict, kind: "PartKind") -> list[dict[str, Any]]:
    """What the sections say together, as JSON; numbers in the unit of each conclusion."""
    from benchmeter.words.conclusions import conclusion_why

    rules = {rule.name: rule for rule in kind.conclusions}
    return [
        {
            "name": c.name,
            "verdict": verdict_word(c.word),
            "why": conclusion_why(c, rules[c.name]),
            "value": unit_number(c.value_si, c.unit),
            "unit": c.unit,
            "expanded_uncertainty": unit_span(c.expanded_uncertainty_si, c.unit),
            "low": unit_number(c.low_si, c.unit),
            "high": unit_number(c.high_si, c.unit),
            **({"terminals": c.terminals} if c.terminals else {}),
        }
        for c in verdict.conclusions
    ]


def unit_number(value_si: Decimal | float | None, unit: str) -> float | None:
    """In that unit. A decimal keeps its digits: 4.7, not 4.699999999999999."""
    if value_si is None:
        return None
    return float(in_unit(_decimal(value_si), unit) if unit in UNITS else value_si)


def unit_span(width_si: Decimal | float | None, unit: str) -> float | None:
    """A width, such as an uncertainty, in that unit: without its zero point."""
    if width_si is None:
        return None
    return float(span_in_unit(_decimal(width_si), unit) if unit in UNITS else width_si)


def _decimal(value: Decimal | float) -> Decimal:
    return value if isinstance(value, Decimal) else Decimal(repr(float(value)))
