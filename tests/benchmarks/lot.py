"""A lot of 10,000 parts of two sections, judged one after the other as the program does it.

Floor: the arithmetic of the zones alone on bare floats, and one plain object for each reading.
"""

import math
import random
from decimal import Decimal
from typing import NamedTuple

from benchmeter.checking.typed_reading import TypedReading
from benchmeter.conformity.lead_offset import LeadOffsets
from benchmeter.conformity.verdict import (
    Accuracy,
    Rule,
    Verdict,
)
from benchmeter.parts.nameplate.label import parse_label
from benchmeter.parts.part_verdict import judge_shown
from benchmeter.parts.rated_part import (
    CapacitorKind,
)
from tests.benchmarks.measure import Row, in_turn, left_alone, p50

__all__ = ["run"]

_RATING = parse_label("45/5 µF ±6 %")
_ACCURACY = Accuracy(Decimal("1.2"), Decimal(2), None, "1.2 % + 2")
_COUNT_F = Decimal("1e-8")


class _Judged(NamedTuple):
    reading: float
    u: float
    probability: float
    word: int


def run(quick: bool) -> list[Row]:
    chance = random.Random(1)
    number = 200 if quick else 10_000
    counts = [
        [round(chance.gauss(rated, rated * 0.045)) for rated in (4500, 500)] for _ in range(number)
    ]
    shown = [
        [
            (section, [TypedReading(count * _COUNT_F, _COUNT_F, None)])
            for section, count in zip(_RATING.sections, row, strict=True)
        ]
        for row in counts
    ]
    limits = [(float(s.low_si or 0), float(s.high_si or 0)) for s in _RATING.sections]

    def ours() -> list[Verdict]:
        return [
            judge_shown(
                CapacitorKind.RUN,
                _RATING,
                part,
                _ACCURACY,
                rule=Rule.GUARDED,
                offsets=LeadOffsets(),
            ).verdict
            for part in shown
        ]

    with left_alone():
        bare, lot = in_turn(3 if quick else 15, lambda: _bare(counts, limits), ours)
    words = sum(word is Verdict.PASS for word in ours())
    good = sum(max(j.word for j in part) == 0 for part in _bare(counts, limits))
    return [
        Row("10,000 parts judged, p50", p50(lot), "ms", 15.0, p50(bare)),
        Row("10,000 parts judged: good ones that differ from the floor", abs(words - good), "", 0),
    ]


def _bare(counts: list[list[int]], limits: list[tuple[float, float]]) -> list[list[_Judged]]:
    found = []
    for row in counts:
        part = []
        for count, (low, high) in zip(row, limits, strict=True):
            y = count * 1e-8
            u = (abs(y) * 0.012 + 2e-8) / math.sqrt(3)
            w = 2 * u
            below, above = (y - low) / u, (high - y) / u
            inside = 1 - math.erfc(below / math.sqrt(2)) / 2 - math.erfc(above / math.sqrt(2)) / 2
            if y < low - w or y > high + w:
                word = 4
            elif 2 * w > high - low:
                word = 3
            elif y < low or y > high:
                word = 2
            else:
                word = int(y < low + w or y > high - w)
            part.append(_Judged(y, u, inside, word))
        found.append(part)
    return found
