"""`benchmeter judge` from the command line.

Floor: a Python that imports the two standard modules without which no verdict can be printed.
"""

import subprocess
import sys

from tests.benchmarks.measure import Row, compiled_once, in_turn, p50

__all__ = ["run"]

_BARE = (sys.executable, "-c", "import decimal, json")
_OURS = (
    *(sys.executable, "-m", "benchmeter", "judge", "45/5 uF ±6% 440 V"),
    *("--read", "HERM=44.1uF", "--read", "FAN=4.7uF", "--accuracy", "1.2% + 2 x 0.1uF", "--json"),
)


def run(quick: bool) -> list[Row]:
    with compiled_once() as environment:

        def do(command: tuple[str, ...]) -> None:
            subprocess.run(command, check=True, capture_output=True, env=environment)

        rounds = 2 if quick else 25
        bare, ours = in_turn(rounds, lambda: do(_BARE), lambda: do(_OURS), warm_up=1)
    return [Row("judge at the command line, p50", p50(ours), "ms", 4.0, p50(bare))]
