"""The facts of a visit at the command line: stated, taken back, shown, refused. All invented."""

import json
import sqlite3
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from benchmeter.errors import StoreDamaged, StoreNewer
from benchmeter.files.folders import Folders
from benchmeter.record.store import Store
from benchmeter.session.visit import PartOrigin, Visit
from tests.commands.calls import call, document
from tests.record.frozen import NAMES, expected, unpack

FACTS = {
    "measured_by": "T. Echnician", "company": "Cold & Co., 1 Main St", "customer": "Ann Sample",
    "place": "Roof, unit 4", "unit_maker": "Maker A", "unit_model": "M-36", "unit_serial": "0815",
    "complaint": "blows warm; “since Monday”", "rule_agreed_with": "Ann Sample",
}  # fmt: skip
OPTIONS = [w for name, said in FACTS.items() for w in (f"--{name.replace('_', '-')}", said)]
PART = {"maker": "Maker B", "serial": "C-77", "date_code": "2619"}


@pytest.fixture(scope="module")
def recorded(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, str]:
    """The data folder, and the session in it."""
    data = str(tmp_path_factory.mktemp("visit"))
    made = document(
        "record", "--from", "simulated:short-visit", "--pace", "max", "--data", data, *OPTIONS,
        "--ambient", "95F", "--maker", "Maker B",
    )  # fmt: skip
    return data, made["id"]


@pytest.fixture
def visit(recorded: tuple[str, str]) -> Iterator[Any]:
    """Calls the command on the session; what it stated is taken back afterwards."""
    data, session = recorded
    with Store.open(Folders(Path(data)), write=False) as store:
        before = store.visit(session)
    yield lambda *words: document("visit", session, "--data", data, *words)["visit"]
    with Store.open(Folders(Path(data)), write=True) as store:
        store.describe(session, before)


def test_every_fact_is_recorded_and_shown(recorded: tuple[str, str]) -> None:
    """95 °F = 35 °C (exact: (95 − 32)·5/9)."""
    data, session = recorded
    shown = document("show", session, "--data", data)["visit"]
    assert shown["parts"] == [
        {"check": 1, "part": "old part", "maker": "Maker B", "serial": None, "date_code": None}
    ]
    assert {**shown, "parts": None} == {**FACTS, "ambient_c": 35.0, "parts": None}
    for command in ("show", "visit"):
        told = call(command, session, "--data", data).out
        for fact in (*FACTS.values(), "35.0 °C", "maker Maker B, serial number not stated"):
            assert fact in told


def test_each_fact_can_be_stated_later_and_taken_back_by_itself(visit: Any) -> None:
    whole = visit()
    for name in FACTS:
        option = f"--{name.replace('_', '-')}"
        assert visit(option, "") == {**whole, name: None}
        assert visit(option, "  new \n words ") == {**whole, name: "new words"}
        assert visit(option, FACTS[name]) == whole
    assert visit("--ambient", "")["ambient_c"] is None
    (part,) = visit("--check", "1", *(w for k, v in PART.items() for w in (_option(k), v)))["parts"]
    assert part == {"check": 1, "part": "old part", **PART}


def _option(name: str) -> str:
    return f"--{name.replace('_', '-')}"


@pytest.mark.parametrize(
    ("typed", "celsius"),
    [
        ("95F", 35.0), ("95 °F", 35.0), ("-40F", -40.0),  # −40 is the same in both
        ("21,5 °C", 21.5), ("21.5C", 21.5), ("294.65 K", 21.5),  # decimal comma; 0 °C = 273.15 K
    ],
)  # fmt: skip
def test_the_ambient_temperature_in_any_degrees(visit: Any, typed: str, celsius: float) -> None:
    assert visit("--ambient", typed)["ambient_c"] == pytest.approx(celsius, abs=1e-9)


@pytest.mark.parametrize(
    "words",
    [
        ("--ambient", "95"),  # of which degrees?
        ("--ambient", "warm"), ("--ambient", "5 uF"), ("--ambient", "OL"), ("--ambient", "350F"),
        ("--ambient", "-300C"),  # below absolute zero
        ("--customer", "x" * 301),
        ("--maker", "Maker B"),  # of which part?
        ("--check", "2", "--maker", "Maker B"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_and_changes_nothing(
    recorded: tuple[str, str], words: tuple[str, ...]
) -> None:
    data, session = recorded
    before = document("visit", session, "--data", data)
    done = call("visit", session, "--data", data, *words)
    assert (done.status, done.out) == (2, "")
    assert done.err.count("\n") == 1
    assert document("visit", session, "--data", data) == before


def test_what_was_stated_is_kept_among_the_revisions(recorded: tuple[str, str], visit: Any) -> None:
    data, session = recorded
    visit("--customer", "B. Other")
    with Store.open(Folders(Path(data)), write=False) as store:
        kept = [r.text for r in store.revisions(session) if r.field == "visit"]
        assert store.check(session) == ()
    assert json.loads(kept[-1])["customer"] == "B. Other"
    assert any(text and json.loads(text)["customer"] == "Ann Sample" for text in kept)


def test_of_older_records_nothing_is_stated(tmp_path: Path) -> None:
    for name in NAMES:
        folder = unpack(name, tmp_path / name)
        for write in (False, True):  # as it is, and brought up to date
            with Store.open(Folders(folder), write=write) as store:
                for session in expected(name)["show"]:
                    assert store.visit(session) == Visit()


def test_an_older_record_takes_a_visit_once_it_is_brought_up_to_date(tmp_path: Path) -> None:
    folder = Folders(unpack("visits-of-version-3", tmp_path / "data"))
    stated = Visit(customer="Ann Sample", ambient_c=35.0, parts=(PartOrigin(1, "Maker B"),))
    with Store.open(folder, write=True) as store:
        for session in store.sessions():
            store.describe(session.id, stated)
    with Store.open(folder, write=False) as store:
        for session in store.sessions():
            assert store.visit(session.id) == stated
            assert store.check(session.id) == ()


@pytest.mark.parametrize(
    ("forged", "error"),
    [('{"form":1,"customer":"Z. Forged"}', StoreDamaged), (None, StoreDamaged)],
)
def test_a_visit_that_was_changed_on_the_disk_is_refused(
    tmp_path: Path, forged: str | None, error: type[Exception]
) -> None:
    folder = Folders(unpack("visits-of-version-3", tmp_path / "data"))
    with Store.open(folder, write=True) as store:
        session = store.sessions()[0].id
        store.describe(session, Visit(customer="Ann Sample"))
    with sqlite3.connect(folder.database) as raw:
        raw.execute("UPDATE session SET visit = ? WHERE visit IS NOT NULL", (forged,))
    raw.close()
    with Store.open(folder, write=False) as store, pytest.raises(error):
        store.visit(session)


def test_a_visit_of_a_newer_form_is_not_taken_for_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = Folders(unpack("visits-of-version-3", tmp_path / "data"))
    with Store.open(folder, write=True) as store:
        session = store.sessions()[0].id
        monkeypatch.setattr("benchmeter.record.structs.stored_visit._FORM", 2)
        store.describe(session, Visit(customer="Ann Sample"))
        monkeypatch.undo()
        with pytest.raises(StoreNewer):
            store.visit(session)
