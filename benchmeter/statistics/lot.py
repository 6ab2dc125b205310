"""The statistics of a lot: ten thousand parts as fast as the arithmetic allows."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from benchmeter.conformity.verdict import WORDS, Measurement, MeasurementVerdict, Verdict
from benchmeter.statistics.intervals import mean_and_deviation, share_estimate, slope_estimate
from benchmeter.statistics.lot_statistics import (
    FEWEST,
    Histogram,
    LotStatistics,
    Spread,
    Trend,
    bin_edges,
    spread_of,
)

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Codes = NDArray[np.uint8]

__all__ = [
    "WORDS",
    "MeasurementReadings",
    "lot_statistics",
    "readings_of",
    "runs_z",
    "statistics_of",
]

_CODE = {word: code for code, word in enumerate(WORDS)}
_FEWEST_A_SIDE = 10  # of the runs test, for its normal approximation


@dataclass(frozen=True, slots=True)
class MeasurementReadings:
    """One section of every part of a lot, in the order of measuring.

    Attributes:
        values_si: float64, shape (n,); NaN where there is no value.
        codes: uint8, shape (n,): the verdicts, see `WORDS`.
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


def lot_statistics(
    measurement: Measurement, verdicts: Sequence[MeasurementVerdict]
) -> LotStatistics:
    """The statistics of one measurement of a lot.

    Args:
        verdicts: on this measurement, one a part, in the order of measuring.
    """
    return statistics_of(readings_of(measurement, verdicts))


def statistics_of(readings: MeasurementReadings) -> LotStatistics:
    """What they have in common."""
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
        spread=_spread(readings, places, read) if len(read) >= FEWEST else None,
        beyond_count=beyond,
    )


def runs_z(values: "Sequence[float] | Floats") -> float | None:
    """How far the number of runs above and below the median is from chance; normal, 0 ± 1.

    Negative: readings hang together in groups. Values on the median do not count.
    NIST/SEMATECH e-Handbook 1.3.5.13.

    Returns:
        None with ten values or fewer on either side, where the approximation does not hold.
    """
    import numpy as np

    read = np.asarray(values, np.float64)
    middle = np.median(read)
    above = (read > middle)[read != middle]
    n1 = int(np.count_nonzero(above))
    n2 = len(above) - n1
    if min(n1, n2) <= _FEWEST_A_SIDE:
        return None
    runs = 1 + int(np.count_nonzero(above[1:] != above[:-1]))
    both, twice = n1 + n2, 2 * n1 * n2
    expected = twice / both + 1
    variance = twice * (twice - both) / (both**2 * (both - 1))
    return (runs - expected) / math.sqrt(variance)


def _spread(readings: MeasurementReadings, places: "NDArray[np.int64]", read: "Floats") -> Spread:
    mean, deviation = mean_and_deviation(read)
    trend = Trend(slope_estimate(places, read), runs_z(read))
    return spread_of(readings.section, len(read), mean, deviation, trend, readings.resolution_si)


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
