"""The statistics of a lot in words: a few lines for each section."""

import math

from benchmeter.conformity.capability import FEWEST_FOR_CAPABILITY
from benchmeter.conformity.intervals import Estimate
from benchmeter.conformity.lot_statistics import (
    FEWEST,
    Histogram,
    LotStatistics,
    NoCapability,
    Spread,
)
from benchmeter.reporting.wording_verdict import microfarad

__all__ = ["statistics_lines"]

_CHANCE_LIMIT = 2.58  # of a normal deviate, 99 %: a lot has many orders to look odd in


def statistics_lines(s: LotStatistics) -> list[str]:
    """The section, how many are outside, and where enough were read: mean, spread, capability."""
    section = s.section
    name = "Readings" if section.name == "single" else section.name
    lines = [
        f"{name}, {microfarad(section.low_si)} to {microfarad(section.high_si)} µF: {_counted(s)}"
    ]
    outside = f"outside the limits: {s.outside_count} of {s.judged_count}"
    if s.outside is not None:
        share = s.outside
        outside += f", {_percent(share.value)} ({_percent(share.low)} to {_percent(share.high)})"
    if s.judged_count:
        lines.append(f"  {outside}")
    if s.spread is None:
        lines.append(f"  too small to say anything else: {FEWEST} readings are needed")
        return lines
    return [*lines, *_spread_lines(s.spread, section.rated_si is None), _counts_line(s.histogram)]


def _counted(s: LotStatistics) -> str:
    counts = [(s.open_count, "open"), (s.shorted_count, "shorted"), (s.unread_count, "not read")]
    readings = f"{s.count} reading{'' if s.count == 1 else 's'}"
    return ", ".join([readings, *(f"{n} {word}" for n, word in counts if n)])


def _spread_lines(spread: Spread, middle: bool) -> list[str]:
    target = "the middle of the limits" if middle else "rated"
    lines = [
        f"  mean {_microfarad(spread.mean_si)}",
        f"  from {target} {_microfarad(spread.offset_si, sign=True)}",
        f"  standard deviation {_microfarad(spread.deviation_si)}",
    ]
    if spread.capability is not None:
        cp, cpk = spread.capability.cp, spread.capability.cpk
        lines.append(
            f"  Cp {cp.value:.2f} ({cp.low:.2f} to {cp.high:.2f}), "
            f"Cpk {cpk.value:.2f} ({cpk.low:.2f} to {cpk.high:.2f})"
        )
    elif spread.no_capability is NoCapability.FEW:
        lines.append(f"  too small to say Cp and Cpk: {FEWEST_FOR_CAPABILITY} readings are needed")
    else:
        lines.append("  no Cp and Cpk: the meter's last digit is coarser than the spread")
    return [*lines, f"  in the order of measuring: {_trend_words(spread)}"]


def _trend_words(spread: Spread) -> str:
    slope, runs = spread.trend.slope_si_per_part, spread.trend.runs_z
    if slope.low > 0 or slope.high < 0:
        way = "rising" if slope.value > 0 else "falling"
        return f"{way}, {_microfarad(slope, sign=True)} a part"
    if runs is not None and abs(runs) > _CHANCE_LIMIT:
        return "readings hang together in groups" if runs < 0 else "readings go to and fro"
    return "no trend seen"


def _microfarad(estimate: Estimate, *, sign: bool = False) -> str:
    """Value and interval, with the digits that the interval supports."""
    value, low, high = (x * 1e6 for x in (estimate.value, estimate.low, estimate.high))
    width = high - low
    decimals = min(max(1 - math.floor(math.log10(width)), 0), 9) if width > 0 else 3
    how = f"{'+' if sign else ''}.{decimals}f"
    return f"{value:{how}} µF ({low:{how}} to {high:{how}})"


def _percent(share: float) -> str:
    return f"{share * 100:.3g} %"


def _counts_line(histogram: Histogram) -> str:
    low, high = (microfarad(histogram.edges_si[i]) for i in (0, -1))
    inside = " ".join(str(n) for n in histogram.counts)
    return f"  below {histogram.below} | {low} µF: {inside} : {high} µF | above {histogram.above}"
