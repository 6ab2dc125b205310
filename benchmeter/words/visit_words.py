"""The facts of a visit in words; what nobody stated is said to be not stated."""

from benchmeter.session.visit import PartFact, PartOrigin, Visit, VisitFact
from benchmeter.words.presentation import PLAIN, Presentation
from benchmeter.words.temperatures import temperature_text

__all__ = ["ambient_text", "origin_words", "visit_rows"]

_ZERO_C_IN_K = 273.15


def visit_rows(visit: Visit, presentation: Presentation = PLAIN) -> tuple[tuple[str, str], ...]:
    """Title and value of each fact."""
    text = presentation.text
    none = text("visit.not_stated")
    return (
        *((text(f"visit.fact_{fact}"), getattr(visit, fact) or none) for fact in VisitFact),
        (text("visit.ambient"), ambient_text(visit, presentation) or none),
    )


def ambient_text(visit: Visit, presentation: Presentation = PLAIN) -> str:
    """The temperature of the air in the person's degrees; "" not stated."""
    if visit.ambient_c is None:
        return ""
    return temperature_text(visit.ambient_c + _ZERO_C_IN_K, presentation, decimals=1)


def origin_words(origin: PartOrigin, presentation: Presentation = PLAIN) -> str:
    """Maker, serial number and date code of a part in a row."""
    text = presentation.text
    none = text("visit.not_stated")
    return ", ".join(
        text(
            "visit.stated_as", title=text(f"visit.part_{fact}"), value=getattr(origin, fact) or none
        )
        for fact in PartFact
    )
