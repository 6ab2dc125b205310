"""python -m tests.hostile --inputs N: spoiled input against every decoder and parser.

Prints a table: target, inputs, crashes, mis-decodes. A crash is an exception that is not one of
ours for bad input, or a broken promise (cut elsewhere, other readings; a value without a frame).
A mis-decode is a value that the meter had never sent, out of a frame that looks right.
"""

import argparse
import json
import sys
import time
import traceback
from concurrent.futures import ProcessPoolExecutor
from dataclasses import asdict, dataclass, field
from random import Random

from tests.hostile.bench import BENCHES, Fold, ShopBench
from tests.hostile.parts import PARTS
from tests.hostile.session import SESSIONS, Session, Talk
from tests.hostile.wire import WIRES, Wire
from tests.hostile.writing import WRITINGS, Writing

_SHOWN_CRASHES = 5

Target = Wire | Writing | Session | Talk | Fold | ShopBench
TARGETS: dict[str, Target] = {t.name: t for t in (*WIRES, *WRITINGS, *PARTS, *SESSIONS, *BENCHES)}


@dataclass
class Tally:
    """What came of it. `found`: the first crash of each place, as a traceback."""

    target: str
    inputs: int = 0
    crashes: int = 0
    misdecodes: int = 0
    seconds: float = 0.0
    found: dict[str, str] = field(default_factory=dict)


def attack(name: str, inputs: int, seed: int) -> Tally:
    """`inputs` spoiled inputs against a target."""
    target, chance, tally = TARGETS[name], Random(f"{seed} {name}"), Tally(name)
    began = time.perf_counter()
    for _ in range(inputs):
        tally.inputs += 1
        try:
            tally.misdecodes += target.attack(chance)
        except Exception as error:  # noqa: BLE001 - this is what is looked for
            tally.crashes += 1
            frame = traceback.extract_tb(error.__traceback__)[-1]
            place = f"{type(error).__name__} at {frame.filename}:{frame.lineno}"
            if place not in tally.found and len(tally.found) < _SHOWN_CRASHES:
                tally.found[place] = traceback.format_exc()
    tally.seconds = round(time.perf_counter() - began, 1)
    return tally


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.hostile", description=__doc__)
    parser.add_argument("--inputs", type=int, default=10_000, help="for each target")
    parser.add_argument("--target", action="append", choices=sorted(TARGETS))
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--json", action="store_true")
    args = parser.parse_args()
    names = args.target or list(TARGETS)
    with ProcessPoolExecutor(args.processes) as pool:
        asked = [pool.submit(attack, name, args.inputs, args.seed) for name in names]
        tallies = []
        for one in asked:
            tallies.append(one.result())
            if not args.json:
                _print(tallies[-1], header=len(tallies) == 1)
    if args.json:
        json.dump([asdict(t) for t in tallies], sys.stdout, indent=2)
    return int(any(t.crashes for t in tallies))


def _print(tally: Tally, *, header: bool) -> None:
    lines = [
        f"{tally.target:<18} {tally.inputs:>10} {tally.crashes:>8} {tally.misdecodes:>12} "
        f"{tally.seconds:>8}"
    ]
    if header:
        head = f"{'target':<18} {'inputs':>10} {'crashes':>8} {'mis-decodes':>12} {'seconds':>8}"
        lines.insert(0, head)
    sys.stdout.write("\n".join(lines) + "\n")
    sys.stdout.flush()
    sys.stderr.writelines(tally.found.values())
    sys.stderr.flush()


if __name__ == "__main__":
    sys.exit(main())
