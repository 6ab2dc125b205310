"""What earlier versions of the program stored opens, shows and rechecks as it did then.

tests/data/records/make_records.py tells what is in the records. Sentences for people may be
reworded; every value, verdict, reason, time and count must stay.
"""

from pathlib import Path

import pytest

from benchmeter.files.folders import Folders
from benchmeter.record.store import Store
from tests.commands.calls import document
from tests.fakes.programs import one_after_another
from tests.record.frozen import NAMES, cells_with_numbers, differing, expected, unpack

_LONG = {"walk-in-cooler"}  # twenty minutes of air: its fit is made again each second

ALL = [pytest.param(n, marks=pytest.mark.slow if n in _LONG else ()) for n in NAMES]


@pytest.fixture(scope="module", params=ALL)
def frozen(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> tuple[str, Path]:
    """A record of each kind, and the data folder that its copy lies in."""
    return request.param, unpack(request.param, tmp_path_factory.mktemp("frozen") / "data")


def test_a_stored_session_is_listed_shown_and_judged_as_before(frozen: tuple[str, Path]) -> None:
    name, folder = frozen
    before = expected(name)
    numbers = list(before["show"])
    data = ("--data", str(folder))
    sessions, recheck = document("sessions", *data), document("recheck", *data)
    shown = [document("show", number, *data) for number in numbers]
    assert differing(before["sessions"], sessions) == []
    for number, now in zip(numbers, shown, strict=True):
        assert differing(before["show"][number], now) == []
        assert all(event["words"] for event in now["events"])
    assert differing(before["recheck"], recheck) == []


def test_brought_up_to_date_they_show_the_same(tmp_path: Path) -> None:
    for name in NAMES:
        folder = unpack(name, tmp_path / name)
        Store.open(Folders(folder), write=True).close()
        for number, before in expected(name)["show"].items():
            assert differing(before, document("show", number, "--data", str(folder))) == []


@pytest.mark.gui
def test_a_report_gives_the_numbers_that_it_gave(tmp_path: Path) -> None:
    """Of a session that was never closed the recovery came in later, computed anew; of a reading
    near a limit how likely it lies inside, and what could decide it."""
    wanted, commands, open_ones = {}, [], set()
    for name in NAMES:
        folder = unpack(name, tmp_path / name)
        for number, numbers in expected(name)["report"].items():
            page = tmp_path / f"{number}.html"
            wanted[page] = numbers
            if expected(name)["show"][number]["state"] != "ended":
                open_ones.add(page)
            commands.append(["report", number, "--to", str(page), "--data", str(folder)])
    assert [done.err for done in one_after_another(commands) if done.status] == []
    for page, numbers in wanted.items():
        written = page.read_text(encoding="utf-8")
        told = cells_with_numbers(written)
        if page in open_ones or "on this reading: a meter of" in written:
            rest = iter(told)
            told = [number for number in numbers if number in rest]
        assert told == numbers, page


def test_the_frozen_records_hold_what_can_be_stored() -> None:
    """A kind of event, verdict or command that is missing here would be frozen nowhere."""
    shown = [session for name in NAMES for session in expected(name)["show"].values()]
    events = {event["kind"] for session in shown for event in session["events"]}
    assert events >= {
        *("link up", "link lost", "gap", "clock step", "garbled", "function", "typed"),
        *("power restored", "start detected", "settled", "mark", "remark", "leads nulled"),
        "bias accepted",
    }
    verdicts = {(v["kind"], v["verdict"]) for session in shown for v in session["verdicts"]}
    assert verdicts >= {
        *(("part", word) for word in ("pass", "conditional pass", "conditional fail", "fail")),
        *(("part", word) for word in ("undecidable", "open", "shorted", "no reading")),
        *(("reference", f"meter {word}") for word in ("agrees", "differs")),
        ("reference", "cannot tell"),
        ("recovery", "settled, usual"),
    }
    statuses = {r["status"] for s in shown for c in s["channels"] for r in c["readings"]}
    assert statuses >= {"ok", "overload", "wrong function", "no contact", "suspect"}
    checks = [v for s in shown for v in s["verdicts"] if v["kind"] == "part"]
    kinds = {v["finding"]["rating"]["kind"] for v in checks}
    assert len(kinds) > 30
