"""Run the benchmarks: `python -m tests.benchmarks [--only NAME] [--quick] [--json FILE]`.

Each benchmark has a process of its own and holds its floor beside it, timed in turn with it. Only
ratios mean something: the milliseconds are those of the machine.
"""

import argparse
import json
import os
import sys
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import asdict
from multiprocessing import get_context
from pathlib import Path

from tests.benchmarks.measure import Row, rows_of, table

__all__ = ["NAMES", "main"]

NAMES = (
    "live_frame",
    "view_change",
    "fidelity",
    "commit",
    "sustained",
    "stored_samples",
    "latency",
    "start",
    "memory",
    "judge_command",
    "lot",
    "lot_screen",
    "bounded",
)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run what is asked for and print the table; 1 if a benchmark did not run to its end."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks")
    parser.add_argument("--only", action="append", choices=NAMES, metavar="NAME", help=_names())
    parser.add_argument("--quick", action="store_true", help="tiny sizes: does it run at all")
    parser.add_argument("--json", type=Path, metavar="FILE", help="write the rows there as well")
    given = parser.parse_args(arguments)
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    rows: list[Row] = []
    failed = False
    for name in given.only or NAMES:
        sys.stderr.write(f"{name} ...\n")
        with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as alone:
            try:
                rows += alone.submit(rows_of, name, given.quick).result()
            except Exception as fault:  # noqa: BLE001  the others still run
                failed = True
                sys.stderr.write(f"{name} failed: {fault!r}\n{fault.__cause__ or ''}\n")
    sys.stdout.write(table(rows) + "\n")
    if given.json is not None:
        found = [asdict(row) | {"ratio": row.ratio, "met": row.met} for row in rows]
        given.json.write_text(json.dumps(found, indent=1) + "\n", encoding="utf-8")
    return int(failed)


def _names() -> str:
    return "one of: " + ", ".join(NAMES)


if __name__ == "__main__":
    sys.exit(main())
