"""The verdict on a whole part in words: what decided, what it means, what part it is."""

from decimal import Decimal
from typing import TYPE_CHECKING

from benchmeter.conformity.verdict import (
    Measurement,
    Reason,
    Verdict,
)
from benchmeter.parts.conclusion import (
    Conclusion,
    PartVerdict,
)
from benchmeter.parts.part_verdict import decides
from benchmeter.parts.rated_part import CapacitorKind, Rating
from benchmeter.quantities.units import UNITS
from benchmeter.words.presentation import PLAIN, Presentation
from benchmeter.words.verdicts import limits_text, reason_without_value, why

if TYPE_CHECKING:  # a capacitor is judged without it, and at the command line that is felt
    from benchmeter.parts.conclusion import AnyFinding
    from benchmeter.parts.part_kind import MeasurementSpec, PartKind, Rule

__all__ = [
    "BAD",
    "beside_words",
    "conclusion_limits",
    "part_label",
    "part_why",
    "section_words",
]

BAD = {Verdict.FAIL, Verdict.OPEN, Verdict.SHORTED}
"""The part is bad beyond the meter's doubt."""

_ABOVE = (Reason.ABOVE, Reason.ABOVE_ACCURACY_UNKNOWN)


def part_why(
    verdict: PartVerdict, kind: "PartKind | CapacitorKind", presentation: Presentation = PLAIN
) -> str:
    """The reason of the section or conclusion that decides, and what it means if that is bad.

    A section is named where there are several. Of a part that is good a conclusion tells more: it
    speaks of several.
    """
    if verdict.seen is not None:
        seen, text = verdict.seen, presentation.text
        if seen.photo:
            return text("verdicts.why_seen_in_photo", words=seen.words, photo=seen.photo)
        return text("verdicts.why_seen", words=seen.words)
    bad = verdict.verdict in BAD
    deciding = (s for s in verdict.sections if s.verdict is verdict.verdict)
    decisive = next((s for s in deciding if decides(kind, s.section)), None)
    if decisive is None or verdict.verdict is Verdict.PASS:
        concluded = _concluded(verdict, kind, bad, presentation)
        if concluded or decisive is None:
            return concluded or reason_without_value(Reason.NOT_MEASURED, presentation)
    name = f"{decisive.section.name}: " if len(verdict.sections) > 1 else ""
    means = ""
    if bad and not isinstance(kind, CapacitorKind):
        means = _meaning(kind.measure_of(decisive.section.name), decisive.verdict, decisive.reason)
    return f"{name}{why(decisive, presentation)} {means}".strip()


def beside_words(
    verdict: PartVerdict, kind: "PartKind | CapacitorKind", presentation: Presentation = PLAIN
) -> list[tuple[str, str]]:
    """What was found beside the verdict on the part: its name, and a sentence or two."""
    if isinstance(kind, CapacitorKind):
        return []
    from benchmeter.parts.beside import beside
    from benchmeter.parts.conclusion import Conclusion
    from benchmeter.words.conclusion_words import conclusion_why

    told = []
    for one in beside(kind, verdict):
        found = one.found
        if isinstance(found, Conclusion):
            said = conclusion_why(found, one.said, presentation)  # type: ignore[arg-type]
            word, finding, unit = found.word, found.finding, found.unit
        else:
            said = why(found, presentation)
            word, finding, unit = found.verdict, found.reason, found.section.unit
        if one.above_si is not None:
            rated = presentation.exact(one.above_si, unit)
            means = presentation.text("verdicts.above_rated", rated=rated)
        else:
            means = _meaning(one.said, word, finding)
        code = f"verdicts.beside_{one.subject.value}"
        said = presentation.text(code, said=f"{said} {means}".strip())
        told.append((one.said.name, said))
    return told


def section_words(name: str, presentation: Presentation = PLAIN) -> str:
    """A section by its name; the only one of a capacitor has none."""
    return presentation.text("kinds.both_terminals") if name == "single" else name


def part_label(rating: Rating, kind: "PartKind") -> str:
    """What part it is: the label that told its kind, or the kind and what its label gives."""
    from benchmeter.parts.by_label import told_by_label

    if told_by_label(kind):
        return rating.text
    return ": ".join(filter(None, (kind.title, rating.text.strip())))


def conclusion_limits(conclusion: Conclusion, presentation: Presentation = PLAIN) -> str:
    """The limits of what was computed, with their unit; "" without any."""
    if conclusion.unit not in UNITS:
        return ""
    ends = (conclusion.low_si, conclusion.high_si)
    low, high = (None if end is None else Decimal(repr(end)) for end in ends)
    section = Measurement(conclusion.name, None, low, high, unit=conclusion.unit)
    return limits_text(section, presentation)


def _concluded(
    verdict: PartVerdict,
    kind: "PartKind | CapacitorKind",
    bad: bool,
    presentation: Presentation,
) -> str:
    if isinstance(kind, CapacitorKind):
        return ""
    rules = {r.name: r for r in kind.conclusions if r.subject == "part"}
    deciding = (c for c in verdict.conclusions if c.word is verdict.verdict)
    decisive = next((c for c in deciding if c.name in rules), None)
    if decisive is None:
        return ""
    rule = rules[decisive.name]
    from benchmeter.words.conclusion_words import conclusion_why

    said = conclusion_why(decisive, rule, presentation)
    means = _meaning(rule, decisive.word, decisive.finding) if bad else ""
    return f"{said} {means}".strip()


def _meaning(said: "MeasurementSpec | Rule", word: Verdict, finding: "AnyFinding") -> str:
    """What a bad one means, by the side that it is bad on; "" where the kind does not say it."""
    from benchmeter.parts.part_kind import DifferenceRule, MeasurementSpec, UnderLoadRule

    if not isinstance(said, MeasurementSpec | DifferenceRule | UnderLoadRule):
        return said.failure
    if word is Verdict.OPEN:
        return "" if isinstance(said, DifferenceRule) else said.open
    if word is Verdict.SHORTED:
        return said.shorted if isinstance(said, MeasurementSpec) else ""
    return said.too_high if finding in _ABOVE else said.too_low
