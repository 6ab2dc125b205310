"""What is wrong with the parts of a scenario file."""

from collections import Counter
from collections.abc import Iterator, Mapping

import msgspec

from benchmeter.errors import Message
from benchmeter.parts.part_kind import PartKind
from benchmeter.simulator.contact import Lead
from benchmeter.simulator.scenario_plan import (
    PartPlan,
    ScenarioPlan,
    SectionPlan,
    TruthPlan,
)
from benchmeter.simulator.shelf import kind_of, places_of

__all__ = ["part_faults"]

_NOT_FOR_PARTS = {"next", "previous"}
"""What hands say for the part beside the one in the hand."""


def part_faults(plan: ScenarioPlan, kinds: Mapping[str, PartKind]) -> Iterator[tuple[str, Message]]:
    """Each fault as field and reason; the parts of cartons are among the others."""
    names = Counter(part.name for part in plan.parts)
    for i, part in enumerate(plan.parts):
        if names[part.name] > 1:
            yield f"parts[{i}].name", Message("simulator.two_parts", {"name": part.name})
        if part.name in _NOT_FOR_PARTS:
            yield f"parts[{i}].name", Message("simulator.name_not_for_parts", {"name": part.name})
        for name, section in part.sections.items():
            yield from _section_faults(f"parts[{i}].sections.{name}", section)
        for name, truth in part.truths.items():
            yield from _truth_faults(f"parts[{i}].truths.{name}", truth, part)
        yield from _place_faults(f"parts[{i}]", part, kind_of(part, kinds))


def _section_faults(where: str, section: SectionPlan) -> Iterator[tuple[str, Message]]:
    if (section.true_uf > 0) + section.open + section.shorted != 1:
        yield where, Message("simulator.section_truth")
    if section.stored_v and not section.true_uf:
        yield f"{where}.stored_v", Message("simulator.no_charge")


def _truth_faults(where: str, truth: TruthPlan, part: PartPlan) -> Iterator[tuple[str, Message]]:
    values = msgspec.structs.replace(truth, open=False, shorted=False, same_as="")
    if truth.open + truth.shorted + bool(truth.same_as) + (values != TruthPlan()) != 1:
        yield where, Message("simulator.one_truth")
    if truth.stored_v and not truth.uf:
        yield f"{where}.stored_v", Message("simulator.no_charge")
    others = {name for name, other in part.truths.items() if not other.same_as}
    if truth.same_as and truth.same_as not in others | set(part.sections):
        yield f"{where}.same_as", Message("simulator.no_place", {"name": truth.same_as})


def _place_faults(where: str, part: PartPlan, kind: PartKind) -> Iterator[tuple[str, Message]]:
    places = places_of(part, kind)
    given = {*part.sections, *part.truths}
    if not places:
        yield f"{where}.sections", Message("simulator.one_needed")
    for name in places:
        if name in tuple(Lead):
            yield where, Message("simulator.name_not_for_places", {"name": name})
        if name not in given:
            yield f"{where}.truths", Message("simulator.truth_missing", {"name": name})
    for name in sorted(given - set(places)):
        yield f"{where}.truths.{name}", Message("simulator.nothing_measured")
