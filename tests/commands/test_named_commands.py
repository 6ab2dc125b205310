"""What a sentence tells a person to type can be typed: every command and option that is named."""

import argparse
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from benchmeter.commands.main import COMMANDS, parser_of
from benchmeter.words.presentation import PLAIN
from tests.words.test_catalogue import entries

README = Path(__file__).parents[2] / "README.md"
WINDOW = {"--simulate", "--data"}  # of `benchmeter` itself
# As it is told to be typed: in quotes, in parentheses, behind a colon or "or with".
TYPED = re.compile(r"(?:[“(`]|: |with )benchmeter ([a-z][a-z-]*)([^”)`]*)")
SHORT = re.compile(rf": ({'|'.join(COMMANDS)}) (?=--|[A-Z\"“])([^”)]*)")
OPTION = re.compile(r"(?<![\w-])--[a-z][a-z-]*")


def options(parser: argparse.ArgumentParser) -> set[str]:
    """Every option of a command and of what is below it."""
    found = {name for action in parser._actions for name in action.option_strings}
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            found.update(*(options(below) for below in action.choices.values()))
    return found


OPTIONS = {
    name: options(parser_of([name], PLAIN)._subparsers._group_actions[0].choices[name])  # type: ignore[union-attr, index, call-overload]
    for name in COMMANDS
}


def wrong(text: str) -> Iterator[str]:
    """What of a sentence could not be typed."""
    known = WINDOW.union(*OPTIONS.values())
    yield from (option for option in OPTION.findall(text) if option not in known)
    for name, rest in TYPED.findall(text) + SHORT.findall(text):
        if name not in COMMANDS:
            yield f"benchmeter {name}"
            continue
        yield from (
            f"{name} {option}" for option in OPTION.findall(rest) if option not in OPTIONS[name]
        )


def test_every_command_and_option_that_the_catalogue_names_exists() -> None:
    found = [(code, w) for code, told in entries() for text in told for w in wrong(text)]
    assert found == []


def test_every_command_and_option_that_the_readme_names_exists() -> None:
    lines = re.findall(r"^benchmeter .*|`benchmeter [^`]*`", README.read_text("utf-8"), re.M)
    assert len(lines) > 10
    assert [(line, w) for line in lines for w in wrong(f"`{line.strip('`')}`")] == []


@pytest.mark.parametrize(
    ("sentence", "told"),
    [
        ("Check the record (benchmeter verify) first.", ["benchmeter verify"]),
        ("Look at it: benchmeter show 17 --all", ["--all", "show --all"]),
        ("Judge it: judge RATING --for 3s", ["judge --for"]),
        ("Another benchmeter is open; benchmeter itself went wrong.", []),
        ("List the sessions (benchmeter sessions --json).", []),
    ],
)
def test_a_command_that_is_none_is_found(sentence: str, told: list[str]) -> None:
    assert list(wrong(sentence)) == told
