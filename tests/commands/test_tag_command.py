"""`tag`, and `show` with what a tag's code says, as processes."""

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from tests.fakes.programs import benchmeter, benchmeter_json


@pytest.fixture(scope="module")
def session(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, str]:
    """Data folder and id of a session in which one part was judged, and passed."""
    data = str(tmp_path_factory.mktemp("tagged") / "data")
    told = benchmeter_json(
        "record", "--from", "simulated:short-visit", "--pace", "max", "--data", data
    )
    assert [v["verdict"] for v in told["verdicts"]] == ["pass"]
    return data, told["id"]


def test_a_session_leaves_a_tag_whose_code_finds_it_again(session: tuple[str, str], tmp_path: Path):
    data, session_id = session
    to = tmp_path / "tags.pdf"
    told = benchmeter_json("tag", session_id[-8:], "--to", str(to), "--data", data)
    assert told["file"] == str(to)
    (tag,) = told["tags"]
    assert (tag["check"], tag["verdict"]) == (1, "pass")
    assert tag["code"] == f"urn:uuid:{session_id}#check-1"
    assert to.read_bytes().startswith(b"%PDF-")
    assert re.findall(rb"/Type /Page\b(?!s)", to.read_bytes()) == [b"/Type /Page"]

    shown = benchmeter_json("show", tag["code"], "--brief", "--data", data)
    assert shown["id"] == session_id
    again = benchmeter_json("tag", tag["code"], "--to", str(to), "--replace", "--data", data)
    assert again["tags"] == [tag]


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="needs poppler")
def test_the_tag_says_what_the_record_says(session: tuple[str, str], tmp_path: Path):
    data, session_id = session
    to = tmp_path / "tags.pdf"
    done = benchmeter("tag", session_id, "--to", str(to), "--size", "100x50", "--data", data)
    assert done.returncode == 0
    assert done.stdout.splitlines()[-1] == f"Written: {to}"
    read = subprocess.run(["pdftotext", to, "-"], capture_output=True, text=True, check=True)
    shown = benchmeter_json("show", session_id, "--brief", "--data", data)
    (verdict,) = (v for v in shown["verdicts"] if v["kind"] == "part")
    assert "Pass" in read.stdout
    assert verdict["subject"] in read.stdout
    assert "simulated" in read.stdout
    assert session_id[-8:] in read.stdout


def test_help_lists_the_sizes_and_sheets():
    done = benchmeter("tag", "--help")
    assert done.returncode == 0
    for name in ("62x29", "57x32", "100x50", "50x25", "a4-3x8", "letter-3x10"):
        assert name in done.stdout


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (("--size", "13x13"), "62x29"),
        (("--sheet", "a4-13x13"), "a4-3x8"),
        (("--size", "a4-3x8"), "--sheet a4-3x8"),
        (("--size", "62x29", "--sheet", "a4-3x8"), "--sheet"),
        (("--start", "3"), "single label"),
        (("--sheet", "a4-3x8", "--start", "25"), "1 to 24"),
        (("--sheet", "a4-3x8", "--start", "0"), "1 to 24"),
        (("--check", "7"), "There is one on: 1."),
        (("--check", "first"), "first"),
        (("--to", "tags.png"), ".pdf"),
    ],
)
def test_wrong_input_exits_2_with_one_line_that_says_how_to_mend_it(
    session: tuple[str, str], tmp_path: Path, options: tuple[str, ...], told: str
):
    data, session_id = session
    to = tmp_path / "tags.pdf"
    done = benchmeter("tag", session_id, "--to", str(to), *options, "--data", data)
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert told in done.stderr
    assert done.stdout == ""
    assert not to.exists()


@pytest.mark.parametrize("wanted", ["0000", "urn:uuid:0000", "urn:uuid:" + "0" * 35])
def test_what_is_not_in_the_record_exits_2(session: tuple[str, str], tmp_path: Path, wanted: str):
    data, _ = session
    for command in (("show", wanted), ("tag", wanted, "--to", str(tmp_path / "x.pdf"))):
        done = benchmeter(*command, "--data", data)
        assert done.returncode == 2
        assert done.stderr.count("\n") == 1


def test_a_session_without_a_judged_part_says_so(tmp_path: Path):
    data = str(tmp_path / "data")
    told = benchmeter_json(
        *("record", "--from", "simulated:short-visit", "--for", "1s"), "--data", data
    )
    done = benchmeter("tag", told["id"], "--to", str(tmp_path / "x.pdf"), "--data", data)
    assert done.returncode == 2
    assert "No part was judged" in done.stderr
    assert done.stderr.count("\n") == 1


def test_a_folder_that_is_not_there_exits_1(session: tuple[str, str], tmp_path: Path):
    data, session_id = session
    to = tmp_path / "nowhere" / "tags.pdf"
    done = benchmeter("tag", session_id, "--to", str(to), "--data", data)
    assert done.returncode == 1
    assert done.stderr.count("\n") == 1
    assert "tags.pdf" in done.stderr
