"""python -m tests.faults: the long version of every fault, as a table or as JSON."""

import argparse
import json
import sys
import tempfile
import time
from dataclasses import asdict
from pathlib import Path

from tests.faults.table import FAULTS
from tests.faults.tally import NotHere, Tally


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.faults", description=__doc__)
    parser.add_argument("--quick", action="store_true", help="the quick version of each")
    parser.add_argument(
        "--only", action="append", metavar="FAULT", choices=[f.name for f in FAULTS]
    )
    parser.add_argument("--rounds", type=int, help="instead of each fault's own number")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--json", action="store_true")
    args = parser.parse_args()
    tallies = []
    if not args.json:
        _say(f"{'fault':<24} {'rounds':>7} {'lost':>5} {'wrong':>6} {'recovered':>10} {'s':>7}")
    for fault in FAULTS:
        if args.only and fault.name not in args.only:
            continue
        began = time.perf_counter()
        with tempfile.TemporaryDirectory(prefix="faults-") as folder:
            try:
                rounds = args.rounds or (fault.quick if args.quick else fault.long)
                tally = fault(Path(folder), rounds, args.seed)
            except NotHere as why:
                tally = Tally(fault.name, notes=[f"not made here: {why}"])
        tally.seconds = round(time.perf_counter() - began, 1)
        tallies.append(tally)
        if not args.json:
            _print(tally)
    if args.json:
        json.dump([asdict(tally) for tally in tallies], sys.stdout, indent=2)
    return int(not all(tally.sound or not tally.rounds for tally in tallies))


def _print(tally: Tally) -> None:
    _say(
        f"{tally.fault:<24} {tally.rounds:>7} {tally.lost:>5} {tally.wrong:>6} "
        f"{tally.recovered:>10} {tally.seconds:>7}  {'; '.join(tally.notes)}"
    )


def _say(line: str) -> None:
    sys.stdout.write(line.rstrip() + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    sys.exit(main())
