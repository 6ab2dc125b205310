"""What is wrong with the story of a scenario file: steps that nobody can do there."""

from collections.abc import Iterator, Mapping

from benchmeter.errors import Message
from benchmeter.parts.part_kind import PartKind
from benchmeter.simulator.contact import KNOB
from benchmeter.simulator.instrument_faults import turns
from benchmeter.simulator.scenario_plan import ScenarioPlan
from benchmeter.simulator.shelf import kind_of, places_of
from benchmeter.simulator.story import BeginCheckStep, HandsStep

__all__ = ["story_faults"]

_RESISTOR_ACTS = {"resistor: on", "resistor: off"}
_UNIT_ACTS = {"leads: terminals", "power: on", "power: off"}
_KNOB_ACTS = {"leads: together", *(f"knob: {quantity.value}" for quantity in KNOB)}


def story_faults(
    plan: ScenarioPlan, kinds: Mapping[str, PartKind], checking_channel: str
) -> Iterator[tuple[str, Message]]:
    """Each fault as field and reason.

    Args:
        checking_channel: that parts are checked with unless a step names another.
    """
    parts = {part.name for part in plan.parts}
    places = {part.name: places_of(part, kind_of(part, kinds)) for part in plan.parts}
    channels = {c.name for instrument in plan.instruments for c in instrument.channels}
    anywhere = _acts(plan)
    in_hand = plan.parts[0].name
    before_s = 0.0
    for i, step in enumerate(plan.story):
        at = f"story[{i}]"
        if not before_s <= step.at_s <= plan.length_s:
            yield f"{at}.at_s", Message("simulator.step_out_of_time")
        before_s = step.at_s
        if isinstance(step, BeginCheckStep):
            if step.part not in parts:
                yield f"{at}.part", Message("simulator.no_part", {"name": step.part})
            channel = step.channel or checking_channel
            if channel not in channels:
                yield f"{at}.channel", Message("simulator.no_channel", {"name": channel})
        if isinstance(step, HandsStep):
            named = step.act.removeprefix("part: ")
            if step.act.startswith("part: ") and named in parts:
                in_hand = named
            elif step.act not in anywhere | {f"leads: {place}" for place in places[in_hand]}:
                yield f"{at}.act", Message("simulator.no_act", {"name": step.act})


def _acts(plan: ScenarioPlan) -> set[str]:
    """What hands can do beside changing the part and touching it with the leads."""
    stored = [s.stored_v for part in plan.parts for s in part.sections.values()]
    stored += [t.stored_v for part in plan.parts for t in part.truths.values()]
    return {
        "leads: air",
        *(_UNIT_ACTS if plan.unit is not None else ()),
        *(_RESISTOR_ACTS if any(stored) or plan.unit is not None else ()),
        *(_KNOB_ACTS if any(map(turns, plan.instruments)) else ()),
    }
