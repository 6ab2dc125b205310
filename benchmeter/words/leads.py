"""Where the leads go in words; or the clamp, probe or gauge that is held there in their place."""

from benchmeter.parts.part_kind import TOOLS, MeasurementSpec

__all__ = ["leads_words"]

_PLACED = ("at", "against", "behind", "below", "beside", "between", "in", "near", "on", "under")
_TOLD = ("a", "an", "both", "each", "one", "the", "this")


def leads_words(measure: MeasurementSpec) -> str:
    """Where they go: "red lead on A1, black lead on A2", "clamp round the wire at C alone".

    What is typed and has no leads is "typed".
    """
    first, second = measure.leads
    if not any(measure.leads):
        return "typed"
    if first not in TOOLS:
        return f"red lead on {first}, black lead on {second}"
    if first == "clamp":
        return f"clamp round {_noun(second)} alone"
    where = second if second.split(maxsplit=1)[0] in _PLACED else f"on {_noun(second)}"
    return f"{first} {where}"


def _noun(place: str) -> str:
    """With its article, unless it is a mark on the part: "the switch", "L1"."""
    marked = not place[0].islower() or place.split(maxsplit=1)[0] in _TOLD
    return place if marked else f"the {place}"
