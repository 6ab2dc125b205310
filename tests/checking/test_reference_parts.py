"""The user's list of parts of known value."""

import re
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from benchmeter.checking.reference_parts import (
    add_reference_part,
    all_reference_parts,
    read_reference_parts,
)
from benchmeter.errors import DataFileError, InputError, StoreReadOnly
from benchmeter.files.folders import Folders
from benchmeter.quantities.quantity import Quantity
from tests.fakes.refusals import advised, refused, said

GOOD = """
[[part]]
name = "R45"
value = "45.02 µF"
uncertainty = "0.09 µF"
date = 2026-01-10
from = "certificate 4711"
due = 2027-01-10
"""


@pytest.fixture
def read(tmp_path: Path):
    def parts(text: str | bytes):
        path = tmp_path / "reference-parts.toml"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return read_reference_parts(path)

    return parts


def test_the_example_of_the_guide_is_a_list(read) -> None:
    text = (Path(__file__).resolve().parents[2] / "DEVELOPERS.md").read_text(encoding="utf-8")
    (block,) = re.findall(r"^```toml\n(\[\[part\]\].*?)^```", text, re.DOTALL | re.MULTILINE)
    (part,), errors = read(block)
    assert (part.name, errors) == ("R45", ())


def changed(old: str, new: str) -> str:
    assert old in GOOD
    return GOOD.replace(old, new)


def test_every_field_comes_back_exactly(read) -> None:
    (part,), errors = read(GOOD)
    assert errors == ()
    assert (part.name, part.value_si) == ("R45", Decimal("45.02e-6"))
    assert part.expanded_uncertainty_si == Decimal("0.09e-6")
    assert (part.valued_on, part.due) == (date(2026, 1, 10), date(2027, 1, 10))
    assert (part.valued_by, part.unit) == ("certificate 4711", "µF")
    assert part.quantity is Quantity.CAPACITANCE


@pytest.mark.parametrize(
    ("value", "uncertainty", "si", "u_si", "quantity", "unit"),
    [
        ("100.02 Ω", "0.02 ohm", "100.02", "0.02", Quantity.RESISTANCE, "Ω"),
        ("10,002 kΩ".replace(",", "."), "0.1 %", "10002", "10.002", Quantity.RESISTANCE, "kΩ"),
        ("45,02 uF", "± 0,2 %", "45.02e-6", "9.004e-8", Quantity.CAPACITANCE, "µF"),
        ("470 nF", "2 nF", "4.7e-7", "2e-9", Quantity.CAPACITANCE, "µF"),
        ("10.000 V", "2 mV", "10", "0.002", Quantity.VOLTAGE_DC, "V"),
    ],
)
def test_values_in_the_units_of_certificates(read, value, uncertainty, si, u_si, quantity, unit):
    text = changed("45.02 µF", value).replace("0.09 µF", uncertainty)
    (part,), errors = read(text)
    assert errors == ()
    assert (part.value_si, part.expanded_uncertainty_si) == (Decimal(si), Decimal(u_si))
    assert (part.quantity, part.unit) == (quantity, unit)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('"R45"', '" "', "part 1, name: it is empty"),
        ("45.02 µF", "45.02", "part 1 (“R45”), value: “45.02” has no unit"),
        ("45.02 µF", "forty µF", "value:"),
        ("45.02 µF", "25 °C", "value: “25 °C” is a temperature"),
        ("45.02 µF", "45 mF", "value: “mF” may be microfarad or millifarad"),
        ("45.02 µF", "0 µF", "above zero"),
        ("45.02 µF", "1e99 F", "value: “1e99 F” is more than any meter shows"),
        ("0.09 µF", "1e99 F", "uncertainty: “1e99 F” is more than any meter shows"),
        ("45.02 µF", "1e-40 F", "that a part can have"),
        ("45.02 µF", "12 VAC", "value: “12 VAC” is AC"),
        ("0.09 µF", "0 µF", "above zero"),
        ("0.09 µF", "0.09", "uncertainty: “0.09” has no unit"),
        ("0.09 µF", "0.09 Ω", "uncertainty: “0.09 Ω” is a resistance"),
        ("2027-01-10", "2025-01-10", "due: it lies before"),
    ],
)
def test_a_part_that_is_none_is_told_by_name_and_field_and_leaves_the_others_alone(
    read, old, new, says
) -> None:
    other = GOOD.replace("R45", "R5")
    (left,), (error,) = read(changed(old, new) + other)
    assert left.name == "R5"
    assert says in said(error)
    assert advised(error)


def test_a_name_may_stand_there_once(read) -> None:
    (left,), (error,) = read(GOOD + GOOD.replace("R45", "r45"))
    assert left.name == "R45"
    assert "twice" in said(error)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (GOOD.replace('"45.02 µF"', "45.02"), "part[0].value must be text in quotes"),
        (GOOD.replace("2026-01-10", '"10.1.2026"'), "date"),
        (GOOD.replace("from", "by"), "part[0].by is not a field of a reference part"),
        (GOOD.replace('value = "45.02 µF"\n', ""), "part[0].value is missing"),
        ("[[part", "Expected ']]'"),
        (b"\xff", "not UTF-8"),
    ],
)
def test_a_broken_file_is_told_by_its_field(read, text, says) -> None:
    with refused(DataFileError, match=r"reference-parts\.toml") as found:
        read(text)
    assert says in said(found.value)


def test_no_file_is_no_parts_and_a_broken_one_is_told(tmp_path: Path) -> None:
    folders = Folders(tmp_path)
    assert all_reference_parts(folders) == ((), ())
    folders.reference_parts.write_text("x", encoding="utf-8")
    parts, (error,) = all_reference_parts(folders)
    assert parts == ()
    assert "reference-parts.toml" in said(error)
    folders.reference_parts.write_text("\ufeff" + GOOD, encoding="utf-8")
    assert [p.name for p in all_reference_parts(folders)[0]] == ["R45"]


# --- adding ------------------------------------------------------------------------------------

R10 = {
    "name": "R 10",
    "value": "10.002 kΩ",
    "uncertainty": "0,05 %",
    "valued_on": date(2026, 3, 1),
    "valued_by": 'the "big" bridge',
    "due": date(2027, 3, 1),
}


def test_a_part_that_is_added_can_be_read(folders: Folders) -> None:
    added = add_reference_part(folders, **R10)
    assert all_reference_parts(folders) == ((added,), ())
    assert (added.value_si, added.expanded_uncertainty_si) == (Decimal(10002), Decimal("5.001"))
    assert (added.valued_by, added.due) == ('the "big" bridge', date(2027, 3, 1))


@pytest.mark.parametrize("end", ["", "# mine\n", "# no line end"])
def test_what_was_there_stays_byte_for_byte(folders: Folders, end: str) -> None:
    path = folders.reference_parts
    before = ("# my own remark\r\n" + GOOD + end).encode()
    path.write_bytes(before)
    path.chmod(0o640)
    add_reference_part(folders, **R10)
    assert path.read_bytes().startswith(before)
    assert path.stat().st_mode & 0o777 == 0o640
    parts, errors = all_reference_parts(folders)
    assert ([p.name for p in parts], errors) == (["R45", "R 10"], ())
    assert list(folders.data.glob("*.new")) == []


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"name": " "}, "name: it is empty"),
        ({"name": "r45"}, "is in the list already"),
        ({"value": "45"}, "has no unit"),
        ({"value": "20 °C"}, "is a temperature"),
        ({"uncertainty": "1 V"}, "is a voltage"),
        ({"uncertainty": "0 %"}, "above zero"),
        ({"due": date(2026, 2, 1)}, "before the date of the value"),
    ],
)
def test_what_is_no_part_is_refused_and_the_list_stays(folders: Folders, changes, says) -> None:
    folders.reference_parts.write_text(GOOD, encoding="utf-8")
    with refused(InputError, match=says):
        add_reference_part(folders, **(R10 | changes))
    assert folders.reference_parts.read_text(encoding="utf-8") == GOOD


@pytest.mark.parametrize(
    ("text", "fault"), [("[[part]\n", DataFileError), ("part = []\n", InputError)]
)
def test_a_list_that_cannot_take_it_stays_as_it_is(folders: Folders, text, fault) -> None:
    folders.reference_parts.write_text(text, encoding="utf-8")
    with pytest.raises(fault):
        add_reference_part(folders, **R10)
    assert folders.reference_parts.read_text(encoding="utf-8") == text
    assert list(folders.data.glob("*.new")) == []


def test_a_folder_that_cannot_be_written_is_told(
    folders: Folders, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("os.urandom", bytes)
    (folders.data / f".{bytes(6).hex()}.new").mkdir()  # in the way of the new file
    with refused(StoreReadOnly, match="as it was"):
        add_reference_part(folders, **R10)
