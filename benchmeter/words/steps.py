"""What to do next in a part check, in one line."""

from benchmeter.checking.leads import IN_OHM
from benchmeter.checking.part_check import PartCheck, Step
from benchmeter.conformity.verdict import Verdict
from benchmeter.parts.part_kind import TOOLS
from benchmeter.quantities.quantity import Quantity
from benchmeter.words.lead_words import leads_words
from benchmeter.words.presentation import PLAIN, Presentation, capitalized
from benchmeter.words.verdicts import set_to

__all__ = ["step_text"]


def step_text(check: PartCheck, presentation: Presentation = PLAIN) -> str:
    """What to do next; one line."""
    text, measure = presentation.text, check.marked
    quantity = Quantity.CAPACITANCE if check.section is None else check.section.quantity
    match check.step:
        case Step.MAKE_SAFE:
            return text("steps.make_safe")
        case Step.CLIP_ON if measure is not None:
            return f"{capitalized(leads_words(measure, presentation))}."
        case Step.CLIP_ON:
            return text("steps.clip_on", where=_terminals(check, presentation))
        case Step.HOLD:
            return text("steps.hold")
        case Step.LIFT_LEADS if measure is not None and measure.leads[0] in TOOLS:
            return text("steps.take_off", them=_them(check, presentation))
        case Step.LIFT_LEADS:
            return text("steps.lift_leads", them=_them(check, presentation))
        case Step.NOTHING_BETWEEN_LEADS:
            return _nothing(check, presentation)
        case Step.LOOKS_LIKE_OTHER_SECTION:
            return _looks_like(check, presentation)
        case Step.UNLIKELY:
            return text("steps.unlikely")
        case Step.SET_FUNCTION:
            return text("steps.set_function", function=set_to(quantity, presentation))
        case Step.OVERLOAD:
            return _overload(check, presentation)
        case Step.METER_SILENT:
            return text("steps.silent")
        case Step.TYPE_IT:
            what = (check.expected if measure is None else measure.title) or ""
            unit = "" if check.section is None else presentation.unit(check.section.unit)
            if quantity is Quantity.TEMPERATURE:
                return text("steps.type_or_probe", unit=unit, what=what)
            return text("steps.type_it", unit=unit, what=what)
        case Step.DONE:
            return text("steps.done")


def _looks_like(check: PartCheck, presentation: Presentation) -> str:
    names = [s.section.name for s in check.sections if s.section.name != check.expected]
    other = names[0] if len(names) == 1 else presentation.text("steps.another_section")
    them = _them(check, presentation)
    if check.marked is None:
        them = presentation.text("steps.the_leads", where=_terminals(check, presentation))
    return presentation.text("steps.looks_like", other=other, them=them)


def _nothing(check: PartCheck, presentation: Presentation) -> str:
    """In ohms it is an overload; else a value near zero."""
    text, section, measure = presentation.text, check.section, check.marked
    them = _them(check, presentation)
    if section is not None and section.quantity in IN_OHM:
        overload = _overload(check, presentation)
        return text("steps.nothing_in_ohm", them=them, overload=overload)
    if measure is not None and measure.leads[0] in TOOLS:
        return text("steps.next_to_nothing", them=them)
    if section is None or section.quantity is Quantity.CAPACITANCE:
        return text("steps.nothing_capacitance", them=them)
    return text("steps.nothing", them=them)


def _overload(check: PartCheck, presentation: Presentation) -> str:
    """A low range overloads where a higher one still shows a value."""
    section = check.section
    if section is not None and section.overload is Verdict.PASS:
        return presentation.text("steps.overload_good")
    if section is not None and section.overload is Verdict.OPEN:
        return presentation.text("steps.overload_open")
    if section is None or section.quantity is Quantity.CAPACITANCE:
        return presentation.text("steps.overload_capacitance")
    return presentation.text("steps.overload")


def _terminals(check: PartCheck, presentation: Presentation) -> str:
    if check.expected is None or len(check.sections) == 1 or check.expected == "single":
        return presentation.text("steps.on_both")
    return presentation.text("steps.on_section", section=check.expected)


def _them(check: PartCheck, presentation: Presentation) -> str:
    text, measure = presentation.text, check.marked
    if measure is None:
        return text("steps.them", where=_terminals(check, presentation))
    if measure.leads[0] in TOOLS:
        return text("steps.the_tool", tool=leads_words(measure, presentation))
    return text("steps.colours", first=measure.leads[0], second=measure.leads[1])
