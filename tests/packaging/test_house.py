"""What holds for the house as a whole: names stand for one thing, oracles stand apart."""

import ast
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

import pytest

from benchmeter.commands.main import COMMANDS

REPOSITORY = Path(__file__).parents[2]
TESTS = REPOSITORY / "tests"
PRODUCT = sorted((REPOSITORY / "benchmeter").rglob("*.py"))
# What the tests take for the truth: rules written anew, and instruments that are not ours.
ORACLES = sorted(
    path
    for path in TESTS.rglob("*.py")
    if path.stem in {"oracle", "accuracies"}
    or path.stem.startswith("own_")
    or path.stem.endswith(("_peer", "_by_hand"))
)


def imported(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are absolute"
            yield node.module or ""


@pytest.mark.parametrize("oracle", ORACLES, ids=lambda path: path.stem)
def test_an_oracle_imports_nothing_of_what_it_judges(oracle: Path) -> None:
    """Nor does what it imports of the tests, and it loads nothing by name."""
    asked, waiting = {oracle}, [oracle]
    while waiting:
        path = waiting.pop()
        for name in imported(path):
            root = name.partition(".")[0]
            assert root not in {"benchmeter", "importlib"}, f"{path.name} imports {name}"
            if root == "tests":
                file = REPOSITORY.joinpath(*name.split(".")).with_suffix(".py")
                assert file.is_file(), f"{path.name} imports {name}, which is no file"
                if file not in asked:
                    asked.add(file)
                    waiting.append(file)


def test_the_oracles_are_all_there() -> None:
    assert {path.stem for path in ORACLES} >= {"oracle", "own_reading", "scpi_peer", "modbus_peer"}


def test_no_file_name_stands_for_two_things() -> None:
    """A file of a command is named after it."""
    places = defaultdict(list)
    for path in PRODUCT:
        is_command = path.parent.name == "commands" and path.stem in COMMANDS
        if path.stem != "__init__" and not is_command:
            places[path.stem].append(str(path.relative_to(REPOSITORY)))
    assert {name: found for name, found in places.items() if len(found) > 1} == {}


def test_no_class_name_stands_for_two_things() -> None:
    places = defaultdict(list)
    for path in PRODUCT:
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.ClassDef):
                places[node.name].append(str(path.relative_to(REPOSITORY)))
    assert {name: found for name, found in places.items() if len(found) > 1} == {}
