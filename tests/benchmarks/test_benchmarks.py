"""Every benchmark runs, at tiny sizes. Nothing here looks at a time."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.benchmarks.__main__ import NAMES
from tests.benchmarks.measure import Row, p50, p99, table

_OF_THE_WINDOW = {"live_frame", "view_change", "fidelity", "latency", "start", "lot_screen"}


def _names() -> list[object]:
    return [
        pytest.param(name, marks=[pytest.mark.gui] if name in _OF_THE_WINDOW else [])
        for name in NAMES
    ]


@pytest.mark.slow
@pytest.mark.parametrize("name", _names())
def test_a_benchmark_runs_and_what_it_counts_is_right(name: str, tmp_path: Path) -> None:
    found = tmp_path / "rows.json"
    command = [sys.executable, "-m", "tests.benchmarks", "--quick", "--only", name]
    done = subprocess.run(
        [*command, "--json", str(found)],
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    rows = json.loads(found.read_text(encoding="utf-8"))
    assert rows
    # What is counted and not timed: readings lost, columns that are wrong, libraries loaded.
    assert [row for row in rows if row["goal"] == 0 and not row["met"]] == []


def test_a_row_is_met_up_to_its_goal() -> None:
    assert Row("a", 3.0, "ms", 1.5, 2.0).met
    assert not Row("a", 3.1, "ms", 1.5, 2.0).met
    assert Row("lost", 0.0, "", 0).met
    assert not Row("lost", 1.0, "", 0).met


def test_the_table_has_a_line_a_row_under_its_head() -> None:
    lines = table([Row("a frame", 3.0, "ms", 1.5, 2.0), Row("lost", 1.0, "", 0)]).splitlines()
    assert lines[0].split() == ["what", "floor", "ours", "ratio", "goal", "met"]
    assert lines[2].split() == ["a", "frame", "2", "ms", "3", "ms", "1.50", "1.5", "x", "yes"]
    assert lines[3].split() == ["lost", "1", "0", "NO"]


def test_percentiles_are_those_of_the_times() -> None:
    times = [float(n) for n in range(101)]  # 0 to 100: the percentile is the number
    assert (p50(times), p99(times)) == (50.0, 99.0)
