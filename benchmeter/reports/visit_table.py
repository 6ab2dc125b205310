"""The facts of a visit, with those of its parts: as JSON and as lines of text."""

from collections.abc import Mapping
from typing import Any

from benchmeter.session.visit import PartFact, Visit, VisitFact
from benchmeter.words.presentation import PLAIN, Presentation
from benchmeter.words.visit_words import origin_words, visit_rows

__all__ = ["visit_json", "visit_lines"]


def visit_json(visit: Visit, parts: Mapping[int, str]) -> dict[str, Any]:
    """Each fact by its name; None: not stated.

    Args:
        parts: names of the parts that were checked, by the number of their check.
    """
    return {
        **{fact.value: getattr(visit, fact) or None for fact in VisitFact},
        "ambient_c": visit.ambient_c,
        "parts": [
            {
                "check": check,
                "part": name,
                **{fact.value: getattr(visit.part(check), fact) or None for fact in PartFact},
            }
            for check, name in parts.items()
        ],
    }


def visit_lines(
    visit: Visit, parts: Mapping[int, str], presentation: Presentation = PLAIN
) -> list[str]:
    """A line a fact, then a line a part; `parts` as above."""
    lines = [f"{title}: {value}" for title, value in visit_rows(visit, presentation)]
    for check, name in parts.items():
        part = presentation.text("visit.check", check=check, part=name)
        lines.append(f"{part}: {origin_words(visit.part(check), presentation)}")
    return lines
