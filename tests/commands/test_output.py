"""Standard output that is full, closed, or of few letters: one sentence, and a status that tells."""

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import IO, Any

import pytest

JUDGE = ("judge", "45/5 uF ±6% 440 V", "--read", "HERM=44.1uF", "--read", "FAN=5.0uF")
HELP = ("record", "--help")


def told(*arguments: str, stdout: Any, **environment: str) -> tuple[int, list[str]]:
    """Exit status, and the lines on standard error."""
    done = subprocess.run(
        [sys.executable, "-m", "benchmeter", *arguments],
        stdout=stdout, stderr=subprocess.PIPE, text=True, timeout=60,
        env={**os.environ, **environment},
    )  # fmt: skip
    return done.returncode, done.stderr.splitlines()


@pytest.fixture
def full() -> IO[bytes]:
    if not Path("/dev/full").exists():
        pytest.skip("this system has no /dev/full")
    return Path("/dev/full").open("wb")


@pytest.mark.parametrize(
    "arguments", [JUDGE, (*JUDGE, "--json"), HELP], ids=["text", "json", "help"]
)
def test_a_disk_that_is_full_is_told(full: IO[bytes], arguments: tuple[str, ...]) -> None:
    with full:
        status, lines = told(*arguments, stdout=full)
    assert status == 1
    assert lines == [
        "benchmeter: The output cannot be written: No space left on device. "
        "Send it to another place."
    ]


def test_a_recording_that_cannot_tell_its_name_is_ended(full: IO[bytes], tmp_path: Path) -> None:
    folder = ("--data", str(tmp_path))
    with full:
        status, _ = told("record", "--from", "simulated:short-visit", *folder, stdout=full)
    assert status == 1
    listed = subprocess.run(
        [sys.executable, "-m", "benchmeter", "sessions", "--json", *folder],
        capture_output=True, text=True, timeout=60, check=True,
    )  # fmt: skip
    assert [s["state"] for s in json.loads(listed.stdout)["sessions"]] == ["ended"]


@pytest.mark.parametrize(
    "arguments", [JUDGE, (*JUDGE, "--json"), HELP], ids=["text", "json", "help"]
)
def test_a_reader_that_has_gone_is_told(arguments: tuple[str, ...]) -> None:
    reading, writing = os.pipe()
    os.close(reading)
    try:
        status, lines = told(*arguments, stdout=writing)
    finally:
        os.close(writing)
    assert status == 1
    assert lines == [
        "benchmeter: Whoever took the output has stopped reading; the rest is not written."
    ]


def test_letters_that_a_terminal_lacks_are_written_by_their_codes() -> None:
    done = [
        subprocess.run(
            [sys.executable, "-m", "benchmeter", *JUDGE],
            capture_output=True, timeout=60, check=True,
            env={**os.environ, "PYTHONIOENCODING": coding},
        )
        for coding in ("utf-8", "ascii")
    ]  # fmt: skip
    whole, coded = done[0].stdout.decode(), done[1].stdout.decode("ascii")
    assert "µ" in whole
    assert coded.encode().decode("unicode_escape") == whole
    (line,) = done[1].stderr.decode().splitlines()
    assert "lacks some letters" in line and "Set its encoding to UTF-8." in line


def test_json_needs_no_letter_beyond_ascii() -> None:
    documents = []
    for encoding in ("utf-8", "ascii"):
        done = subprocess.run(
            [sys.executable, "-m", "benchmeter", *JUDGE, "--json"],
            capture_output=True, timeout=60, check=True,
            env={**os.environ, "PYTHONIOENCODING": encoding},
        )  # fmt: skip
        assert done.stderr == b""
        documents.append(json.loads(done.stdout.decode(encoding)))
    assert documents[0] == documents[1]


def test_what_a_simulated_visit_left_is_kept_and_another_folder_advised(tmp_path: Path) -> None:
    (tmp_path / "report.pdf").touch()
    displays = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    done = subprocess.run(
        [sys.executable, "-m", "benchmeter", "--simulate", "short-visit", "--data", str(tmp_path)],
        capture_output=True, text=True, timeout=60, check=False,
        env={name: value for name, value in os.environ.items() if name not in displays},
    )  # fmt: skip
    assert done.returncode == 2
    assert done.stderr.endswith("it was left as it is. Name another folder with --data.\n")
    assert [left.name for left in tmp_path.iterdir()] == ["report.pdf"]
