"""`benchmeter judge --lot` on a table of a million parts of two sections.

Floor: Python's csv module, NumPy arrays, and the arithmetic of zones and statistics on them.
"""

import contextlib
import csv
import io
import math
import os
import subprocess
import sys
from itertools import islice
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
from numpy.typing import NDArray

from benchmeter.commands.main import run as command
from tests.benchmarks.measure import Row, in_turn, p50

__all__ = ["run"]

_LABEL = "45/5 µF ±6 %"
_ACCURACY = "1.2 % + 2 x 0.01 uF"
_LIMITS = ((42.3e-6, 47.7e-6), (4.7e-6, 5.3e-6))
_MB = 1 << 20


def run(quick: bool) -> list[Row]:
    """The rows."""
    number = 2000 if quick else 1_000_000
    with TemporaryDirectory() as folder:
        lot = Path(folder) / "lot.csv"
        _write(lot, number)
        found: dict[str, list[int]] = {}

        def bare() -> None:
            found["bare"] = _bare(lot)

        def ours() -> None:
            found["ours"] = _ours(lot)

        floor, taken = in_turn(1 if quick else 5, bare, ours, warm_up=1)
        peak = _peak_bytes(lot)
    different = sum(abs(a - b) for a, b in zip(found["ours"], found["bare"], strict=True))
    return [
        Row("a lot of 1,000,000 rows judged, p50", p50(taken), "ms", 3.0, p50(floor)),
        Row("1,000,000 rows: memory of the whole process at its peak", peak / _MB, "MB", 200),
        Row("1,000,000 rows: verdicts that differ from the floor", different, "", 0),
    ]


def _write(path: Path, number: int) -> None:
    chance = np.random.default_rng(1)
    herm, fan = chance.normal(45, 1.2, number), chance.normal(5, 0.15, number)
    with path.open("w", encoding="utf-8") as file:
        file.write("part,HERM,FAN\n")
        for i, (one, other) in enumerate(zip(herm.tolist(), fan.tolist(), strict=True)):
            file.write(f"P{i:07d},{one:.2f},{other:.3f}\n")


def _command(lot: Path) -> list[str]:
    return ["judge", _LABEL, "--lot", str(lot), "--accuracy", _ACCURACY]


def _ours(lot: Path) -> list[int]:
    """Parts that pass, pass with a condition, fail with a condition, fail; as it is printed."""
    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        command(_command(lot))
    words = {}
    for line in out.getvalue().splitlines()[1:5]:
        count, _, word = line.strip().partition("  ")
        words[word.partition("   ")[0]] = int(count)
    return [words.get(w, 0) for w in ("pass", "conditional pass", "conditional fail", "fail")]


def _bare(lot: Path) -> list[int]:
    readings: list[list[NDArray[np.float64]]] = [[], []]
    with lot.open(encoding="utf-8", newline="") as file:
        rows = csv.reader(file)
        next(rows)
        while some := list(islice(rows, 16_384)):
            _, *columns = zip(*some, strict=True)
            for column, read in zip(columns, readings, strict=True):
                read.append(np.array(list(map(float, column))))
    worst: NDArray[np.int64] = np.zeros(1, np.int64)
    for read, (low, high) in zip(readings, _LIMITS, strict=True):
        y = np.concatenate(read) * 1e-6
        w = 2 * (np.abs(y) * 0.012 + 2e-8) / math.sqrt(3)
        fails, outside = (y < low - w) | (y > high + w), (y < low) | (y > high)
        near = (y < low + w) | (y > high - w)
        worst = np.maximum(worst, np.select([fails, outside, near], [3, 2, 1], 0))
        _statistics(y, low, high)
    return np.bincount(worst, minlength=4).tolist()


def _statistics(y: NDArray[np.float64], low: float, high: float) -> tuple[object, ...]:
    """Mean, deviation, slope with its scatter, median and runs, histogram."""
    x = np.arange(len(y)) - (len(y) - 1) / 2
    mean, deviation = y.mean(), y.std(ddof=1)
    slope = (x * (y - mean)).sum() / (x**2).sum()
    rest = ((y - mean - slope * x) ** 2).sum()
    middle = np.median(y)
    above = (y > middle)[y != middle]
    runs = np.count_nonzero(above[1:] != above[:-1])
    return mean, deviation, slope, rest, runs, np.histogram(y, 10, (low, high))


def _peak_bytes(lot: Path) -> int:
    """The largest resident set of a process that judges the lot."""
    judge = subprocess.Popen(
        [sys.executable, "-m", "benchmeter", *_command(lot)], stdout=subprocess.DEVNULL
    )
    _, status, usage = os.wait4(judge.pid, 0)
    if status:
        raise RuntimeError(f"the command ended with {status}")
    return usage.ru_maxrss * (1 if sys.platform == "darwin" else 1024)
