"""`tag`, and `show` with what a tag's code says."""

import json
import re
import shutil
import subprocess
from pathlib import Path

import pytest

from benchmeter.commands.main import run
from tests.commands.calls import call, document
from tests.fakes.programs import benchmeter, one_after_another


@pytest.fixture(scope="module")
def session(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, str]:
    """Data folder and id of a session in which one part was judged, and passed."""
    data = str(tmp_path_factory.mktemp("tagged") / "data")
    record = ("record", "--from", "simulated:short-visit", "--pace", "max", "--data", data)
    told = document(*record)
    assert [v["verdict"] for v in told["verdicts"]] == ["pass"]
    return data, told["id"]


def test_a_session_leaves_a_tag_whose_code_finds_it_again(session: tuple[str, str], tmp_path: Path):
    data, session_id = session
    to = tmp_path / "tags.pdf"
    code = f"urn:uuid:{session_id}#check-1"
    tag = ("tag", "--to", str(to), "--data", data, "--json")
    written = one_after_another([(*tag, session_id[-8:]), (*tag, code, "--replace")])
    told, again = (json.loads(done.out) for done in written)
    assert told["file"] == str(to)
    (tagged,) = told["tags"]
    assert (tagged["check"], tagged["verdict"], tagged["code"]) == (1, "pass", code)
    assert to.read_bytes().startswith(b"%PDF-")
    assert re.findall(rb"/Type /Page\b(?!s)", to.read_bytes()) == [b"/Type /Page"]
    assert document("show", code, "--brief", "--data", data)["id"] == session_id
    assert again["tags"] == [tagged]


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="needs poppler")
def test_the_tag_says_what_the_record_says(session: tuple[str, str], tmp_path: Path):
    data, session_id = session
    to = tmp_path / "tags.pdf"
    done = benchmeter("tag", session_id, "--to", str(to), "--size", "100x50", "--data", data)
    assert done.returncode == 0
    assert done.stdout.splitlines()[-1] == f"Written: {to}"
    read = subprocess.run(["pdftotext", to, "-"], capture_output=True, text=True, check=True)
    shown = document("show", session_id, "--brief", "--data", data)
    (verdict,) = (v for v in shown["verdicts"] if v["kind"] == "part")
    assert "Pass" in read.stdout
    assert verdict["subject"] in read.stdout
    assert "simulated" in read.stdout
    assert session_id[-8:] in read.stdout


def test_help_lists_the_sizes_and_sheets(capsys: pytest.CaptureFixture[str]):
    with pytest.raises(SystemExit, match=r"^0$"):
        run(("tag", "--help"))
    told = capsys.readouterr().out
    for name in ("62x29", "57x32", "100x50", "50x25", "a4-3x8", "letter-3x10"):
        assert name in told


def test_wrong_input_is_told_in_one_line_that_says_how_to_mend_it(
    session: tuple[str, str], tmp_path: Path
):
    data, session_id = session
    none_judged = document(
        "record", "--from", "simulated:short-visit", "--for", "1s", "--data", data
    )
    to, nowhere = tmp_path / "tags.pdf", tmp_path / "nowhere" / "tags.pdf"
    wrong = {
        (session_id, "--size", "13x13"): (2, "62x29"),
        (session_id, "--sheet", "a4-13x13"): (2, "a4-3x8"),
        (session_id, "--size", "a4-3x8"): (2, "--sheet a4-3x8"),
        (session_id, "--size", "62x29", "--sheet", "a4-3x8"): (2, "--sheet"),
        (session_id, "--start", "3"): (2, "single label"),
        (session_id, "--sheet", "a4-3x8", "--start", "25"): (2, "1 to 24"),
        (session_id, "--sheet", "a4-3x8", "--start", "0"): (2, "1 to 24"),
        (session_id, "--check", "7"): (2, "There is one on: 1."),
        (session_id, "--check", "first"): (2, "first"),
        (session_id, "--to", "tags.png"): (2, ".pdf"),
        (session_id, "--to", str(nowhere)): (1, "tags.pdf"),
        (none_judged["id"],): (2, "No part was judged"),
        ("0000",): (2, ""),
        ("urn:uuid:0000",): (2, ""),
        ("urn:uuid:" + "0" * 35,): (2, ""),
    }
    tag = ("tag", "--to", str(to), "--data", data)
    for (status, says), done in zip(
        wrong.values(), one_after_another((*tag, *given) for given in wrong), strict=True
    ):
        assert (done.status, done.err.count("\n"), done.out) == (status, 1, ""), done
        assert says in done.err
    assert not to.exists()


@pytest.mark.parametrize("wanted", ["0000", "urn:uuid:0000", "urn:uuid:" + "0" * 35])
def test_what_is_not_in_the_record_is_not_shown(session: tuple[str, str], wanted: str):
    done = call("show", wanted, "--data", session[0])
    assert (done.status, done.err.count("\n")) == (2, 1)
