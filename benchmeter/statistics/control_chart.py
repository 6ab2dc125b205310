"""The meter's history: a control chart of its readings of reference parts."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from benchmeter.statistics.intervals import mean_of

__all__ = ["FEWEST_POINTS", "ChartPoint", "ControlChart", "control_chart"]

FEWEST_POINTS = 8
"""Limits from fewer would be little better than chance; the points stand alone."""

_D2 = 1.128  # mean range of two values over σ
_D4 = 3.267  # upper limit of a range of two over its mean


@dataclass(frozen=True, slots=True)
class ChartPoint:
    """One reading of a reference part, less its known value.

    Attributes:
        name: by which it is named when it stands out: a date, a part, or both.
        difference_si: in SI.
        out_of_control: beyond the limits of the chart.
        jumped: farther from the point before than chance allows.
    """

    name: str
    difference_si: float
    out_of_control: bool
    jumped: bool


@dataclass(frozen=True, slots=True)
class ControlChart:
    """Individuals and moving ranges. It tells about the meter, in SI; nothing is corrected by it.

    Attributes:
        points: in the order of time.
        centre_si: mean difference.
        low_si, high_si: control limits; None with fewer than `FEWEST_POINTS` points.
        largest_range_si: limit of a moving range; None likewise.
    """

    points: tuple[ChartPoint, ...]
    centre_si: float
    low_si: float | None
    high_si: float | None
    largest_range_si: float | None

    @property
    def standing_out(self) -> tuple[ChartPoint, ...]:
        """The points that chance does not explain."""
        return tuple(p for p in self.points if p.out_of_control or p.jumped)


def control_chart(
    differences: Sequence[tuple[str, float]], resolution_si: float = 0.0
) -> ControlChart:
    """Control chart for individuals: mean ± 3·R/1.128, R the mean moving range.

    NIST/SEMATECH e-Handbook 6.3.2.2; 3.267·R for the ranges, e-Handbook 6.3.2.1 (factor D4 of
    two values).

    Args:
        differences: name and difference (reading less reference), SI, in the order of time;
            at least one.
        resolution_si: worth of the meter's last digit. A single count is never out of control:
            a meter that shows the same digits for a year leaves no range to judge by.
    """
    values = [value for _, value in differences]
    ranges = [abs(b - a) for a, b in pairwise(values)]
    centre = mean_of(values)
    half = largest = None
    if len(values) >= FEWEST_POINTS:
        mean_range = sum(ranges) / len(ranges)
        one_count = resolution_si * (1 + 1e-9)
        half = max(3 * mean_range / _D2, one_count)
        largest = max(_D4 * mean_range, one_count)
    points = (
        ChartPoint(
            name=name,
            difference_si=value,
            out_of_control=half is not None and abs(value - centre) > half,
            jumped=largest is not None and moved is not None and moved > largest,
        )
        for (name, value), moved in zip(differences, [None, *ranges], strict=True)
    )
    return ControlChart(
        points=tuple(points),
        centre_si=centre,
        low_si=None if half is None else centre - half,
        high_si=None if half is None else centre + half,
        largest_range_si=largest,
    )
