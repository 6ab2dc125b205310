"""A run: draw mutants, find the tests that can see each, let those judge it."""

import tempfile
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import pytest

from tests.mutation import tracing
from tests.mutation.children import Death, forked, killed_by, passing, run_tests
from tests.mutation.code import code_mutants, enum_members
from tests.mutation.data import data_mutants
from tests.mutation.house import House
from tests.mutation.mutant import Mutant
from tests.mutation.selection import Selection
from tests.mutation.tracing import Traces, read_traces

__all__ = ["Fate", "all_code", "all_data", "judged", "traced"]

_CPU_SECONDS = 1200  # of all tests
_OVERDUE = Death("the time limit", is_test=False)


class NotJudged(Exception):
    """The tests cannot judge even the program as it is; nothing can be said of its mutants."""


@dataclass(frozen=True, slots=True)
class Fate:
    """What became of a mutant. `death` is None where it survived `asked` tests."""

    mutant: Mutant
    asked: int
    death: Death | None


def all_code(house: House, files: Collection[str] | None = None) -> list[Mutant]:
    """Every mutant of the pure wings, or of some files of them."""
    sources = house.sources()
    enums = enum_members(sources)
    return [
        mutant
        for path in sources
        if files is None or house.name_of(path) in files
        for mutant in code_mutants(
            path.read_text(encoding="utf-8"), house.name_of(path), house.wing_of(path), enums
        )
    ]


def all_data(house: House) -> list[Mutant]:
    """Every mutant of the data files."""
    found = []
    for folder in house.data:
        files = sorted((house.root / "resources" / folder).glob("*.toml"))
        texts = {house.name_of(path): path.read_text(encoding="utf-8") for path in files}
        found += data_mutants(texts, folder)
    return found


def traced(house: House, jobs: int) -> Traces:
    """What each test runs and reads: all of them once.

    Raises:
        NotJudged: they cannot be run.
    """
    files = sorted(
        (p for name in house.tests for p in (house.root / name).rglob("test_*.py")),
        key=lambda path: -path.stat().st_size,
    )
    shares = [files[i :: 2 * jobs] for i in range(2 * jobs)]
    with tempfile.TemporaryDirectory(prefix="traces-") as folder:
        work = [
            partial(_trace, house, share, Path(folder) / str(i)) for i, share in enumerate(shares)
        ]
        for number, code in forked(work, jobs, _CPU_SECONDS):
            if code not in (pytest.ExitCode.OK, pytest.ExitCode.TESTS_FAILED):
                names = ", ".join(house.name_of(path) for path in shares[number])
                raise NotJudged(f"pytest ended with {code} on {names}")
        traces = Traces()
        for number in range(len(shares)):
            traces.add(read_traces(Path(folder) / str(number)))
    return traces


def _trace(house: House, files: Sequence[Path], folder: Path) -> int:
    folder.mkdir()
    if not files:
        return pytest.ExitCode.OK
    names = [house.name_of(path) for path in files]
    options = [f"--traces={folder}", f"--traced={house.package}"]
    return run_tests(house, [*options, *names], plugins=[tracing]).code


def judged(house: House, mutants: Sequence[Mutant], traces: Traces, jobs: int) -> Iterator[Fate]:
    """The fate of each mutant, as they come.

    Raises:
        NotJudged: a test that killed fails on the program as it is as well.
    """
    selection = Selection(house, traces)
    tests = [selection.tests(mutant) for mutant in mutants]
    seen = [i for i, names in enumerate(tests) if names]
    yield from (Fate(mutants[i], 0, None) for i, names in enumerate(tests) if not names)
    work = [_answering(killed_by(house, mutants[i], tests[i])) for i in seen]
    killers = set[str]()
    for number, answer in forked(work, jobs):
        death = _OVERDUE if answer is None else answer[0]
        if death is not None and death.is_test:
            killers.add(death.by)
        yield Fate(mutants[seen[number]], len(tests[seen[number]]), death)
    for _, failed in forked([passing(house, sorted(killers))] if killers else [], 1):
        if failed is None or failed:
            raise NotJudged(f"These fail as it is: {failed}")


def _answering(work: Callable[[], Death | None]) -> Callable[[], tuple[Death | None]]:
    """An answer even where nothing killed: None is a child that gave none."""
    return lambda: (work(),)
