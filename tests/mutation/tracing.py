"""Which statements each test runs and which data it reads, and how long it takes.

Each statement of a function is preceded by a note that it ran: a tracer of Python would slow down
the libraries as well.
"""

import ast
import builtins
import os
import sys
import time
from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tests.mutation.loading import load_rewritten

__all__ = ["Place", "Tracer", "Traces", "noted"]

_NOTE = "ran_here_"  # without underscores in front: classes would mangle it

Place = tuple[str, int]
"""A file, relative to the root, and the first line of a statement; 0 for a file of data."""


@dataclass
class Traces:
    """What the tests did. Tests are numbered; a set of tests is the bits of a number."""

    seen: dict[Place, int] = field(default_factory=dict)
    seconds: dict[int, float] = field(default_factory=dict)
    failed: int = 0

    def add(self, other: "Traces") -> None:
        """Take in what another process has found."""
        self.seconds |= other.seconds
        self.failed |= other.failed
        for place, bits in other.seen.items():
            self.seen[place] = self.seen.get(place, 0) | bits


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


class Tracer:
    """Keeps what ran since it was asked last. One a process, made before the package is loaded."""

    def __init__(self, root: Path, package: str) -> None:
        self._root, self._package = root, package
        self._ran: defaultdict[str, set[int]] = defaultdict(set)
        self._modules, self._caches = 0, list[Any]()
        self._data_folder = str(root / "resources") + os.sep
        sys.addaudithook(self._opened)
        load_rewritten(package, self._with_notes)

    def _with_notes(self, path: Path, source: str) -> ast.Module:
        file = path.relative_to(self._root).as_posix()
        ran = self._ran[file].add
        name = f"{_NOTE}{list(self._ran).index(file)}"  # the same where a module is loaded again
        setattr(builtins, name, ran)

        def note(line: int) -> ast.stmt:
            return ast.Expr(ast.Call(ast.Name(name, ast.Load()), [ast.Constant(line)], []))

        return noted(ast.parse(source), note)

    def _opened(self, event: str, args: tuple[Any, ...]) -> None:
        if event == "open" and isinstance(args[0], str) and args[0].startswith(self._data_folder):
            self._ran[Path(args[0]).relative_to(self._root).as_posix()].add(0)

    def trace(self, numbers: Sequence[int], run: Callable[[int], bool]) -> Traces:
        """What some tests do, which `run` runs by their numbers and says whether they passed."""
        traces = Traces()
        for number in numbers:
            self.forget()
            began = time.process_time()
            traces.failed |= (not run(number)) << number
            traces.seconds[number] = time.process_time() - began
            for place in self.ran():
                traces.seen[place] = traces.seen.get(place, 0) | 1 << number
        return traces

    def ran(self) -> list[Place]:
        """What ran since it was forgotten."""
        return [(file, line) for file, lines in self._ran.items() for line in lines]

    def forget(self) -> None:
        """Empty the caches of the package, too: each test must show what it needs."""
        if len(sys.modules) != self._modules:
            self._modules = len(sys.modules)
            ours = [m for name, m in sys.modules.items() if name.startswith(f"{self._package}.")]
            values = [value for module in ours for value in vars(module).values()]
            self._caches = [v for v in values if callable(getattr(v, "cache_clear", None))]
        for cached in self._caches:
            cached.cache_clear()
        for lines in self._ran.values():
            lines.clear()
