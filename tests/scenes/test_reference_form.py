"""What is typed for a part of known value, without a window."""

from datetime import date

import pytest

from benchmeter.checking.reference_parts import add_reference_part
from benchmeter.errors import InputError
from benchmeter.files.folders import Folders
from benchmeter.scenes.reference_form_scene import (
    FieldFault,
    ReferenceEntry,
    ReferenceField,
    faulty_field,
    reference_entry,
)
from benchmeter.words.presentation import PLAIN
from tests.fakes import meter_states as meter

WHOLE = {
    ReferenceField.NAME: "R10",
    ReferenceField.BY: "",
    ReferenceField.VALUE: "10.002 kΩ",
    ReferenceField.UNCERTAINTY: "0.05 %",
    ReferenceField.DATE: " 2026-03-01 ",
    ReferenceField.DUE: "",
}


def test_what_is_typed_becomes_an_entry() -> None:
    entry = ReferenceEntry("R10", "10.002 kΩ", "0.05 %", date(2026, 3, 1), "", None)
    assert reference_entry(WHOLE) == entry


@pytest.mark.parametrize("field", [f for f, text in WHOLE.items() if text])
def test_the_first_empty_field_is_asked_for(field: ReferenceField) -> None:
    assert reference_entry({**WHOLE, field: " "}) == FieldFault(field)


@pytest.mark.parametrize("field", [ReferenceField.DATE, ReferenceField.DUE])
def test_what_is_no_date_is_told_at_its_field(field: ReferenceField) -> None:
    fault = reference_entry({**WHOLE, field: "1 March"})
    assert isinstance(fault, FieldFault) and fault.field is field and fault.message is not None
    assert str(PLAIN.tell(fault.message)) == "“1 March” is no date. Write it like 2026-01-10."


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"value": "10.002"}, ReferenceField.VALUE),
        ({"value": "10 kilo"}, ReferenceField.VALUE),
        ({"value": "10 A"}, ReferenceField.VALUE),
        ({"value": "230 V AC"}, ReferenceField.VALUE),
        ({"value": "ten kΩ"}, ReferenceField.VALUE),
        ({"uncertainty": "1 V"}, ReferenceField.UNCERTAINTY),
        ({"uncertainty": "0.05"}, ReferenceField.UNCERTAINTY),
        ({"name": "r45"}, ReferenceField.NAME),
        ({"name": " "}, ReferenceField.NAME),
        ({"due": date(2026, 1, 1)}, ReferenceField.DUE),
    ],
)
def test_a_refusal_names_its_field(
    folders: Folders, changed: dict[str, object], field: ReferenceField
) -> None:
    folders.reference_parts.write_text(meter.R45_LIST, encoding="utf-8")
    typed = {"name": "R10", "value": "10.002 kΩ", "uncertainty": "0.05 %", "due": None}
    with pytest.raises(InputError) as refused:
        add_reference_part(folders, valued_on=date(2026, 3, 1), **{**typed, **changed})  # type: ignore[arg-type]
    assert faulty_field(refused.value) is field


def test_a_refusal_of_the_whole_list_names_none() -> None:
    assert faulty_field(InputError("some.code")) is None
