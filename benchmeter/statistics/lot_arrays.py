"""The statistics of a lot from arrays: ten thousand parts as fast as the arithmetic allows.

The formulas of `lot_statistics`, on arrays.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from benchmeter.conformity.judgement import WORST_FIRST
from benchmeter.conformity.verdict import Measurement, MeasurementVerdict, Verdict
from benchmeter.statistics.intervals import share_estimate, slope_of_sums
from benchmeter.statistics.lot import WORDS
from benchmeter.statistics.lot_statistics import (
    FEWEST,
    Histogram,
    LotStatistics,
    Trend,
    bin_edges,
    runs_z_of,
    spread_of,
)

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Codes = NDArray[np.uint8]

__all__ = ["MeasurementReadings", "part_codes", "readings_of", "statistics_of"]

_CODE = {word: code for code, word in enumerate(WORDS)}


@dataclass(frozen=True, slots=True)
class MeasurementReadings:
    """One section of every part of a lot, in the order of measuring.

    Attributes:
        values_si: float64, shape (n,); NaN where there is no value.
        codes: uint8, shape (n,): the verdicts, see `lot.WORDS`.
        resolution_si: the finest digit that was shown; None if unknown.
    """

    section: Measurement
    values_si: "Floats"
    codes: "Codes"
    resolution_si: Decimal | None = None


def readings_of(
    section: Measurement, verdicts: Sequence[MeasurementVerdict]
) -> MeasurementReadings:
    """The arrays of verdicts on this section, one a part."""
    import numpy as np

    values = (np.nan if v.reading_si is None else float(v.reading_si) for v in verdicts)
    codes = (_CODE[v.verdict] for v in verdicts)
    resolutions = {v.resolution_si for v in verdicts if v.resolution_si}
    return MeasurementReadings(
        section,
        np.fromiter(values, np.float64, len(verdicts)),
        np.fromiter(codes, np.uint8, len(verdicts)),
        # The finest digit: others may have lost their trailing zeros on the way.
        min(resolutions, default=None),
    )


def part_codes(sections: Sequence[MeasurementReadings]) -> "Codes":
    """The verdict on each part: the worst of its sections; shape (n,)."""
    import numpy as np

    rank = np.array([WORST_FIRST.index(word) for word in WORDS], np.uint8)
    worst = rank[sections[0].codes]
    for section in sections[1:]:
        np.minimum(worst, rank[section.codes], out=worst)
    back = np.array([_CODE[word] for word in WORST_FIRST], np.uint8)
    found: Codes = back[worst]
    return found


def statistics_of(readings: MeasurementReadings) -> LotStatistics:
    """As `lot_statistics`."""
    import numpy as np

    section, values, codes = readings.section, readings.values_si, readings.codes
    number = np.bincount(codes, minlength=len(WORDS))
    lost = number[[_CODE[Verdict.OPEN], _CODE[Verdict.SHORTED]]]
    whole = np.isfinite(values)
    # Good without a value: beyond the meter's range, where that is good.
    beyond = int(np.count_nonzero((codes == _CODE[Verdict.PASS]) & ~whole))
    if lost.any():
        whole &= (codes != _CODE[Verdict.OPEN]) & (codes != _CODE[Verdict.SHORTED])
    places = np.flatnonzero(whole)
    read = values[places]
    histogram = _histogram(section, read)
    outside = histogram.below + histogram.above + int(lost.sum())
    judged = len(read) + int(lost.sum()) + beyond
    return LotStatistics(
        section=section,
        count=len(read),
        open_count=int(lost[0]),
        shorted_count=int(lost[1]),
        unread_count=len(values) - judged,
        outside_count=outside,
        outside=share_estimate(outside, judged) if judged >= FEWEST else None,
        histogram=histogram,
        spread=(
            spread_of(section, len(read), *_mean_and_trend(places, read), readings.resolution_si)
            if len(read) >= FEWEST
            else None
        ),
        beyond_count=beyond,
    )


def _mean_and_trend(places: "NDArray[np.int64]", read: "Floats") -> tuple[float, float, Trend]:
    """Mean, standard deviation, trend."""
    import numpy as np

    count = len(read)
    # That of equal values is that value, to the last bit.
    mean = float(np.clip(read.mean(), read.min(), read.max()))
    rest = read - mean
    squares = float(rest @ rest)
    x = places - float(places.mean())
    across, along = float(x @ x), float(x @ rest)
    slope = along / across
    left = rest - slope * x
    trend = Trend(slope_of_sums(slope, float(left @ left), across, count), _runs_z(read))
    return mean, float(np.sqrt(squares / (count - 1))), trend


def _runs_z(read: "Floats") -> float | None:
    import numpy as np

    middle = np.median(read)
    above = (read > middle)[read != middle]
    n1 = int(np.count_nonzero(above))
    runs = 1 + int(np.count_nonzero(above[1:] != above[:-1]))
    return runs_z_of(n1, len(above) - n1, runs)


def _histogram(section: Measurement, read: "Floats") -> Histogram:
    """Floats of decimals with up to 15 digits lie on the same side of an edge as the decimals."""
    import numpy as np

    low, high = section.low_si, section.high_si
    below = 0 if low is None else int(np.count_nonzero(read < float(low)))
    above = 0 if high is None else int(np.count_nonzero(read > float(high)))
    first, last = low, high
    if first is None:
        first = _decimal(read.min()) if len(read) else Decimal(0)
    if last is None:
        last = _decimal(read.max()) if len(read) else Decimal(0)
    if last <= first:
        return Histogram((first, last), (len(read) - below - above,), below, above)
    edges = bin_edges(first, last)
    inner = np.searchsorted(np.array([float(e) for e in edges[1:-1]]), read, side="right")
    counts = np.bincount(inner, minlength=len(edges) - 1)
    counts[0] -= below
    counts[-1] -= above
    return Histogram(edges, tuple(counts.tolist()), below, above)


def _decimal(value: float) -> Decimal:
    return Decimal(repr(float(value)))
