"""Forks that run tests: a warm parent saves each of them the imports of all libraries.

A child loads the package anew, with the one change, from memory. It must not hang: it is ended
after so much processor time, and in any case after some minutes.
"""

import contextlib
import importlib
import os
import pickle
import resource
import shutil
import signal
import sys
import tempfile
import time
import traceback
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

import pytest

from tests.mutation.code import mutated
from tests.mutation.house import House
from tests.mutation.loading import load_rewritten
from tests.mutation.mutant import Mutant

__all__ = ["Death", "forked", "killed_by", "passing", "warm_up"]

_T = TypeVar("_T")
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
    "-p", "pytest_timeout",
    "-m", "not gui and not x11 and not slow", "-q", "--tb=no", "--no-header",
)  # fmt: skip
_WALL_SECONDS = 600


@dataclass(frozen=True, slots=True)
class Death:
    """What noticed a mutant: the name of a test, or how the run ended."""

    by: str
    is_test: bool = True


@dataclass(frozen=True, slots=True)
class _Fault:
    text: str


def warm_up() -> None:
    """Import what every child needs but the package itself."""
    os.environ["BENCHMETER_WITHOUT_QT"] = "1"
    os.environ["PYTEST_DISABLE_PLUGIN_AUTOLOAD"] = "1"
    # One thread each: two children run at once, and a fork keeps none but its own.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    for name in _LIBRARIES:
        with contextlib.suppress(ImportError):
            importlib.import_module(name)


def forked(
    work: Iterable[Callable[[], _T]], jobs: int, cpu_seconds: int = 120
) -> Iterator[tuple[int, _T | None]]:
    """What each piece of work gave, by its number, in the order in which they end.

    None where the child ended otherwise: killed, or over its time.
    """
    waiting = enumerate(work)
    running: dict[int, tuple[int, Path, float]] = {}
    folder = Path(tempfile.mkdtemp(prefix="mutation-"))
    try:
        while True:
            while len(running) < jobs and (item := next(waiting, None)) is not None:
                number, task = item
                place = folder / str(number)
                place.mkdir()
                running[_child(task, place, cpu_seconds)] = number, place, time.monotonic()
            if not running:
                return
            pid = _ended(running)
            number, place, _ = running.pop(pid)
            file = place / "answer"
            answer = pickle.loads(file.read_bytes()) if file.exists() else None
            if isinstance(answer, _Fault):
                raise RuntimeError(answer.text)
            yield number, answer
            shutil.rmtree(place, ignore_errors=True)
    finally:
        for pid in running:
            os.kill(pid, signal.SIGKILL)
            os.waitpid(pid, 0)
        shutil.rmtree(folder, ignore_errors=True)


def _ended(running: dict[int, tuple[int, Path, float]]) -> int:
    while True:
        for pid, (_, _, began) in running.items():
            if os.waitpid(pid, os.WNOHANG)[0]:
                return pid
            if time.monotonic() - began > _WALL_SECONDS:
                os.kill(pid, signal.SIGKILL)
        time.sleep(0.02)


def _child(task: Callable[[], object], place: Path, cpu_seconds: int) -> int:
    pid = os.fork()
    if pid:
        return pid
    try:
        used = int(sum(os.times()[:2]))
        resource.setrlimit(resource.RLIMIT_CPU, (used + cpu_seconds, used + 2 * cpu_seconds))
        os.environ["TMPDIR"] = str(place)
        tempfile.tempdir = None
        with (place / "said").open("w") as said:
            for stream in (1, 2):
                os.dup2(said.fileno(), stream)
        try:
            answer = pickle.dumps(task())
        except Exception:  # noqa: BLE001 - a fault of this tool, told by the parent
            answer = pickle.dumps(_Fault(traceback.format_exc()))
        (place / "part").write_bytes(answer)
        (place / "part").rename(place / "answer")
    finally:
        os._exit(0)


# --- what a child does -----------------------------------------------------------------------------


def killed_by(house: House, mutant: Mutant, tests: Sequence[str]) -> Callable[[], Death | None]:
    """The work that runs `tests` on the mutant until one fails."""

    def work() -> Death | None:
        _change(house, mutant)
        by_file: defaultdict[str, list[str]] = defaultdict(list)
        for name in tests:
            by_file[name.partition("::")[0]].append(name)
        for file, names in by_file.items():
            run = run_tests(house, [file], chosen=names, first_failure=True)
            if run.failed:
                return Death(run.failed[0])
            if run.code not in (pytest.ExitCode.OK, pytest.ExitCode.NO_TESTS_COLLECTED):
                return Death(f"{file} cannot be loaded", is_test=False)
        return None

    return work


def passing(house: House, tests: Sequence[str]) -> Callable[[], list[str]]:
    """The work that runs `tests` on the package as it is, and says which failed."""

    def work() -> list[str]:
        files = sorted({name.partition("::")[0] for name in tests})
        return run_tests(house, files, chosen=tests).failed

    return work


def run_tests(
    house: House,
    arguments: Sequence[str],
    *,
    chosen: Sequence[str] | None = None,
    first_failure: bool = False,
    plugins: Sequence[object] = (),
) -> "_Run":
    """Run pytest in this process."""
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
    run = _Run(None if chosen is None else {name: i for i, name in enumerate(chosen)})
    extra = ["-x"] if first_failure else []
    os.chdir(house.root)
    base = Path(tempfile.gettempdir()) / "tests"
    options = [*_OPTIONS, "-p", "_hypothesis_pytestplugin", "--hypothesis-profile", "mutation"]
    run.code = pytest.main(
        [*options, *extra, "-c", "pyproject.toml", "--basetemp", str(base), *arguments],
        plugins=[run, *plugins],
    )
    return run


class _Run:
    """A plugin: chooses and orders the tests, and takes down which failed."""

    def __init__(self, places: dict[str, int] | None) -> None:
        self._places = places
        self.failed: list[str] = []
        self.code: int = 0

    @pytest.hookimpl(trylast=True)
    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        places = self._places
        if places is not None:
            items[:] = sorted(
                (item for item in items if item.nodeid in places), key=lambda i: places[i.nodeid]
            )

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.failed:
            self.failed.append(report.nodeid)


def _change(house: House, mutant: Mutant) -> None:
    """Let what is imported from now on be the mutant."""
    if mutant.span is None:
        changed = house.root / mutant.file

        def rewrite(path: Path, source: str) -> Any:
            return mutated(source, mutant) if path == changed else None

        load_rewritten(house.package, rewrite)
        return
    module_name, _, function = house.reader.rpartition(".")
    sys.path.insert(0, str(house.root))
    module = importlib.import_module(module_name)
    real: Callable[[str], Path] = getattr(module, function)
    view = Path(tempfile.mkdtemp())
    shutil.copytree(real("resources"), view / "resources")
    text = (view / mutant.file).read_text(encoding="utf-8")
    start, end = mutant.span
    (view / mutant.file).write_text(text[:start] + mutant.after + text[end:], encoding="utf-8")
    setattr(module, function, lambda name: view / name if name == "resources" else real(name))
