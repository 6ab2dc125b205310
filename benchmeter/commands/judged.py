"""What judging one part and judging a lot have in common in JSON."""

from typing import TYPE_CHECKING, Any

from benchmeter.conformity.lead_offset import LeadOffsets
from benchmeter.conformity.verdict import (
    MeasurementVerdict,
)
from benchmeter.parts.conclusion import (
    PartVerdict,
)
from benchmeter.reports.plain_numbers import unit_number, unit_span
from benchmeter.words.numbers import exact_text
from benchmeter.words.presentation import Presentation
from benchmeter.words.verdicts import why

if TYPE_CHECKING:  # not for a capacitor by its label: that must start fast
    from benchmeter.parts.part_kind import PartKind

__all__ = ["beside_document", "conclusions_document", "offset_words", "section_document"]


def offset_words(offsets: LeadOffsets, say: Presentation) -> list[str]:
    """What was taken off for the leads: a line for each that is not zero."""
    found = ((offsets.farad, "µF"), (offsets.ohm, "Ω"))
    return [
        say.text("commands.leads_subtracted", reading=f"{exact_text(si, unit)} {unit}")
        for si, unit in found
        if si
    ]


def section_document(s: MeasurementVerdict, say: Presentation) -> dict[str, Any]:
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
        "verdict": s.verdict.value,
        "why": why(s, say),
    }


def beside_document(
    verdict: PartVerdict, kind: "PartKind", say: Presentation
) -> dict[str, list[dict[str, Any]]]:
    """What was found beside the verdict, as JSON; nothing where there is nothing."""
    from benchmeter.parts.beside import beside
    from benchmeter.words.parts import beside_words

    told = zip(beside(kind, verdict), beside_words(verdict, kind, say), strict=True)
    found = [
        {
            "name": name,
            "subject": one.subject.value,
            "remark": one.above_si is not None,
            "why": said,
        }
        for one, (name, said) in told
    ]
    return {"beside": found} if found else {}


def conclusions_document(
    verdict: PartVerdict, kind: "PartKind", say: Presentation
) -> list[dict[str, Any]]:
    """What the sections say together, as JSON; numbers in the unit of each conclusion."""
    from benchmeter.words.conclusion_words import conclusion_why

    rules = {rule.name: rule for rule in kind.conclusions}
    return [
        {
            "name": c.name,
            "verdict": c.word.value,
            "why": conclusion_why(c, rules[c.name], say),
            "value": unit_number(c.value_si, c.unit),
            "unit": c.unit,
            "expanded_uncertainty": unit_span(c.expanded_uncertainty_si, c.unit),
            "low": unit_number(c.low_si, c.unit),
            "high": unit_number(c.high_si, c.unit),
            **({"terminals": c.terminals} if c.terminals else {}),
        }
        for c in verdict.conclusions
    ]
