"""The command line speaks the language that was chosen, and nothing of it is left in English."""

import contextlib
import io
import re
from dataclasses import replace
from pathlib import Path

import pytest

from benchmeter.__main__ import main
from benchmeter.commands.main import COMMANDS, run
from benchmeter.files.folders import Folders
from benchmeter.files.preferences import Preferences, save_preferences
from benchmeter.words.catalogue import PSEUDO, find
from benchmeter.words.presentation import PLAIN
from tests.words.test_catalogue import entries

PSEUDO_SPEECH = replace(PLAIN, language=PSEUDO)
WHATS = (
    "under-load", "discharge-time", "step-fit", "unbalance", "windings", "sensor", "gauge-study",
    "recovery", "meter-history", "replacement",
)  # fmt: skip
HELP = [(), *((name,) for name in COMMANDS), *(("compute", what) for what in WHATS)]
LABEL = "45/5 uF ±6% 440 V"
# Short words may be the same by chance; a sentence may not.
ENGLISH = [
    part
    for _, told in entries()
    for text in told
    for part in re.split(r"\{[^}]*\}", text)
    if len(part.split()) >= 3
]


def said(*arguments: str) -> str:
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        try:
            run(arguments, PSEUDO_SPEECH)
        except SystemExit as left:  # --help leaves so
            assert left.code == 0
    return " ".join((out.getvalue() + err.getvalue()).split())


def told_in_english(spoken: str) -> list[str]:
    return [part for part in ENGLISH if part.strip() in spoken]


@pytest.mark.parametrize("command", HELP, ids=lambda c: " ".join(c) or "benchmeter")
def test_help_is_translated(command: tuple[str, ...]) -> None:
    spoken = said(*command, "--help")
    assert "[" in spoken
    assert told_in_english(spoken) == []
    assert re.search(r"options:|arguments:", spoken) is None
    assert spoken.count(PSEUDO_SPEECH.text("commands.options")) == 1


@pytest.mark.parametrize(
    "arguments",
    [
        ("judge", LABEL, "--read", "HERM=44.1", "--accuracy", "1 % + 2 counts"),
        ("judge", LABEL, "--tolerance", "5 %"),
        ("judge", LABEL, "--read", "44.1"),
        ("judge", "--read", "5"),
        ("judge", LABEL, "--out", "x.csv"),
        ("compute", "unbalance", "460V", "467V", "450V"),
        ("compute", "windings", "C-S=2.6ohm", "C-R=0.8ohm", "S-R=3.4ohm"),
        ("compute", "sensor", "pt100", "--reading", "109.73ohm"),
        ("compute", "sensor", "pt100", "--reading", "109.73ohm", "--class", "B"),
        ("compute", "discharge-time", "--capacitance", "45uF", "--voltage", "370V",
         "--resistance", "15kohm"),
        ("compute", "step-fit", "nowhere.csv"),
        ("record", "--from", "simulated:short-visit", "--pace", "0"),
        ("unheard-of",),
    ],
)  # fmt: skip
def test_what_is_printed_is_translated(arguments: tuple[str, ...]) -> None:
    assert told_in_english(said(*arguments)) == []


def test_a_text_left_in_english_is_noticed() -> None:
    found = find("english", "commands.no_rating")
    assert found is not None
    assert told_in_english(f"benchmeter: {found[0]}") != []


def test_the_chosen_language_is_spoken_and_json_keeps_its_words(
    folders: Folders, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    save_preferences(folders, Preferences(language="pseudo"))
    in_data = ("--data", str(folders.data))
    assert main(["judge", *in_data]) == 2
    assert capsys.readouterr().err.startswith("benchmeter: [")
    assert main(["judge", "5 uF 6%", "--read", "5", "--json", *in_data]) == 0
    assert '"verdict": "pass"' in capsys.readouterr().out
    assert main(["judge", "--data", str(tmp_path / "none")]) == 2
    assert "RATING is missing" in capsys.readouterr().err
