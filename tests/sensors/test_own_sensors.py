"""Sensors of the user: a file in the data folder, which wins over the program's."""

from decimal import Decimal
from pathlib import Path

import pytest

from benchmeter.checking.check import begin_check, typed
from benchmeter.checking.commands import BeginCheck
from benchmeter.conformity.judgement import judge_measurement
from benchmeter.conformity.verdict import Rule, Verdict
from benchmeter.errors import DataFileError, InputError
from benchmeter.files.folders import Folders
from benchmeter.files.resources import resource
from benchmeter.parts.kind_catalogue import kind_in, kind_text, load_part_kind
from benchmeter.parts.part_verdict import verdict_on_part
from benchmeter.parts.rating import rate
from benchmeter.sensors.curves import load_sensor, sensor_names, thermistors
from benchmeter.tasks.choices import find_kinds
from tests.commands.calls import document
from tests.commands.computing import compute
from tests.fakes.refusals import advised, refused, said

# R = R25·exp(B(1/T - 1/298.15)) with R25 5 kΩ and B 3950 is C = 0, B' = 1/3950 and
# A = 1/298.15 - ln(5000)/3950 (follows from the formula): 5 kΩ at 25 °C, 16 810 Ω at 0 °C.
OWN = """
kind = "thermistor"
title = "NTC 5 kΩ"
source = "leaflet of the maker"
a = 1.197764e-3
b = 2.531646e-4
c = 0.0
lowest_c = -40.0
highest_c = 120.0
"""


@pytest.fixture
def folders(tmp_path: Path) -> Folders:
    return Folders(tmp_path)


def own(folders: Folders, name: str, text: str = OWN) -> Path:
    path = folders.data / "sensors" / f"{name}.toml"
    path.parent.mkdir(exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


def test_a_sensor_of_the_users_is_known_beside_the_programs(folders: Folders) -> None:
    own(folders, "ntc-5k")
    assert sensor_names(folders) == sorted([*sensor_names(), "ntc-5k"])
    assert set(thermistors(folders)) == {"ntc-10k-2", "ntc-10k-3", "ntc-5k"}
    found = load_sensor("NTC-5k", folders)
    assert found.temperature_c(5000) == pytest.approx(25, abs=0.01)
    assert found.temperature_c(16_810.3) == pytest.approx(0, abs=0.01)
    with refused(InputError, match="no sensor “ntc-6k”") as caught:
        load_sensor("ntc-6k", folders)
    assert str(folders.data / "sensors") in advised(caught.value)
    with refused(InputError, match="no sensor"):
        load_sensor("ntc-5k")


def test_a_file_of_the_users_takes_the_place_of_the_programs(folders: Folders) -> None:
    own(folders, "ntc-10k-2")
    assert load_sensor("ntc-10k-2", folders).title == "NTC 5 kΩ"
    assert load_sensor("ntc-10k-2").title == "NTC 10 kΩ, type 2"


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("a = 1.197764e-3", 'a = "x"', "line 5, a must be a number"),
        ("b = 2.531646e-4", "beta = 3950", "beta is not a field of a sensor"),
        ("lowest_c = -40.0", "lowest_c = 120.0", "line 9, highest_c must be above lowest_c"),
        ("c = 0.0", "c = -9e-7", "its curve stands for another temperature"),  # it turns back
        ("b = 2.531646e-4", "b = -2.5e-4", "its curve stands for another temperature"),  # rises
        ("a = 1.197764e-3", "a = nan", "its curve stands for another temperature"),
        ('title = "NTC 5 kΩ"', 'title = " "', "title must not be empty"),
        ('kind = "thermistor"', 'kind = "thermometer"', "kind cannot be 'thermometer'"),
    ],
)
def test_a_broken_file_is_told_by_file_line_and_field(
    folders: Folders, old: str, new: str, told: str
) -> None:
    assert old in OWN
    path = own(folders, "ntc-5k", OWN.replace(old, new, 1))
    with refused(DataFileError, match=told) as caught:
        load_sensor("ntc-5k", folders)
    assert str(path) in said(caught.value)


def test_a_check_keeps_the_curve_that_it_was_judged_by(folders: Folders) -> None:
    file = own(folders, "ntc-5k")
    text = (resource("parts") / "sensor-ntc.toml").read_text(encoding="utf-8")
    folders.parts.mkdir()
    (folders.parts / "mine.toml").write_text(
        text.replace('"ntc-10k-3"', '"ntc-5k"').replace('"type 2"', '"curve ntc-5k"'), "utf-8"
    )
    kind = load_part_kind("mine", folders)
    assert set(kind.curves) == {"ntc-5k"}
    file.unlink()
    again = kind_in(kind_text(kind))
    assert again == kind
    rating = rate(again, "curve ntc-5k")
    for ohm, word in (("16810", Verdict.PASS), ("29490", Verdict.FAIL)):  # the other curve
        measured = [
            judge_measurement(
                section, [value], resolution_si=None, accuracy=None, rule=Rule.GUARDED
            )
            for section, value in zip(
                rating.sections, (Decimal(ohm), Decimal("273.15")), strict=True
            )
        ]
        found = verdict_on_part(again, rating, measured, None, rule=Rule.GUARDED)
        assert found.verdict is word, ohm


@pytest.mark.parametrize(("ohm", "word"), [("16.81", "pass"), ("29.49", "fail")])
def test_a_curve_of_the_users_is_a_choice_at_once(folders: Folders, ohm: str, word: str) -> None:
    """16.81 kΩ at 0 °C by the formula above; `judge` reads it, and the window offers it."""
    own(folders, "ntc-5k")
    found = document(
        "judge", "ntc-5k", "--kind", "sensor-ntc", "--read", f"resistance={ohm} kohm",
        "--read", "probe=32.0 F", "--data", str(folders.data),
    )  # fmt: skip
    assert found["verdict"] == word
    offered = {kind.name: kind for kind in find_kinds(folders).kinds}
    assert "ntc-5k" in offered["sensor-ntc"].givens[0].choices
    assert "ntc-5k" not in offered["sensor-pt100"].givens[0].choices
    check = begin_check(
        1, BeginCheck(time_ns=0, part="", label="ntc-5k", kind=offered["sensor-ntc"]), Decimal(0)
    )
    check = typed(typed(check, 1, f"{ohm} kohm"), 2, "32.0 °F")
    assert check.verdict is not None and check.verdict.verdict.value == word


def test_a_kind_without_own_curves_is_written_as_ever(folders: Folders) -> None:
    assert '"curves"' not in kind_text(load_part_kind("sensor-ntc", folders))


def test_the_command_reads_a_sensor_of_the_users(
    folders: Folders, capsys: pytest.CaptureFixture[str]
) -> None:
    own(folders, "ntc-5k")
    data = ("--data", str(folders.data))
    answer = compute(capsys, "sensor", "ntc-5k", "--reading", "5kohm", *data)
    assert answer["temperature"]["value"] == pytest.approx(25, abs=0.01)
