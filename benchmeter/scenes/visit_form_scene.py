"""The form for the facts of a visit: what it asks for, and what of it cannot be understood."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from benchmeter.errors import InputError
from benchmeter.session.visit import PartFact, Visit, VisitFact
from benchmeter.tasks.visiting import AMBIENT, stated
from benchmeter.words.presentation import Presentation
from benchmeter.words.visit_words import ambient_text

__all__ = ["FactField", "VisitFault", "VisitScene", "visit_scene", "visit_typed"]


_LIKE = Visit(ambient_c=35.0)


@dataclass(frozen=True, slots=True)
class FactField:
    """A field of the form.

    Attributes:
        name: of the fact.
        text: what is stated of it.
        check: of the part that it is of; None: of the visit.
    """

    name: str
    title: str
    example: str
    text: str
    check: int | None = None


@dataclass(frozen=True, slots=True)
class VisitScene:
    """What the form shows.

    Attributes:
        about: what happens with what is typed, and with what is left empty.
        fields: of the visit, in the order in which they are asked for.
        parts: names of the parts that were checked, by the number of their check.
        of_parts: the fields of each part, by the number of its check.
        no_parts: what is said where there is none.
    """

    title: str
    about: str
    fields: tuple[FactField, ...]
    parts: Mapping[int, str]
    of_parts: Mapping[int, tuple[FactField, ...]]
    no_parts: str = ""


@dataclass(frozen=True, slots=True)
class VisitFault:
    """What cannot be understood, and in which field."""

    field: FactField
    told: InputError


def visit_scene(
    visit: Visit, parts: Mapping[int, str], name: str, tell: Presentation
) -> VisitScene:
    """The form as it is to be drawn.

    Args:
        parts: by the number of their check.
        name: of the session.
    """
    text = tell.text
    ambient = FactField(
        AMBIENT,
        text("page_visit.ambient", unit=tell.temperature_unit),
        ambient_text(_LIKE, tell),
        ambient_text(visit, tell),
    )
    facts = tuple(
        FactField(
            fact,
            text(f"visit.fact_{fact}"),
            text(f"page_visit.example_{fact}"),
            getattr(visit, fact),
        )
        for fact in VisitFact
    )
    return VisitScene(
        title=text("page_visit.title", name=name) if name else text("page_visit.title_unnamed"),
        about=text("page_visit.nothing_yet" if visit == Visit() else "page_visit.about"),
        fields=(*facts, ambient),
        parts=parts,
        of_parts={check: tuple(_of_part(visit, check, tell)) for check in parts},
        no_parts="" if parts else text("page_visit.no_parts"),
    )


def visit_typed(
    before: Visit, typed: Mapping[FactField, str], tell: Presentation
) -> Visit | VisitFault:
    """What the fields hold now, or the first of them that is to be mended.

    What was not touched stays as exact as it is.
    """
    visit = before
    for field, words in typed.items():
        if words == field.text:
            continue
        try:
            visit = stated(
                visit, {field.name: words}, check=field.check, degrees=tell.temperature_unit
            )
        except InputError as fault:
            return VisitFault(field, fault)
    return visit


def _of_part(visit: Visit, check: int, tell: Presentation) -> Iterator[FactField]:
    part = visit.part(check)
    for fact in PartFact:
        title = tell.text(f"page_visit.part_{fact}")
        yield FactField(fact, title, "", getattr(part, fact), check)
