"""python -m tests.soak: somebody works at the window for half an hour; what came of it, as a table."""

import argparse
import faulthandler
import json
import sys
import tempfile
import time
from dataclasses import asdict
from pathlib import Path

from tests.soak.display import NoDisplay, display
from tests.soak.table import LONGEST_MS, lines, troubles

_GRACE_S = 300


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.soak", description=__doc__)
    parser.add_argument("--minutes", type=float, default=30.0)
    parser.add_argument("--seed", type=int, default=int(time.time()) % 100_000)
    parser.add_argument(
        "--longest-ms", type=float, default=LONGEST_MS, help="turn of the event loop that is right"
    )
    parser.add_argument("--json", action="store_true")
    args = parser.parse_args()
    seconds = args.minutes * 60
    # A crash shows where; a window that hangs ends, too.
    faulthandler.enable()
    faulthandler.dump_traceback_later(seconds + _GRACE_S, exit=True)
    try:
        with display(), tempfile.TemporaryDirectory(prefix="soak-") as folder:
            from tests.soak.soak import soak

            seen = soak(Path(folder), seconds, args.seed)
    except NoDisplay as why:
        sys.stderr.write(f"not made here: {why}\n")
        return 2
    wrong = troubles(seen, args.longest_ms)
    if args.json:
        json.dump({"seed": args.seed, "wrong": wrong, **asdict(seen)}, sys.stdout, indent=2)
    else:
        sys.stdout.write("\n".join([f"seed {args.seed}", *lines(seen), ""]))
        sys.stdout.write("".join(f"WRONG: {text}\n" for text in wrong) or "nothing is wrong\n")
    return int(bool(wrong))


if __name__ == "__main__":
    sys.exit(main())
