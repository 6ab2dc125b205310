"""The statistics of a lot in words, for the terminal and for the window. Decimal point."""

import math

from benchmeter.conformity.verdict import Measurement
from benchmeter.quantities.units import UNITS
from benchmeter.statistics.capability import FEWEST_FOR_CAPABILITY
from benchmeter.statistics.intervals import Estimate
from benchmeter.statistics.lot_statistics import (
    FEWEST,
    Histogram,
    LotStatistics,
    NoCapability,
    Spread,
)
from benchmeter.words.numbers import exact_text
from benchmeter.words.verdicts import limits_text, with_unit

__all__ = [
    "TOO_SMALL",
    "counted_words",
    "outside_words",
    "section_words",
    "spread_words",
    "statistics_lines",
    "trend_words",
]

TOO_SMALL = f"too small to say anything else: {FEWEST} readings are needed"

_CHANCE_LIMIT = 2.58  # of a normal deviate, 99 %: a lot has many orders to look odd in


def statistics_lines(s: LotStatistics) -> list[str]:
    """The section, how many are outside, and where enough were read: mean, spread, capability."""
    lines = [f"{section_words(s.section)}: {counted_words(s)}"]
    if s.judged_count and limits_text(s.section):
        lines.append(f"  {outside_words(s)}")
    if s.spread is None:
        return [*lines, f"  {TOO_SMALL}"]
    spread = (f"  {words}" for words in spread_words(s.spread, s.section))
    return [*lines, *spread, _counts_line(s.histogram, s.section)]


def section_words(section: Measurement) -> str:
    """Name and limits: "HERM, 42.3 to 47.7 µF"."""
    name = "Readings" if section.name == "single" else section.name
    return ", ".join(filter(None, (name, limits_text(section))))


def counted_words(s: LotStatistics) -> str:
    """How many readings there are, and how many sections have none."""
    counts = [
        (s.beyond_count, "beyond the meter's range, which is good"),
        (s.open_count, "open"),
        (s.shorted_count, "shorted"),
        (s.unread_count, "not read"),
    ]
    readings = f"{s.count} reading{'' if s.count == 1 else 's'}"
    return ", ".join([readings, *(f"{n} {word}" for n, word in counts if n)])


def outside_words(s: LotStatistics) -> str:
    """How many are outside; the share with its exact interval where enough were read."""
    text = f"outside the limits: {s.outside_count} of {s.judged_count}"
    if s.outside is None:
        return text
    share = s.outside
    return f"{text}, {_percent(share.value)} ({_percent(share.low)} to {_percent(share.high)})"


def spread_words(spread: Spread, section: Measurement) -> list[str]:
    """Mean, its distance from the rated value, spread, capability, trend: a line each."""
    unit = section.unit
    lines = [f"mean {_estimate(spread.mean_si, unit, zero=True)}"]
    if spread.offset_si is not None:
        target = "the middle of the limits" if section.rated_si is None else "rated"
        lines.append(f"from {target} {_estimate(spread.offset_si, unit, sign=True)}")
    lines.append(f"standard deviation {_estimate(spread.deviation_si, unit)}")
    if words := _capability_words(spread):
        lines.append(words)
    return [*lines, f"in the order of measuring: {trend_words(spread, section)}"]


def trend_words(spread: Spread, section: Measurement) -> str:
    """Whether the readings change with time."""
    slope, runs = spread.trend.slope_si_per_part, spread.trend.runs_z
    if slope.low > 0 or slope.high < 0:
        way = "rising" if slope.value > 0 else "falling"
        return f"{way}, {_estimate(slope, section.unit, sign=True)} a part"
    if runs is not None and abs(runs) > _CHANCE_LIMIT:
        return "readings hang together in groups" if runs < 0 else "readings go to and fro"
    return "no trend seen"


def _capability_words(spread: Spread) -> str:
    if spread.capability is not None:
        cp, cpk = spread.capability.cp, spread.capability.cpk
        return (
            f"Cp {cp.value:.2f} ({cp.low:.2f} to {cp.high:.2f}), "
            f"Cpk {cpk.value:.2f} ({cpk.low:.2f} to {cpk.high:.2f})"
        )
    if spread.no_capability is NoCapability.FEW:
        return f"too small to say Cp and Cpk: {FEWEST_FOR_CAPABILITY} readings are needed"
    if spread.no_capability is NoCapability.ONE_LIMIT:
        return ""
    return "no Cp and Cpk: the meter's last digit is coarser than the spread"


def _estimate(estimate: Estimate, symbol: str, *, sign: bool = False, zero: bool = False) -> str:
    """Value and interval, with the digits that the interval supports; `zero`: no difference."""
    unit = UNITS[symbol]
    start = float(unit.zero) if zero else 0.0
    value, low, high = (
        x / float(unit.scale) - start for x in (estimate.value, estimate.low, estimate.high)
    )
    width = high - low
    decimals = min(max(1 - math.floor(math.log10(width)), 0), 9) if width > 0 else 3
    how = f"{'+' if sign else ''}.{decimals}f"
    return f"{with_unit(f'{value:{how}}', symbol)} ({low:{how}} to {high:{how}})"


def _percent(share: float) -> str:
    return f"{share * 100:.3g} %"


def _counts_line(histogram: Histogram, section: Measurement) -> str:
    low, high = (exact_text(histogram.edges_si[i], section.unit) for i in (0, -1))
    inside = " ".join(str(n) for n in histogram.counts)
    return (
        f"  below {histogram.below} | {with_unit(low, section.unit)}: {inside} : "
        f"{with_unit(high, section.unit)} | above {histogram.above}"
    )
