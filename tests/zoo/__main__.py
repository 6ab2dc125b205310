"""python -m tests.zoo: what the rules for settled and lifted let through, over simulated meters.

Two tables. Parts: how many were taken on the wrong side of a limit (of what the meter shows a
minute later), more than 3 counts and 0.3 % off, or never though the meter had come to rest; and
after how many seconds they were taken, median and nine of ten: the first of a session, later ones,
those within 15 counts of a limit. Hands: how many sections were taken while the leads were on
something else.
"""

import argparse
import sys
from statistics import median

from benchmeter.links.instruments.setup import EvidenceKind
from tests.zoo.hands import METERS, handled
from tests.zoo.meters import ZOO
from tests.zoo.settling import settled


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.zoo", description=__doc__)
    parser.add_argument("--sessions", type=int, default=40, help="of three parts, with each meter")
    parser.add_argument("--movements", type=int, default=10_000, help="of hands, over all meters")
    parser.add_argument("--only", default="", help="meters whose name holds this")
    parser.add_argument(
        "--evidence", type=EvidenceKind, choices=EvidenceKind, default="measurements"
    )
    parser.add_argument("--seed", type=int, default=0)
    options = parser.parse_args()
    evidence = EvidenceKind(options.evidence)
    _say(f"{'meter':<52} parts  wrong   off  never    first        later        near")
    for meter in ZOO:
        if options.only in meter.name and options.sessions:
            found = settled(meter, options.sessions, evidence, options.seed)
            times = "  ".join(_seconds(found.seconds[when]) for when in ("first", "later", "near"))
            _say(
                f"{meter.name:<52}{found.parts:>6}{found.wrong:>7}{found.off:>6}{found.never:>7}"
                f"  {times}"
            )
    _say(f"\n{'meter':<52} moves  taken  wrong")
    each = -(-options.movements // len(METERS))
    for meter in METERS:
        if options.only in meter.name and each:
            seen = handled(meter, each, evidence, options.seed)
            moves = seen.movements.total()
            _say(f"{meter.name:<52}{moves:>6}{seen.taken:>7}{seen.wrong:>7}")


def _say(row: str) -> None:
    sys.stdout.write(f"{row}\n")
    sys.stdout.flush()


def _seconds(times: list[float]) -> str:
    if not times:
        return f"{'–':>5}      "
    return f"{median(times):5.1f} {sorted(times)[int(0.9 * (len(times) - 1))]:5.1f}"


if __name__ == "__main__":
    main()
