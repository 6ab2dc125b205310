"""Where the leads go in words; or the clamp, probe or gauge that is held there in their place."""

from benchmeter.parts.part_kind import TOOLS, MeasurementSpec
from benchmeter.words.presentation import PLAIN, Presentation

__all__ = ["leads_words"]

_PLACED = ("at", "against", "behind", "below", "beside", "between", "in", "near", "on", "under")
_TOLD = ("a", "an", "both", "each", "one", "the", "this")


def leads_words(measure: MeasurementSpec, presentation: Presentation = PLAIN) -> str:
    """Where they go: "red lead on A1, black lead on A2", "clamp round the wire at C alone".

    What is typed and has no leads is "typed".
    """
    text, (first, second) = presentation.text, measure.leads
    if not any(measure.leads):
        return text("leads.typed")
    if first not in TOOLS:
        return text("leads.colours", first=first, second=second)
    if first == "clamp":
        return text("leads.clamp", place=_noun(second, presentation))
    if second.split(maxsplit=1)[0] in _PLACED:
        return text("leads.tool", tool=first, where=second)
    where = text("leads.on", place=_noun(second, presentation))
    return text("leads.tool", tool=first, where=where)


def _noun(place: str, presentation: Presentation) -> str:
    """With its article, unless it is a mark on the part: "the switch", "L1"."""
    marked = not place[0].islower() or place.split(maxsplit=1)[0] in _TOLD
    return place if marked else presentation.text("leads.the", place=place)
