"""What to do next in a part check, in one line."""

from benchmeter.checking.leads import IN_OHM
from benchmeter.checking.part_check import PartCheck, Step
from benchmeter.conformity.verdict import Verdict
from benchmeter.parts.part_kind import TOOLS, InLabel, MeasurementSpec
from benchmeter.quantities.quantity import Quantity
from benchmeter.words.leads import leads_words
from benchmeter.words.verdicts import set_to

__all__ = ["step_text"]


def step_text(check: PartCheck) -> str:
    """What to do next; one line."""
    quantity = Quantity.CAPACITANCE if check.section is None else check.section.quantity
    measure = _measure(check)
    match check.step:
        case Step.MAKE_SAFE:
            return "First make it safe: discharge it, and measure the DC volts left on it."
        case Step.CLIP_ON:
            if measure is not None:
                words = leads_words(measure)
                return f"{words[0].upper()}{words[1:]}."
            return f"Put the leads on {_terminals(check)}."
        case Step.HOLD:
            return "Still moving, hold on."
        case Step.LIFT_LEADS:
            tool = measure is not None and measure.leads[0] in TOOLS
            off = "Take off what is on" if tool else "Lift the leads"
            return f"{off}, then put {_them(check)}."
        case Step.NOTHING_BETWEEN_LEADS:
            return _nothing(check)
        case Step.LOOKS_LIKE_OTHER_SECTION:
            leads = _them(check) if measure is not None else f"the leads on {_terminals(check)}"
            return f"This looks like {_other(check)}. Put {leads}, or take it by hand."
        case Step.UNLIKELY:
            return "An unlikely value. Check the leads; if it stays, take it by hand."
        case Step.SET_FUNCTION:
            return f"Set the meter to {set_to(quantity)}."
        case Step.OVERLOAD:
            return _overload(check)
        case Step.METER_SILENT:
            return "The meter is silent. Switch it on and let it send, or type the reading."
        case Step.TYPE_IT:
            what = check.expected if measure is None else measure.title
            unit = "" if check.section is None else check.section.unit
            if check.section is not None and check.section.quantity is Quantity.TEMPERATURE:
                return f"Type the reading in {unit}: {what}. Space takes the probe's."
            return f"Type the reading in {unit}: {what}."
        case Step.DONE:
            return "Done. Begin the next part, or repeat a section."


def _nothing(check: PartCheck) -> str:
    """In ohms it is an overload; else a value near zero."""
    section, measure = check.section, _measure(check)
    if section is not None and section.quantity in IN_OHM:
        return f"Put {_them(check)}. {_overload(check)}"
    if measure is not None and measure.leads[0] in TOOLS:
        return f"Next to nothing. Put {_them(check)}; if it is, take it by hand."
    capacitance = section is None or section.quantity is Quantity.CAPACITANCE
    take = "take it as open" if capacitance else "take it by hand"
    return f"Nothing between the leads. Put {_them(check)}; if they are, {take}."


def _overload(check: PartCheck) -> str:
    """A low range overloads where a higher one still shows a value."""
    section = check.section
    if section is not None and section.overload in (Verdict.OPEN, Verdict.PASS):
        found = "good" if section.overload is Verdict.PASS else "open"
        return f"If the meter shows OL in its highest range, take it: {found}."
    if section is None or section.quantity is Quantity.CAPACITANCE:
        return "Overload. Choose a higher range; if it stays, check in ohms for a short."
    return "Overload. Choose a higher range, and check the leads."


def _measure(check: PartCheck) -> MeasurementSpec | None:
    """The measurement of the expected section, where it says which terminals."""
    found = None if check.section is None else check.measure(check.section)
    return None if found is None or isinstance(found.limits, InLabel) else found


def _terminals(check: PartCheck) -> str:
    if len(check.sections) == 1 or check.expected in (None, "single"):
        return "the part's two terminals"
    return f"C and {check.expected}"


def _them(check: PartCheck) -> str:
    measure = _measure(check)
    if measure is None:
        return f"them on {_terminals(check)}"
    if measure.leads[0] in TOOLS:
        return f"the {leads_words(measure)}"
    return f"red on {measure.leads[0]}, black on {measure.leads[1]}"


def _other(check: PartCheck) -> str:
    names = [s.section.name for s in check.sections if s.section.name != check.expected]
    return names[0] if len(names) == 1 else "another section"
