"""The shelf of a scenario: from what its file says of parts to the parts themselves."""

import math
from collections.abc import Mapping

from benchmeter.parts.by_label import kind_by_label
from benchmeter.parts.part_kind import InLabel, PartKind
from benchmeter.parts.rated_part import CapacitorKind
from benchmeter.simulator.scenario_plan import (
    CartonPlan,
    PartPlan,
    SectionPlan,
    TruthPlan,
)
from benchmeter.simulator.virtual_parts import Part, Truth

__all__ = ["kind_of", "part_of", "parts_in", "places_of"]

_SECTION_TITLES = {"HERM": "C and HERM", "FAN": "C and FAN", "single": "Both terminals"}


def parts_in(carton: CartonPlan) -> tuple[PartPlan, ...]:
    """The parts of a carton, called by their numbers; every row has a value for each section."""
    return tuple(
        PartPlan(
            name=str(number),
            label=carton.label,
            tolerance=carton.tolerance,
            lot=carton.name,
            sections={
                name: _section(value) for name, value in zip(carton.sections, row, strict=True)
            },
        )
        for number, row in enumerate(carton.rows, carton.first)
    )


def kind_of(plan: PartPlan, kinds: Mapping[str, PartKind]) -> PartKind:
    """The kind of a part: the one that it names, or a capacitor's, whose sections are its places.

    Args:
        kinds: by name; all that parts name are among them.
    """
    return kinds[plan.kind] if plan.kind else kind_by_label(CapacitorKind.RUN)


def places_of(plan: PartPlan, kind: PartKind) -> dict[str, str]:
    """Where leads can go on a part: sections and what a meter measures, with titles for people."""
    sections = {name: _SECTION_TITLES.get(name, name) for name in plan.sections}
    places: dict[str, str] = {}
    for measure in kind.measures:
        if isinstance(measure.limits, InLabel):
            places |= sections
        elif not measure.typed:
            places[measure.name] = measure.title
    return places


def part_of(plan: PartPlan, kind: PartKind) -> Part:
    """The part; its truths have been checked."""
    truths = {
        name: Truth(
            capacitance_f=section.true_uf * 1e-6,
            open=section.open,
            shorted=section.shorted,
            stored_v=section.stored_v,
        )
        for name, section in plan.sections.items()
    }
    truths |= {name: _truth(truth) for name, truth in plan.truths.items() if not truth.same_as}
    same = {name: truth.same_as for name, truth in plan.truths.items() if truth.same_as}
    titles = places_of(plan, kind)
    return Part(
        plan.name,
        plan.label,
        {name: truths[same.get(name, name)] for name in titles},
        kind=plan.kind,
        titles=titles,
        same=same,
        celsius=plan.celsius,
    )


def _section(value: float | str) -> SectionPlan:
    if isinstance(value, str):
        return SectionPlan(open=value == "open", shorted=value == "shorted")
    return SectionPlan(true_uf=value)


def _truth(plan: TruthPlan) -> Truth:
    return Truth(
        capacitance_f=(plan.uf or 0.0) * 1e-6,
        open=plan.open,
        shorted=plan.shorted,
        ohm=math.inf if plan.ohm is None else plan.ohm,
        volts_ac=plan.volts_ac,
        volts_dc=plan.volts_dc,
        amps_ac=plan.amps_ac,
        stored_v=plan.stored_v,
    )
