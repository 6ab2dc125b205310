"""Where tests meet mutants: one process holds all that is collected and forks for each question.

What changes a function is put into the functions that are loaded: a fork, the tests that run its
statement, done. What is worked out at import, and what survived so, is asked again in a process
that loads the package anew.
"""

import contextlib
import gc
import importlib
import os
from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

import pytest

from tests.mutation.changing import change_loaded, change_unloaded, loaded_functions
from tests.mutation.children import forked
from tests.mutation.house import House
from tests.mutation.mutant import Mutant
from tests.mutation.selection import Selection
from tests.mutation.tracing import Tracer, Traces

__all__ = ["Death", "Fate", "NotJudged", "judged_afresh", "judged_at_once", "warm_up"]

_LIBRARIES = (
    "hypothesis",
    "hypothesis.strategies",
    "msgspec",
    "numpy",
    "pint",
    "scipy.optimize",
    "scipy.stats",
    "sqlalchemy.orm",
    "statsmodels.api",
    "thermocouples_reference",
)
_OPTIONS = (
    "-o", "addopts=", "--import-mode=importlib", "--strict-markers", "-p", "no:cacheprovider",
    "-p", "pytest_timeout", "-p", "_hypothesis_pytestplugin", "--hypothesis-profile", "mutation",
    "-m", "not gui and not x11 and not slow", "-q", "--tb=no", "--no-header", "-c", "pyproject.toml",
)  # fmt: skip
_ALL_SECONDS = 7200
_SHARES = 3  # of the tests to be traced, for each child at once


class NotJudged(Exception):
    """The tests cannot judge even the program as it is; nothing can be said of its mutants."""


@dataclass(frozen=True, slots=True)
class Death:
    """What noticed a mutant: the name of a test, or how the run ended."""

    by: str
    is_test: bool = True


OVERDUE = Death("the time limit", is_test=False)


@dataclass(frozen=True, slots=True)
class Fate:
    """What became of a mutant. `death` is None where it survived the tests that were `asked`."""

    mutant: Mutant
    asked: tuple[str, ...]
    death: Death | None


def warm_up() -> None:
    """Import what every child needs but the package itself."""
    os.environ["BENCHMETER_WITHOUT_QT"] = "1"
    os.environ["PYTEST_DISABLE_PLUGIN_AUTOLOAD"] = "1"
    # One thread each: two children run at once, and a fork keeps none but its own.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    for name in _LIBRARIES:
        with contextlib.suppress(ImportError):
            importlib.import_module(name)


def _pytest(house: House, arguments: Sequence[str], plugin: object) -> int:
    import hypothesis

    # The first counter-example is enough, and each run must find the same.
    hypothesis.settings.register_profile(
        "mutation",
        deadline=None,
        database=None,
        derandomize=True,
        phases=(hypothesis.Phase.explicit, hypothesis.Phase.generate),
        suppress_health_check=list(hypothesis.HealthCheck),
    )
    os.chdir(house.root)
    return pytest.main([*_OPTIONS, *arguments], plugins=[plugin])


# --- in the functions that are loaded --------------------------------------------------------------


def judged_at_once(
    house: House, mutants: Sequence[Mutant], jobs: int, told: Callable[[str], object]
) -> list[Fate]:
    """The fate of each mutant. Those that survive may be visible at import only.

    Raises:
        NotJudged: the tests cannot be run.
    """
    bench = partial(_Bench.work, house, mutants, jobs, told)
    for _, answer in forked([bench], 1, _ALL_SECONDS):
        if isinstance(answer, list):
            return answer
        raise NotJudged(f"pytest ended with {answer}")
    raise AssertionError


class _Bench:
    """A plugin of pytest: has the tests collected, and runs them in forks."""

    def __init__(self, house: House, mutants: Sequence[Mutant], jobs: int) -> None:
        self._house, self._mutants, self._jobs = house, mutants, jobs
        self._tracer = Tracer(house.root, house.package)
        self._items: list[pytest.Item] = []
        self._failed = False
        self.fates: list[Fate] = []
        self.broken: list[str] = []
        self.told: Callable[[str], object] = lambda _: None

    @classmethod
    def work(
        cls, house: House, mutants: Sequence[Mutant], jobs: int, told: Callable[[str], object]
    ) -> list[Fate] | str:
        bench = cls(house, mutants, jobs)
        bench.told = told
        code = _pytest(house, [name for name in house.tests if (house.root / name).exists()], bench)
        return bench.fates if code == pytest.ExitCode.OK else f"{code!r} {bench.broken}"

    def pytest_collectreport(self, report: pytest.CollectReport) -> None:
        if report.failed:
            self.broken.append(report.nodeid)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        self._failed |= report.failed

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        if self.broken:
            raise session.Interrupted("not all files of tests can be loaded")
        self._items = session.items
        self._loaded = loaded_functions(self._house)
        gc.freeze()  # forks share what is never collected
        traces = self._traced()
        selection = Selection(self._house, [item.nodeid for item in self._items], traces)
        chosen = [selection.tests(mutant) for mutant in self._mutants]
        work = [partial(self._killer, *pair) for pair in zip(self._mutants, chosen, strict=True)]
        unfit = [item.nodeid for i, item in enumerate(self._items) if traces.failed >> i & 1]
        self.told(f"{len(self._items)} tests; not asked, for they fail as it is: {unfit}\n")
        for number, answer in forked(work, self._jobs, 60):
            death = OVERDUE if answer is None else answer[0]
            names = tuple(self._items[i].nodeid for i in chosen[number])
            self.fates.append(Fate(self._mutants[number], names, death))
            self.told("." if death else f"\n{self._mutants[number]}?\n")
        return True

    def _traced(self) -> Traces:
        count = _SHARES * self._jobs
        shares = [range(i, len(self._items), count) for i in range(count)]
        traces = Traces()
        work = [partial(self._tracer.trace, share, self._passes) for share in shares]
        for number, found in forked(work, self._jobs, _ALL_SECONDS):
            if found is None:
                raise NotJudged(f"tests were killed, among {shares[number]}")
            traces.add(found)
        return traces

    def _passes(self, number: int) -> bool:
        """Run a test, with what its module has set up torn down behind it."""
        item = self._items[number]
        self._failed = False
        item.config.hook.pytest_runtest_protocol(item=item, nextitem=None)
        return not self._failed

    def _killer(self, mutant: Mutant, tests: Sequence[int]) -> tuple[Death | None]:
        if not tests or not change_loaded(self._house, mutant, self._loaded):
            return (None,)
        self._tracer.forget()
        for number in tests:
            if not self._passes(number):
                return (Death(self._items[number].nodeid),)
        return (None,)


# --- in a package that is loaded anew --------------------------------------------------------------


def judged_afresh(house: House, fates: Sequence[Fate], jobs: int) -> list[Fate]:
    """The fates of survivors, each judged by the tests that were asked in vain."""
    work = [partial(_killed_afresh, house, fate) for fate in fates]
    found = []
    for number, answer in forked(work, jobs):
        fate = fates[number]
        found.append(Fate(fate.mutant, fate.asked, OVERDUE if answer is None else answer[0]))
    return found


def failing(house: House, tests: Sequence[str]) -> list[str]:
    """Those that fail on the program as it is."""
    for _, failed in forked([lambda: _run(house, tests).failed], 1, _ALL_SECONDS):
        return ["all: over their time"] if failed is None else failed
    return []


def _killed_afresh(house: House, fate: Fate) -> tuple[Death | None]:
    change_unloaded(house, fate.mutant)
    by_file: defaultdict[str, list[str]] = defaultdict(list)
    for name in fate.asked:
        by_file[name.partition("::")[0]].append(name)
    for file, names in by_file.items():
        run = _run(house, names, "-x")
        if run.failed:
            return (Death(run.failed[0]),)
        if run.code not in (pytest.ExitCode.OK, pytest.ExitCode.NO_TESTS_COLLECTED):
            return (Death(f"{file} cannot be loaded", is_test=False),)
    return (None,)


class _run:  # noqa: N801
    """Run some tests in this process: which failed, and the exit status of pytest."""

    def __init__(self, house: House, tests: Sequence[str], *options: str) -> None:
        self._places = {name: place for place, name in enumerate(tests)}
        self.failed: list[str] = []
        files = sorted({name.partition("::")[0] for name in tests})
        self.code = _pytest(house, [*options, *files], self) if files else 0

    @pytest.hookimpl(trylast=True)
    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        places = self._places
        items[:] = sorted((i for i in items if i.nodeid in places), key=lambda i: places[i.nodeid])

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.failed:
            self.failed.append(report.nodeid)
