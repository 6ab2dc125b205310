"""The form for the facts of a visit: what it asks for, and what of it is understood. Invented."""

from dataclasses import replace

import pytest

from benchmeter.errors import InputError
from benchmeter.scenes.visit_form_scene import FactField, VisitFault, visit_scene, visit_typed
from benchmeter.session.visit import PartOrigin, Visit
from benchmeter.words.presentation import Presentation

CELSIUS = Presentation()
GERMAN_F = Presentation(decimal_sign=",", temperature_unit="°F")
PARTS = {1: "old", 3: "new"}
STATED = Visit(customer="Ann Sample", ambient_c=33.88888888, parts=(PartOrigin(3, serial="C-7"),))


def fields(
    visit: Visit = STATED, tell: Presentation = CELSIUS
) -> dict[tuple[str, int | None], FactField]:
    scene = visit_scene(visit, PARTS, "Roof", tell)
    found = (*scene.fields, *(f for part in scene.of_parts.values() for f in part))
    return {(field.name, field.check): field for field in found}


def typed(
    words: dict[tuple[str, int | None], str], tell: Presentation = CELSIUS
) -> Visit | VisitFault:
    return visit_typed(
        STATED, {f: words.get(key, f.text) for key, f in fields(STATED, tell).items()}, tell
    )


def test_the_form_asks_for_each_fact_once_and_shows_what_is_stated() -> None:
    asked = fields()
    assert len({field.title for key, field in asked.items() if key[1] is None}) == 10
    assert all(field.title for field in asked.values())
    assert asked["customer", None].text == "Ann Sample"
    assert asked["ambient", None].text == "33.9 °C"
    assert asked["serial", 3].text == "C-7" and asked["serial", 1].text == ""


def test_an_empty_form_teaches_what_it_is_for() -> None:
    empty = visit_scene(Visit(), {}, "", CELSIUS)
    assert empty.about.startswith("Nothing is stated yet. Fill in what you know")
    assert empty.no_parts and not empty.of_parts
    assert "not stated" in visit_scene(STATED, PARTS, "", CELSIUS).about


def test_what_was_not_touched_stays_as_exact_as_it_is() -> None:
    """93 °F is shown as 93.0 °F, and is not made 33.9 °C by opening the form."""
    assert typed({}) == STATED
    assert typed({("customer", None): "B. Other"}) == replace(STATED, customer="B. Other")


@pytest.mark.parametrize(
    ("tell", "words", "celsius"),
    [
        (CELSIUS, "21,5", 21.5), (CELSIUS, "70 F", 190 / 9),  # (70 − 32)·5/9
        (GERMAN_F, "77", 25.0), (GERMAN_F, "25 °C", 25.0),  # 77 °F = 25 °C (exact)
        (CELSIUS, "", None),
    ],
)  # fmt: skip
def test_a_temperature_without_its_unit_is_in_the_degrees_that_the_form_shows(
    tell: Presentation, words: str, celsius: float | None
) -> None:
    found = typed({("ambient", None): words}, tell)
    assert isinstance(found, Visit)
    assert found.ambient_c == (celsius if celsius is None else pytest.approx(celsius))


@pytest.mark.parametrize(
    ("key", "words"), [(("ambient", None), "hot"), (("ambient", None), "5 V"), (("date_code", 3), "x" * 301)]
)  # fmt: skip
def test_what_is_not_understood_is_told_at_its_field(
    key: tuple[str, int | None], words: str
) -> None:
    found = typed({key: words})
    assert isinstance(found, VisitFault) and isinstance(found.told, InputError)
    assert (found.field.name, found.field.check) == key


def test_the_facts_of_a_part_are_its_own() -> None:
    found = typed({("serial", 1): "A-1", ("serial", 3): ""})
    assert isinstance(found, Visit) and found.parts == (PartOrigin(1, serial="A-1"),)
