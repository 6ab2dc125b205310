"""What is typed for the next part, without a window."""

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

import pytest

from benchmeter.checking.commands import BeginCheck
from benchmeter.files.folders import Folders
from benchmeter.parts.by_label import kind_by_label
from benchmeter.parts.kind_catalogue import all_part_kinds
from benchmeter.parts.part_kind import PartKind
from benchmeter.parts.rated_part import CapacitorKind
from benchmeter.parts.rating import rate
from benchmeter.scenes.part_form_scene import (
    FormFault,
    FormField,
    TypedPart,
    begun_part,
    fitting_labels,
    kind_needs,
    next_number,
)
from benchmeter.words.presentation import PLAIN

TESTED = {"B12": ("A-007", "A-008")}
BY_LABEL = kind_by_label(CapacitorKind.RUN)
PLAIN_PART = TypedPart(BY_LABEL, " 45/5 uF ±6 % ", part=" old part ")
Named = Callable[[str], PartKind]


@pytest.fixture
def named(folders: Folders) -> Named:
    kinds = {kind.name: kind for kind in all_part_kinds(folders)[0]}
    return kinds.__getitem__


def begun(typed: TypedPart, meant: str = "") -> BeginCheck:
    found = begun_part(typed, TESTED, PLAIN, meant=meant)
    assert isinstance(found, BeginCheck), found
    return found


def fault(typed: TypedPart) -> tuple[FormFault, str]:
    found = begun_part(typed, TESTED, PLAIN)
    assert isinstance(found, FormFault)
    return found, str(PLAIN.tell(found.told))


def test_a_capacitor_needs_no_kind() -> None:
    command = begun(PLAIN_PART)
    assert (command.kind, command.lot, command.part, command.label) == (
        None,
        "",
        "old part",
        "45/5 uF ±6 %",
    )
    assert begun(replace(PLAIN_PART, part=" ")).part == "part"


def test_the_example_of_every_kind_can_be_begun(folders: Folders) -> None:
    kinds, broken = all_part_kinds(folders)
    assert kinds and not broken
    for kind in kinds:
        command = begun(TypedPart(kind, kind.example))
        assert command.kind == kind


@pytest.mark.parametrize("label", ["coil 9,5-14 ohm", "24 V, coil 9,5–14 ohm"])
def test_a_decimal_comma_of_what_the_label_gives_is_understood(named: Named, label: str) -> None:
    command = begun(TypedPart(named("contactor-one-pole"), label))
    coil = rate(command.kind, command.label).sections[0]
    assert (coil.low_si, coil.high_si) == (Decimal("9.5"), Decimal(14))


@pytest.mark.parametrize(
    ("changed", "field", "says"),
    [
        ({"unknown_kind": "contactor"}, FormField.KIND, "“contactor” is no kind of part"),
        ({"unknown_kind": ""}, FormField.KIND, "is no kind of part"),
        ({"label": " "}, FormField.LABEL, "like 45/5 µF ±6 % 440 V"),
        ({"label": "thirty five"}, FormField.LABEL, ""),
        ({"label": "35 uF 440 V"}, FormField.TOLERANCE, ""),
        ({"label": "35 uF", "tolerance": "much"}, FormField.TOLERANCE, ""),
        ({"accuracy": "nonsense"}, FormField.ACCURACY, ""),
        ({"lot": "B12", "number": "A-007"}, FormField.NUMBER, "“A-007” of this carton was tested"),
    ],
)
def test_what_is_not_understood_is_asked_for_at_its_field(
    changed: dict[str, str], field: FormField, says: str
) -> None:
    found, words = fault(replace(PLAIN_PART, **changed))  # type: ignore[arg-type]
    assert found.field is field and words and says in words
    assert found.asks_tolerance is (changed == {"label": "35 uF 440 V"})


def test_a_kind_asks_for_what_it_needs(named: Named) -> None:
    sensor = named("sensor-pt100")
    assert kind_needs(sensor, PLAIN).startswith("Needed: tolerance class (AA, A, B, C).")
    assert "Taken unless typed: sensor pt100." in kind_needs(sensor, PLAIN)
    assert kind_needs(BY_LABEL, PLAIN) == ""
    found, words = fault(TypedPart(sensor, ""))
    assert found.field is FormField.LABEL and sensor.example in words
    found, words = fault(TypedPart(sensor, "class B, 24 V"))  # what does not belong there is told
    assert found.field is FormField.LABEL and "24" in words


@pytest.mark.parametrize(("lot", "number"), [("B12", "A-009"), ("new", "1")])
def test_an_empty_number_is_counted_on(lot: str, number: str) -> None:
    assert next_number(lot, TESTED) == number
    command = begun(replace(PLAIN_PART, lot=lot))
    assert (command.lot, command.part) == (lot, number)


def test_a_number_that_comes_again_is_meant_once_it_was_told() -> None:
    again = replace(PLAIN_PART, lot="B12", number="A-007")
    found, _ = fault(again)
    assert found.repeated == "A-007"
    assert begun(again, meant="A-007").part == "A-007"
    assert begun(replace(again, lot="new")).part == "A-007"


def test_only_labels_that_a_kind_understands_are_offered(named: Named) -> None:
    labels = ("40-90 ohm", "45/5 µF ±6 %")
    assert fitting_labels(labels, named("ignitor")) == ("40-90 ohm",)
    assert fitting_labels(labels, BY_LABEL) == labels
