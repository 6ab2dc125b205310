"""The meter's history by reference part: comparisons, control chart and present bias."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from benchmeter.conformity.reference_part import Compatibility, ReferencePart
from benchmeter.quantities.quantity import Quantity
from benchmeter.statistics.control_chart import FEWEST_POINTS, ControlChart, control_chart
from benchmeter.statistics.intervals import Estimate, mean_and_deviation, mean_estimate

__all__ = ["BIAS_OF", "Bias", "Comparison", "ReferenceHistory", "meter_history"]

BIAS_OF = FEWEST_POINTS
"""How many of the latest readings the present bias is taken from, at most."""

_NONE = Decimal(0)


@dataclass(frozen=True, slots=True)
class Comparison:
    """A reading of a reference part. `resolution_si`: worth of its last digit; 0 if unknown."""

    compatibility: Compatibility
    resolution_si: Decimal


@dataclass(frozen=True, slots=True)
class Bias:
    """What the meter reads too much at this value, SI. By itself it corrects no reading.

    Attributes:
        interval: 95 %; None from a single reading.
        count: readings that it is the mean of.
        stood_out: whether one of them stands out of the chart, so that it may have changed.
    """

    value_si: float
    interval: Estimate | None
    count: int
    stood_out: bool


@dataclass(frozen=True, slots=True)
class ReferenceHistory:
    """All readings of one reference part, in the order of time; `chart` has a point for each."""

    name: str
    comparisons: tuple[Comparison, ...]
    resolution_si: Decimal
    chart: ControlChart
    bias: Bias

    @property
    def reference(self) -> ReferencePart:
        """The part as it was at its last reading."""
        return self.comparisons[-1].compatibility.reference


def meter_history(comparisons: Iterable[Comparison]) -> tuple[ReferenceHistory, ...]:
    """One history for each reference part, by the date of reading.

    Each part has a chart of its own: its error is the same in all its points, and an error of
    the meter grows with the value. Readings of one day stay in the order given. The resolution is
    the finest that was written, since spreadsheets drop zeros. A name that was given to a part of
    another quantity begins another history.
    """
    by_part: dict[tuple[str, Quantity], list[Comparison]] = {}
    for comparison in sorted(comparisons, key=lambda c: c.compatibility.read_on):
        reference = comparison.compatibility.reference
        by_part.setdefault((reference.name, reference.quantity), []).append(comparison)
    return tuple(_history(name, found) for (name, _), found in by_part.items())


def _history(name: str, comparisons: Sequence[Comparison]) -> ReferenceHistory:
    resolution_si = min((c.resolution_si for c in comparisons if c.resolution_si), default=_NONE)
    chart = control_chart(
        [
            (c.compatibility.read_on.isoformat(), float(c.compatibility.difference_si))
            for c in comparisons
        ],
        float(resolution_si),
    )
    bias = _bias(comparisons[-BIAS_OF:], chart, resolution_si)
    return ReferenceHistory(name, tuple(comparisons), resolution_si, chart, bias)


def _bias(latest: Sequence[Comparison], chart: ControlChart, resolution_si: Decimal) -> Bias:
    """Mean difference; t·s/√n, the reference's U and that of the last digit in quadrature.

    JCGM 100 cl. 5.1.2; rounding to a digit δ has u = δ/√12 (cl. F.2.2.1), with k = 2 δ/√3.
    """
    points = chart.points[-len(latest) :]
    stood_out = any(p.out_of_control or p.jumped for p in points)
    values = [p.difference_si for p in points]
    if len(values) < 2:
        return Bias(values[0], None, 1, stood_out)
    mean, deviation = mean_and_deviation(values)
    half = math.hypot(
        mean_estimate(mean, deviation, len(values)).high - mean,
        max(float(c.compatibility.reference.expanded_uncertainty_si) for c in latest),
        float(resolution_si) / math.sqrt(3),
    )
    return Bias(mean, Estimate(mean, mean - half, mean + half), len(values), stood_out)
