"""Which lead goes where: the part with its terminals, two leads, and what the meter is set to."""

from dataclasses import dataclass, replace

from benchmeter.checking.part_check import PartCheck, Step
from benchmeter.conformity.verdict import Measurement
from benchmeter.parts.part_kind import TOOLS, InLabel, MeasurementSpec, PartKind
from benchmeter.quantities.quantity import Quantity
from benchmeter.words.presentation import Presentation
from benchmeter.words.safety_words import discharge_words

__all__ = ["DrawnLead", "LeadPlan", "lead_plan", "lead_plan_of"]

_COMMON = "C"


@dataclass(frozen=True, slots=True)
class DrawnLead:
    """One end of a lead. `name`: "red", "black", or a tool; `terminal`: place in the plan's."""

    name: str
    terminal: int


@dataclass(frozen=True, slots=True)
class LeadPlan:
    """What is to be drawn.

    Attributes:
        part: what the part is.
        terminals: all of them, as marked on the part, in the order of drawing; what bears no
            marks has the same name twice.
        leads: those that are to be put on now.
        quantity: what the meter must be set to, or what is typed.
        typed: no meter of the bench shows it.
        how: what to do before and while measuring; may be empty.
    """

    part: str
    terminals: tuple[str, ...]
    leads: tuple[DrawnLead, ...]
    quantity: Quantity
    typed: bool = False
    how: str = ""

    @property
    def used(self) -> frozenset[int]:
        """Places of the terminals that something goes to."""
        return frozenset(lead.terminal for lead in self.leads)

    @property
    def either_way(self) -> bool:
        """Whether the two terminals bear the same name."""
        names = [self.terminals[lead.terminal] for lead in self.leads]
        return len(names) == 2 and names[0] == names[1]


def lead_plan(check: PartCheck, section: Measurement | None = None) -> LeadPlan | None:
    """What to draw for a section of a check, by default for the one that is measured next.

    Returns:
        None where nothing is left to be measured.
    """
    wanted = section or check.section
    if wanted is None:
        return None
    measure = check.measure(wanted)
    if isinstance(measure.limits, InLabel):
        title, how = check.kind.title, measure.how
        names = [s.section.name for s in check.sections if check.measure(s.section) is measure]
        if len(names) < 2:
            leads = (DrawnLead("red", 0), DrawnLead("black", 1))
            return LeadPlan(title, ("terminal", "terminal"), leads, wanted.quantity, how=how)
        leads = (DrawnLead("red", 1 + names.index(wanted.name)), DrawnLead("black", 0))
        return LeadPlan(title, (_COMMON, *names), leads, wanted.quantity, how=how)
    terminals = _terminals(check.kind)
    return LeadPlan(
        check.kind.title,
        terminals,
        _leads(measure, terminals),
        measure.quantity,
        measure.typed,
        measure.how,
    )


def _terminals(kind: PartKind) -> tuple[str, ...]:
    """Every terminal that a lead goes to, in the order in which they are needed."""
    found: list[str] = []
    for measure in kind.measures:
        names = _places(measure)
        for name in dict.fromkeys(names):
            # A name that both leads go to is borne by two terminals.
            found += [name] * (names.count(name) - found.count(name))
    return tuple(found)


def _places(measure: MeasurementSpec) -> list[str]:
    """What the leads of a measurement go to; a tool goes to one place."""
    first, second = measure.leads
    return [place for place in ((second,) if first in TOOLS else (first, second)) if place]


def _leads(measure: MeasurementSpec, terminals: tuple[str, ...]) -> tuple[DrawnLead, ...]:
    places = _places(measure)
    if measure.leads[0] in TOOLS:
        return tuple(DrawnLead(measure.leads[0], terminals.index(place)) for place in places)
    if len(places) < 2:
        return ()
    red = terminals.index(places[0])
    black = terminals.index(places[1], red + 1 if places[0] == places[1] else 0)
    return (DrawnLead("red", red), DrawnLead("black", black))


def lead_plan_of(check: PartCheck, tell: Presentation) -> LeadPlan | None:
    """Where the leads go now; a part that may be charged is for the volts first."""
    plan = lead_plan(check)
    if plan is not None and check.step is Step.MAKE_SAFE:
        return replace(plan, quantity=Quantity.VOLTAGE_DC, how=discharge_words(check.rating, tell))
    return plan
