"""A plugin of pytest: which statements each test runs, which data it reads, how much processor time it takes.

`pytest -p tests.mutation.tracing --traces FOLDER` leaves a file a process there; `-n 2` works. Each
statement of a function is preceded by a note that it ran: a tracer of Python would slow down the
libraries as well.
"""

import ast
import builtins
import os
import pickle
import sys
import time
from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from tests.mutation.loading import load_rewritten

__all__ = ["Traces", "noted", "read_traces"]

_NOTE = "ran_here_"  # without underscores in front: classes would mangle it
_WORKER = "PYTEST_XDIST_WORKER"


@dataclass
class Traces:
    """What the tests did. Tests are numbered; a set of tests is the bits of a number.

    `lines` is by file and first line of a statement, `reads` by file; files are relative to the
    root.
    """

    tests: list[str] = field(default_factory=list)
    seconds: list[float] = field(default_factory=list)
    failed: list[str] = field(default_factory=list)
    lines: dict[str, dict[int, int]] = field(default_factory=dict)
    reads: dict[str, int] = field(default_factory=dict)

    def add(self, other: "Traces") -> None:
        """Take in what another process has found."""
        shift = len(self.tests)
        self.tests += other.tests
        self.seconds += other.seconds
        self.failed += other.failed
        for file, lines in other.lines.items():
            ours = self.lines.setdefault(file, {})
            for line, bits in lines.items():
                ours[line] = ours.get(line, 0) | bits << shift
        for file, bits in other.reads.items():
            self.reads[file] = self.reads.get(file, 0) | bits << shift


def read_traces(folder: Path) -> Traces:
    """What all processes of a run have left in a folder."""
    traces = Traces()
    for path in sorted(folder.glob("*.traces")):
        traces.add(pickle.loads(path.read_bytes()))
    return traces


def noted(tree: ast.Module, note: Callable[[int], ast.stmt]) -> ast.Module:
    """The module with a note before each statement of its functions."""
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            first = 1 if ast.get_docstring(node, clean=False) is not None else 0
            node.body[first:] = _with_notes(node.body[first:], note)
    return ast.fix_missing_locations(tree)


def _with_notes(body: list[ast.stmt], note: Callable[[int], ast.stmt]) -> list[ast.stmt]:
    found: list[ast.stmt] = []
    for statement in body:
        found += [ast.copy_location(note(statement.lineno), statement), statement]
        if isinstance(statement, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
            continue  # a function is seen to by itself
        for name in ("body", "orelse", "finalbody"):
            inner = getattr(statement, name, None)
            if inner and not isinstance(statement, ast.Expr):
                setattr(statement, name, _with_notes(inner, note))
        for below in (*getattr(statement, "handlers", ()), *getattr(statement, "cases", ())):
            below.body = _with_notes(below.body, note)
    return found


# --- the plugin ------------------------------------------------------------------------------------


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--traces", type=Path, help="leave what each test runs in this folder")
    parser.addoption("--traced", default="benchmeter", help="the package that is looked at")


@pytest.hookimpl(tryfirst=True)
def pytest_load_initial_conftests(early_config: pytest.Config) -> None:
    options = early_config.known_args_namespace
    shares_out = bool(getattr(options, "numprocesses", None)) and _WORKER not in os.environ
    if options.traces is None or shares_out:
        return
    tracer = _Tracer(options.traces, early_config.rootpath, options.traced)
    early_config.pluginmanager.register(tracer, "mutation-tracer")


class _Tracer:
    """Keeps what ran since it was asked last."""

    def __init__(self, folder: Path, root: Path, package: str) -> None:
        self._folder, self._root, self._package = folder, root, package
        self._traces = Traces()
        self._ran: defaultdict[str, set[int]] = defaultdict(set)
        self._modules, self._caches = 0, list[Any]()
        self._data_folder = str(root / "resources") + os.sep
        sys.addaudithook(self._opened)
        load_rewritten(package, self._with_notes)

    def _with_notes(self, path: Path, source: str) -> ast.Module:
        ran = self._ran[path.relative_to(self._root).as_posix()].add
        number = list(self._ran).index(path.relative_to(self._root).as_posix())
        name = f"{_NOTE}{number}"  # the same where a module is loaded again
        setattr(builtins, name, ran)

        def note(line: int) -> ast.stmt:
            return ast.Expr(ast.Call(ast.Name(name, ast.Load()), [ast.Constant(line)], []))

        return noted(ast.parse(source), note)

    def _opened(self, event: str, args: tuple[Any, ...]) -> None:
        if event == "open" and isinstance(args[0], str) and args[0].startswith(self._data_folder):
            name = Path(args[0]).relative_to(self._root).as_posix()
            reads = self._traces.reads
            reads[name] = reads.get(name, 0) | self._bit

    @property
    def _bit(self) -> int:
        """The test that runs now; before the first, whatever runs counts for the first."""
        return 1 << max(0, len(self._traces.tests) - 1)

    @pytest.hookimpl(wrapper=True, tryfirst=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        self._forget()
        self._traces.tests.append(item.nodeid)
        self._traces.seconds.append(0.0)
        began = time.process_time()
        result = yield
        self._traces.seconds[-1] = time.process_time() - began
        for file, lines in self._ran.items():
            found = self._traces.lines.setdefault(file, {})
            for line in lines:
                found[line] = found.get(line, 0) | self._bit
            lines.clear()
        return result

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.failed:
            self._traces.failed.append(report.nodeid)

    def _forget(self) -> None:
        """Empty the caches of the package: each test must show what it needs."""
        if len(sys.modules) != self._modules:
            self._modules = len(sys.modules)
            ours = [m for name, m in sys.modules.items() if name.startswith(f"{self._package}.")]
            values = [value for module in ours for value in vars(module).values()]
            self._caches = [v for v in values if callable(getattr(v, "cache_clear", None))]
        for cached in self._caches:
            cached.cache_clear()
        for lines in self._ran.values():
            lines.clear()

    def pytest_sessionfinish(self) -> None:
        name = os.environ.get(_WORKER, "only")
        (self._folder / f"{name}.traces").write_bytes(pickle.dumps(self._traces))
