"""Kinds of parts in words: what is measured where, and what was taken for granted."""

from collections.abc import Mapping

from benchmeter.conformity.verdict import Verdict
from benchmeter.files.resources import resource
from benchmeter.parts.by_label import told_by_label
from benchmeter.parts.conclusion import PartVerdict
from benchmeter.parts.kind_catalogue import read_part_kind
from benchmeter.parts.nameplate.nameplate import NameplateValue, parse_givens, tolerance_names
from benchmeter.parts.part_kind import (
    DifferenceRule,
    FromPower,
    MeasurementSpec,
    NameplateField,
    OfGiven,
    PartKind,
    ShareOfGiven,
)
from benchmeter.parts.rated_part import (
    Rating,
)
from benchmeter.words.parts import section_words
from benchmeter.words.presentation import PLAIN, Presentation

__all__ = [
    "cautions",
    "cautions_at",
    "cautions_of_step",
    "defaults_taken",
    "given_words",
    "kind_in_full",
    "limit_sources",
    "pass_leaves",
    "taken_for_granted",
]

_GOOD = (Verdict.PASS, Verdict.CONDITIONAL_PASS)
_TOLERANCE_FROM = {
    "label": "kinds.tolerance_from_label",
    "user": "kinds.tolerance_from_user",
}


def taken_for_granted(
    kind: PartKind, rating: Rating, presentation: Presentation = PLAIN
) -> list[str]:
    """What the verdict on such a part rests on beside the readings, a line each."""
    found = []
    if rating.tolerance and rating.tolerance_from in _TOLERANCE_FROM:
        code = _TOLERANCE_FROM[rating.tolerance_from]
        found.append(presentation.text(code, tolerance=rating.tolerance))
    found += defaults_taken(kind, rating, presentation)
    found += limit_sources(kind, rating, presentation)
    return found


def defaults_taken(kind: PartKind, rating: Rating, presentation: Presentation = PLAIN) -> list[str]:
    """What the label does not give and the kind fills in, with its source."""
    # Of a kind with conclusions the rating's text holds a tolerance that was typed aside.
    aside = rating.tolerance_from == "user" and not kind.conclusions
    found = parse_givens(kind, rating.text, rating.tolerance if aside else "")
    idle = _idle_tolerances(kind, found)
    for section in rating.sections:
        limits = kind.measure_of(section.name).limits
        if section.unrated and isinstance(limits, ShareOfGiven):
            idle.add(limits.given)  # no limit that hangs on it was applied
    return [
        presentation.text(
            "kinds.default",
            title=given.title,
            value=value.text,
            source=given.source or presentation.text("kinds.no_source"),
        )
        for given in kind.givens
        if (value := found.get(given.name)) is not None
        and value.from_default
        and given.name not in idle
    ]


def _idle_tolerances(kind: PartKind, found: Mapping[str, NameplateValue]) -> set[str]:
    """Tolerances of what is given as a range, or not at all: they bound nothing."""
    limits = [measure.limits for measure in kind.measures]
    limits += [rule.limits for rule in kind.conclusions if isinstance(rule, DifferenceRule)]
    in_use = {
        limit.tolerance
        for limit in limits
        if isinstance(limit, FromPower)
        or (
            isinstance(limit, OfGiven)
            and limit.given in found
            and found[limit.given].low_si is None
        )
    }
    return tolerance_names(kind) - in_use


def limit_sources(kind: PartKind, rating: Rating, presentation: Presentation = PLAIN) -> list[str]:
    """Where the limits come from, the measurements of one source together."""
    names: dict[str, list[str]] = {}
    for section in rating.sections:
        measure = kind.measure_of(section.name)
        if measure.limits is not None and measure.source:
            told = section_words(section.name, presentation)
            names.setdefault(measure.source, []).append(told)
    for rule in kind.conclusions:
        if rule.source:
            names.setdefault(rule.source, []).append(rule.name)
    return [
        presentation.text("kinds.limits_of", names=", ".join(of), source=source)
        for source, of in names.items()
    ]


def kind_in_full(kind: PartKind) -> PartKind:
    """The kind with its texts: where a label alone told it, the program's own of that name."""
    return read_part_kind(resource(f"parts/{kind.name}.toml")) if told_by_label(kind) else kind


def pass_leaves(
    verdict: PartVerdict, kind: PartKind, presentation: Presentation = PLAIN
) -> list[str]:
    """What may be wrong for all that passed, each once."""
    told = kind_in_full(kind)
    names: dict[str, list[str]] = {}
    for section in verdict.sections:
        leaves = told.measure_of(section.section.name).pass_leaves
        if section.verdict in _GOOD and leaves:
            name = section_words(section.section.name, presentation)
            names.setdefault(leaves, []).append(name)
    rules = {rule.name: rule.pass_leaves for rule in kind.conclusions}
    for conclusion in verdict.conclusions:
        if conclusion.word in _GOOD and rules.get(conclusion.name):
            names.setdefault(rules[conclusion.name], []).append(conclusion.name)
    if len(names) == 1:
        return list(names)
    return [
        presentation.text("kinds.leaves", names=", ".join(of), leaves=leaves)
        for leaves, of in names.items()
    ]


def given_words(given: NameplateField, presentation: Presentation = PLAIN) -> str:
    """What the label gives, and how it is written: "coil (Ω, a range)"."""
    said = [given.unit or presentation.listed(given.choices, "or")]
    if given.range:
        said.append(presentation.text("kinds.a_range"))
    if given.default:
        said.append(presentation.text("kinds.else", value=given.default))
    elif not given.needed:
        said.append(presentation.text("kinds.if_known"))
    return presentation.text("kinds.given", name=given.name, how=", ".join(filter(None, said)))


def cautions(kind: PartKind, presentation: Presentation = PLAIN) -> list[str]:
    """What can hurt at such a part, and while it is measured, each once."""
    of_measures = (c for m in kind.measures for c in cautions_at(m, presentation))
    return list(dict.fromkeys(filter(None, (kind.caution, *of_measures))))


def cautions_of_step(
    kind: PartKind, measure: MeasurementSpec, presentation: Presentation = PLAIN
) -> tuple[str, ...]:
    """What can hurt at the part, and at this measurement of it: a line each."""
    at = cautions_at(measure, presentation)
    # What the label of a capacitor tells by itself, the row of the volts warns of.
    of_kind = "" if told_by_label(kind) or kind.caution in at else kind.caution
    return tuple(filter(None, (of_kind, " ".join(at))))


def cautions_at(measure: MeasurementSpec, presentation: Presentation = PLAIN) -> tuple[str, ...]:
    """What can hurt at this measurement."""
    live = presentation.text("kinds.live") if measure.live else ""
    return tuple(filter(None, (live, measure.caution)))
