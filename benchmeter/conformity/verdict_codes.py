"""The verdicts on many readings of one measurement: the rule for one, on arrays."""

import math
from collections.abc import Sequence
from decimal import Decimal
from typing import TYPE_CHECKING

from benchmeter.conformity.judgement import WORST_FIRST, cases
from benchmeter.conformity.uncertainty import COVERAGE_FACTOR, beyond_the_line, counts_si
from benchmeter.conformity.verdict import WORDS, Accuracy, Measurement, Rule, Verdict

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Codes = NDArray[np.uint8]

__all__ = ["verdict_codes", "worst_codes"]


def verdict_codes(
    measurement: Measurement,
    shown: "Floats",
    y: "Floats",
    *,
    resolution_si: Decimal | None,
    accuracy: Accuracy | None,
    rule: Rule,
    lead_offset_u_si: float = 0.0,
) -> "Codes":
    """The verdict on each reading, read once, as `judge_measurement` gives it; see `WORDS`.

    Args:
        shown: SI, shape (n,).
        y: what is judged, SI, shape (n,): shown less the lead offset; none below zero.
        resolution_si: worth of the last digit of them all.
    """
    import numpy as np

    codes = np.empty(len(y), np.uint8)
    left = np.ones(len(y), bool)
    lines = (
        () if accuracy is None else accuracy.lines_of(measurement.quantity, measurement.instrument)
    )
    for line in (*lines, None):
        held = left
        if line is not None and line.up_to_si is not None:
            held = left & (np.abs(shown) <= float(line.up_to_si))
        if held.any():
            guard = (
                None
                if line is None
                else _guards(shown[held], line, resolution_si, rule, lead_offset_u_si)
            )
            codes[held] = _codes(measurement, y[held], guard, line)
        left = left & ~held
    return codes


def _guards(
    shown: "Floats",
    line: Accuracy,
    resolution_si: Decimal | None,
    rule: Rule,
    lead_offset_u_si: float,
) -> "Floats | None":
    import numpy as np

    counts = counts_si(line, resolution_si)
    if counts is None:
        return None
    if rule is Rule.SIMPLE:
        return np.zeros(len(shown))
    half_widths = np.abs(shown) * float(line.percent) / 100 + counts
    extra = beyond_the_line(line, resolution_si, lead_offset_u_si)
    return COVERAGE_FACTOR * np.hypot(half_widths / math.sqrt(3), extra)


def _codes(
    measurement: Measurement, y: "Floats", guard: "Floats | None", line: Accuracy | None
) -> "Codes":
    import numpy as np

    found = list(cases(measurement, y, guard, line))
    holds = np.broadcast_arrays(y, *(case[0] for case in found))[1:]
    return np.select(list(holds), [np.uint8(WORDS.index(word)) for _, word, _ in found])


def worst_codes(measured: "Sequence[Codes]", count: int) -> "Codes":
    """The worst verdict on each of `count` parts, from those on their measurements."""
    import numpy as np

    rank = np.array([WORST_FIRST.index(word) for word in WORDS], np.uint8)
    code = np.array([WORDS.index(word) for word in WORST_FIRST], np.uint8)
    worst = np.full(count, rank[WORDS.index(Verdict.MEASURED)])
    for codes in measured:
        worst = np.minimum(worst, rank[codes])
    found: Codes = code[worst]
    return found
