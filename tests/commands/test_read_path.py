"""What is printed is compared with what was recorded before it is printed.

One stored fact is changed as a bit that flips on a disk would change it: whatever would print it
refuses instead, names the session, and ends with status 1; what it does not touch is still shown.
"""

import json
import shutil
import sqlite3
from pathlib import Path

import pytest

from benchmeter.files.folders import Folders
from benchmeter.record.store import Store
from tests.commands.calls import call
from tests.record.frozen import unpack

CARTON, VISIT, CUT = "Carton of forty", "Visit, and the day after", "power cut"


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A carton, a visit and a session that was cut off, in the form of today."""
    folder = unpack("visits-of-version-2", tmp_path_factory.mktemp("whole") / "data")
    Store.open(Folders(folder), write=True).close()
    return folder


@pytest.fixture
def folder(whole: Path, tmp_path: Path) -> Path:
    shutil.copytree(whole, tmp_path / "data")
    return tmp_path / "data"


def flip(value: bytes | str | int | float) -> bytes | str | int | float:
    """The lowest bit of a number, or of the byte in the middle."""
    if isinstance(value, int):
        return value ^ 1
    if isinstance(value, float):
        return value + abs(value) * 2**-52
    body = bytearray(value.encode() if isinstance(value, str) else value)
    body[len(body) // 2] ^= 1
    return body.decode() if isinstance(value, str) else bytes(body)


def tampered(folder: Path, session: str, table: str, column: str) -> None:
    """Flip a bit of one value in every row of a session."""
    raw = sqlite3.connect(folder / "benchmeter.sqlite")
    raw.create_function("flip", 1, flip)
    of_session = "(SELECT id FROM session WHERE name = ?)"
    key = "id" if table == "session" else "session_id"
    changed = raw.execute(
        f"UPDATE {table} SET {column} = flip({column})"
        f" WHERE {key} IN {of_session} AND length({column}) > 0",
        (session,),
    )
    assert changed.rowcount > 0
    raw.commit()
    raw.close()


LISTED = [
    (CARTON, "session", "name"),
    (VISIT, "session", "remark"),
    (CARTON, "session", "origin"),
    (CARTON, "session", "started"),
    (CARTON, "session", "zone"),
    (CARTON, "session", "state"),
    (CARTON, "session", "removed"),
    (CARTON, "session", "last_ns"),
    (CARTON, "session", "reading_count"),
    (CARTON, "session", "form"),
    (CARTON, "session", "seal"),
    (CARTON, "verdict", "word"),
    (CARTON, "verdict", "subject"),
    (CUT, "verdict", "word"),
    (CUT, "session", "reading_count"),
]
SHOWN = [
    *LISTED,
    (CARTON, "session", "setup"),
    (CARTON, "verdict", "body"),
    (CARTON, "verdict", "time_ns"),
    (CARTON, "event", "text"),
    (CARTON, "event", "time_ns"),
    (CUT, "event", "number"),
    (CUT, "event", "reason"),
    (CARTON, "sample_block", "body"),
    (CARTON, "sample_block", "maximum"),
    (CARTON, "raw_pack", "body"),
    (CUT, "verdict", "body"),
    (CUT, "event", "text"),
    (CUT, "sample_tail", "value"),
    (CUT, "sample_tail", "time_ns"),
    (CUT, "raw_pack", "body"),
]


@pytest.mark.parametrize(("session", "table", "column"), SHOWN)
def test_a_bit_that_flipped_is_not_shown(
    folder: Path, session: str, table: str, column: str
) -> None:
    number = {s.name: s.id for s in sessions(folder)}
    tampered(folder, session, table, column)
    for form in ((), ("--json",)):
        if table == "raw_pack" and form:
            continue  # the document has nothing of the stream
        shown = call("show", number[session], *form, "--data", str(folder))
        assert (shown.status, shown.out) == (1, "")
        assert len(shown.err.splitlines()) == 1 and "benchmeter recheck" in shown.err
    rechecked = call("recheck", number[session], "--data", str(folder))
    assert rechecked.status == 1
    other = next(name for name in number if name != session)
    assert call("show", number[other], "--data", str(folder)).status == 0


@pytest.mark.parametrize(("session", "table", "column"), LISTED)
def test_a_bit_that_flipped_is_not_listed(
    folder: Path, session: str, table: str, column: str
) -> None:
    number = {s.name: s.id for s in sessions(folder)}
    tampered(folder, session, table, column)
    for form in ((), ("--json",)):
        listed = call("sessions", *form, "--data", str(folder))
        assert listed.status == 1
        assert number[session].replace("-", "") in listed.err.replace("-", "")
        assert number[session] not in listed.out
        assert all(known in listed.out for name, known in number.items() if name != session)


def test_a_sealed_verdict_in_which_a_word_changed_never_comes_out_as_it_stands(
    folder: Path,
) -> None:
    """In the list and in the body of the verdict."""
    with sqlite3.connect(folder / "benchmeter.sqlite") as raw:
        raw.execute("UPDATE verdict SET word = 'pass' WHERE word = 'fail'")
        raw.execute("UPDATE verdict SET body = CAST(replace(body, 'fail', 'pass') AS BLOB)")
    raw.close()
    for command in (("sessions",), ("show", CARTON), ("show", CARTON, "--json")):
        said = call(*command, "--data", str(folder))
        assert said.status == 1
        assert CARTON not in said.out


def test_a_recheck_of_all_tells_of_each_and_goes_on(folder: Path) -> None:
    assert call("recheck", "--data", str(folder)).status == 0
    tampered(folder, CARTON, "verdict", "body")
    tampered(folder, CUT, "session", "name")
    after = call("recheck", "--json", "--data", str(folder))
    assert (after.status, after.err) == (1, "")
    found = [[d["stored"] for d in s["differences"]] for s in json.loads(after.out)["sessions"]]
    assert len(found) == 3 and found.count([]) == 1
    told = {sentence for each in found for sentence in each}
    assert told >= {
        "The stored verdicts were changed.",
        "The name, state, time or another entry of the session itself was changed.",
    }


def sessions(folder: Path) -> tuple:
    with Store.open(Folders(folder), write=False) as store:
        return store.sessions()
