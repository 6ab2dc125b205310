"""`benchmeter compute replacement`: what of a stock list may replace a part."""

from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from benchmeter.checking.check import begin_check, typed
from benchmeter.checking.commands import BeginCheck
from benchmeter.commands.main import run
from benchmeter.files.folders import Folders
from benchmeter.links.instruments.setup import BenchSetup
from benchmeter.record.store import Store
from tests.commands import computing

OLD = "45/5 uF ±6% 440 V"
LIST = f"""label,shape,count,place,own number
45/5 µF ±6 % 370 V,oval,1,van,
45/5 µF ±10 % 440 V,round,0,shelf 2,R7
{OLD},oval,3,van,
45/5 µF 440 V,,1,,
"""


@pytest.fixture
def stock(tmp_path: Path) -> Path:
    path = tmp_path / "stock.csv"
    path.write_text(LIST, encoding="utf-8")
    return path


def replacement(capsys: Any, data: Path, *arguments: str) -> dict[str, Any]:
    return computing.compute(capsys, "replacement", OLD, "--data", str(data), *arguments)


def test_the_list_of_the_data_folder_is_taken_unless_another_is_named(stock, capsys) -> None:
    own = replacement(capsys, stock.parent)
    assert own == replacement(capsys, stock.parent / "empty", "--from", str(stock))
    assert [(i["line"], i["fit"]) for i in own["items"]] == [
        (4, "fits"),
        (3, "look first"),
        (2, "does not fit"),
    ]
    assert own["items"][1]["reasons"] == ["looser tolerance", "none left"]
    assert "shape is not compared" in own["assumes"]
    assert [(b["line"], "no tolerance" in b["why"]) for b in own["not_read"]] == [(5, True)]


def test_the_shape_is_compared_where_it_is_told(stock, capsys) -> None:
    found = replacement(capsys, stock.parent, "--shape", "Oval")
    assert found["items"][1]["reasons"] == ["looser tolerance", "other shape", "none left"]
    assert found["items"][0]["reasons"] == []


def test_nothing_is_offered_before_it_was_measured(stock, capsys) -> None:
    found = replacement(capsys, stock.parent)
    assert {i["measured"] for i in found["items"]} == {"not measured yet"}
    assert not any(i["offered"] for i in found["items"])


def recorded(folders: Folders, *parts: tuple[str, str]) -> str:
    """A session with the verdicts on these parts, by name and HERM in µF."""
    setup = BenchSetup(origin="typed in", links=(), channels=())
    with Store.open(folders, write=True) as store:
        recorder = store.begin(setup, name="van", started=datetime.now(UTC), zone="UTC")
        for number, (name, herm) in enumerate(parts, 1):
            command = BeginCheck(time_ns=number, part=name, label=OLD, accuracy="1 %")
            check = typed(begin_check(number, command, Decimal(0)), number, herm)
            recorder.take(command, (), (), (typed(check, number, "5.00"),))
        recorder.close(ended=True)
        return recorder.session_id


def measured(found: dict[str, Any], line: int) -> tuple[str, bool]:
    item = next(i for i in found["items"] if i["line"] == line)
    return item["measured"], item["offered"]


def test_a_check_of_a_replacement_counts_in_its_own_session(stock, capsys) -> None:
    session = recorded(Folders(stock.parent), ("old part", "30.0"), ("replacement 1", "45.0"))
    recorded(Folders(stock.parent), ("replacement 1", "30.0"))
    assert measured(replacement(capsys, stock.parent), 4) == ("not measured yet", False)
    found = replacement(capsys, stock.parent, "--session", session)
    assert measured(found, 4) == ("measured good", True)
    found = replacement(capsys, stock.parent, "--session", session, "--rule", "simple")
    assert measured(found, 4) == ("measured by another rule", False)


def test_a_part_with_a_number_of_its_own_is_known_in_every_session(stock, capsys) -> None:
    stock.write_text(f"label,own number\n{OLD},R7\n{OLD},R8\n", encoding="utf-8")
    recorded(Folders(stock.parent), ("r7", "45.0"), ("R8", "45.0"))
    recorded(Folders(stock.parent), ("R8", "30.0"))
    found = replacement(capsys, stock.parent)
    assert measured(found, 2) == ("measured good", True)
    assert measured(found, 3) == ("measured bad", False)


def test_for_people(stock, capsys) -> None:
    assert run(["compute", "replacement", OLD, "--data", str(stock.parent)]) == 0
    shown = capsys.readouterr().out
    assert "Not measured yet: measure it before it goes in." in shown
    assert "It is rated 370 V, the old part 440 V." in shown
    assert "Line 5 is not read" in shown


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("45 uF", "--from", "stock.csv"), "gives no tolerance"),
        (("nonsense",), "not understood"),
        ((OLD, "--from", "nowhere.csv"), "cannot be read"),
        ((OLD, "--rule", "loose"), "invalid choice"),
    ],
)
def test_what_cannot_be_used_is_refused_in_one_line(stock, capsys, arguments, says) -> None:
    data = ("--data", str(stock.parent))
    assert says in computing.refused(capsys, "replacement", *arguments, *data)
