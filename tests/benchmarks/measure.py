"""What every benchmark is made of: two sides, timed in turn, and a row of the table."""

import gc
import os
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from importlib import import_module
from tempfile import TemporaryDirectory

import numpy as np

__all__ = ["Row", "compiled_once", "in_turn", "left_alone", "p50", "p99", "rows_of", "table"]


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table.

    Attributes:
        floor: what the least that the machine must do takes, in the same run; None: `ours` is
            measured against the goal itself.
        goal: the highest ratio (or the highest `ours`) with which it is met.
    """

    what: str
    ours: float
    unit: str
    goal: float
    floor: float | None = None

    @property
    def ratio(self) -> float:
        return self.ours if self.floor is None else self.ours / self.floor

    @property
    def met(self) -> bool:
        return self.ratio <= self.goal


def rows_of(name: str, quick: bool) -> list[Row]:
    """Run one benchmark in this process."""
    rows: list[Row] = import_module(f"tests.benchmarks.{name}").run(quick)
    return rows


def in_turn(rounds: int, *sides: Callable[[], object], warm_up: int = 3) -> list[list[float]]:
    """Milliseconds of each round of each side; a noisy machine is noisy for all of them."""
    times: list[list[float]] = [[] for _ in sides]
    for number in range(warm_up + rounds):
        for side, taken in zip(sides, times, strict=True):
            begin = time.perf_counter_ns()
            side()
            if number >= warm_up:
                taken.append((time.perf_counter_ns() - begin) / 1e6)
    return times


@contextmanager
def compiled_once() -> Iterator[dict[str, str]]:
    """An environment for other Pythons in which modules are compiled once, as where installed."""
    with TemporaryDirectory() as folder:
        kept = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
        yield kept | {"PYTHONPYCACHEPREFIX": folder}


@contextmanager
def left_alone() -> Iterator[None]:
    """Without the garbage collector's pauses, for what makes no cycles."""
    gc.collect()
    gc.disable()
    try:
        yield
    finally:
        gc.enable()


def p50(times: Sequence[float]) -> float:
    return float(np.percentile(times, 50))


def p99(times: Sequence[float]) -> float:
    return float(np.percentile(times, 99))


def table(rows: Sequence[Row]) -> str:
    """The rows as text for people."""
    head = ("what", "floor", "ours", "ratio", "goal", "met")
    cells = [head, *(_cells(row) for row in rows)]
    widths = [max(len(cell) for cell in column) for column in zip(*cells, strict=True)]
    lines = []
    for line in cells:
        what, *numbers = line
        fitted = (n.rjust(w) for n, w in zip(numbers, widths[1:], strict=True))
        lines.append("  ".join((what.ljust(widths[0]), *fitted)).rstrip())
    lines.insert(1, "  ".join("-" * width for width in widths))
    return "\n".join(lines)


def _cells(row: Row) -> tuple[str, ...]:
    bare = row.floor is None
    return (
        row.what,
        "" if row.floor is None else f"{row.floor:.4g} {row.unit}",
        f"{row.ours:.4g} {row.unit}".strip(),
        "" if bare else f"{row.ratio:.2f}",
        f"{row.goal:g}" + ("" if bare else " x"),
        "yes" if row.met else "NO",
    )
