"""100,000 verdicts in one process.

Floor: bare arithmetic in numpy, the same zones without slack, reasons and open parts.
"""

import math
from decimal import Decimal

import numpy as np
from numpy.typing import NDArray

from benchmeter.conformity.judgement import judge_measurement
from benchmeter.conformity.verdict import Accuracy, Measurement, Rule
from benchmeter.statistics.lot import judge_lot, words_of
from tests.benchmarks.measure import Row, in_turn, left_alone, p50

__all__ = ["run"]

_LOW, _HIGH = Decimal("42.3e-6"), Decimal("47.7e-6")
_SECTION = Measurement("HERM", Decimal("45e-6"), _LOW, _HIGH)
_ACCURACY = Accuracy(Decimal("1.2"), Decimal(2), None, "1.2 % + 2")
_COUNT_F = Decimal("1e-8")


def run(quick: bool) -> list[Row]:
    number = 1000 if quick else 100_000
    counts = np.random.default_rng(1).normal(4500, 200, number).astype(np.int64)

    def ours() -> NDArray[np.uint8]:
        return judge_lot(
            _SECTION, counts, resolution_si=_COUNT_F, accuracy=_ACCURACY, rule=Rule.GUARDED
        )

    with left_alone():
        bare, lot = in_turn(5 if quick else 200, lambda: _bare(counts), ours)
    some = slice(0, 2000)
    alone = (
        judge_measurement(
            _SECTION,
            [int(count) * _COUNT_F],
            resolution_si=_COUNT_F,
            accuracy=_ACCURACY,
            rule=Rule.GUARDED,
        ).verdict
        for count in counts[some]
    )
    wrong = sum(a != b for a, b in zip(alone, words_of(ours()[some]), strict=True))
    return [
        Row("100,000 verdicts, p50", p50(lot), "ms", 3.0, p50(bare)),
        Row("100,000 verdicts: words that differ from one by one", float(wrong), "", 0),
    ]


def _bare(counts: NDArray[np.int64]) -> NDArray[np.int64]:
    y = counts * 1e-8
    w = 2 / math.sqrt(3) * (np.abs(y) * 0.012 + 2e-8)
    low, high = float(_LOW), float(_HIGH)
    return np.where(
        (y < low - w) | (y > high + w),
        0,
        np.where(
            2 * w > high - low,
            1,
            np.where((y < low) | (y > high), 2, np.where((y < low + w) | (y > high - w), 3, 4)),
        ),
    )
