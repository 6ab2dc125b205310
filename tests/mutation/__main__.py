"""python -m tests.mutation: seeded mistakes in code and data, and which of them no test notices.

Prints the score by wing and every survivor. Exit status 1 if too few are noticed.
"""

import argparse
import os
import sys
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from tests.mutation.bench import Fate, warm_up
from tests.mutation.equivalents import equivalents, without
from tests.mutation.house import HERE
from tests.mutation.mutant import sampled
from tests.mutation.run import all_code, all_data, judged

LEAST_SCORE = 0.95


def main(arguments: Sequence[str] | None = None) -> int:
    """Exit status: 0 where enough mutants are killed."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutation", description=__doc__)
    parser.add_argument("--count", type=int, default=200, help="mutants, half of them in data")
    parser.add_argument("--seed", type=int, default=7001)
    parser.add_argument("--only", default="", metavar="PATH", help="files whose path begins so")
    parser.add_argument("--jobs", type=int, default=2, help="children at once")
    parser.add_argument("--tests", nargs="+", metavar="PATH", help="asked instead of all")
    kind = parser.add_mutually_exclusive_group()
    kind.add_argument("--code", action="store_true", help="code alone")
    kind.add_argument("--data", action="store_true", help="data alone")
    args = parser.parse_args(arguments)

    listed = equivalents()
    kinds = [] if args.data else [without(all_code(HERE), listed)]
    kinds += [] if args.code else [without(all_data(HERE), listed)]
    kinds = [[m for m in mutants if m.file.startswith(args.only)] for mutants in kinds]
    # Where one kind has fewer, the other makes up for it.
    share = max(1, args.count // len(kinds))
    mutants = [mutant for kind in kinds for mutant in sampled(kind, share, args.seed)]

    warm_up()
    screen = os.dup(2)  # children write elsewhere
    house = replace(HERE, tests=args.tests or HERE.tests)
    fates = judged(house, mutants, args.jobs, lambda text: os.write(screen, text.encode()))
    sys.stdout.write(f"\n{report(fates)}\n")
    return 0 if score(fates) >= LEAST_SCORE else 1


def score(fates: Sequence[Fate]) -> float:
    """The share of mutants that were killed."""
    return sum(fate.death is not None for fate in fates) / len(fates) if fates else 1.0


def report(fates: Sequence[Fate]) -> str:
    """The table by wing, and the survivors."""
    made: Counter[str] = Counter()
    killed: Counter[str] = Counter()
    for fate in fates:
        wing = f"resources/{fate.mutant.wing}" if fate.mutant.span else fate.mutant.wing
        made[wing] += 1
        killed[wing] += fate.death is not None
    lines = [f"{'':24} mutants  killed"]
    lines += [f"{wing:24} {made[wing]:7} {killed[wing]:7}" for wing in sorted(made)]
    lines.append(f"{'all':24} {made.total():7} {killed.total():7}  {score(fates):.1%}")
    survivors = sorted(
        (fate for fate in fates if fate.death is None), key=lambda f: (f.mutant.file, f.mutant.line)
    )
    if survivors:
        lines.append("\nSurvived:")
    for fate in survivors:
        ran = f"{len(fate.asked)} tests" if fate.asked else "no test runs it"
        lines.append(f"  {fate.mutant}  ({ran})\n      {fate.mutant.statement}")
    return "\n".join(lines)


if __name__ == "__main__":
    sys.exit(main())
