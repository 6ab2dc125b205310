"""The statistics of a lot in words, for the terminal and for the window."""

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
from benchmeter.words.presentation import PLAIN, Presentation
from benchmeter.words.verdicts import limits_text

__all__ = [
    "counted_words",
    "outside_words",
    "section_words",
    "spread_words",
    "statistics_lines",
    "too_small_words",
    "trend_words",
]

_CHANCE_LIMIT = 2.58  # of a normal deviate, 99 %: a lot has many orders to look odd in


def statistics_lines(s: LotStatistics, presentation: Presentation = PLAIN) -> list[str]:
    """The section, how many are outside, and where enough were read: mean, spread, capability."""
    lines = [f"{section_words(s.section, presentation)}: {counted_words(s, presentation)}"]
    if s.judged_count and limits_text(s.section):
        lines.append(f"  {outside_words(s, presentation)}")
    if s.spread is None:
        return [*lines, f"  {too_small_words(presentation)}"]
    spread = (f"  {words}" for words in spread_words(s.spread, s.section, presentation))
    return [*lines, *spread, f"  {_histogram_words(s.histogram, s.section, presentation)}"]


def too_small_words(presentation: Presentation = PLAIN) -> str:
    """Why nothing more is said of a lot."""
    return presentation.text("lots.too_small", fewest=FEWEST)


def section_words(section: Measurement, presentation: Presentation = PLAIN) -> str:
    """Name and limits: "HERM, 42.3 to 47.7 µF"."""
    single = section.name == "single"
    name = presentation.text("lots.readings") if single else section.name
    return ", ".join(filter(None, (name, limits_text(section, presentation))))


def counted_words(s: LotStatistics, presentation: Presentation = PLAIN) -> str:
    """How many readings there are, and how many sections have none."""
    text = presentation.text
    said = [text("lots.one_reading") if s.count == 1 else text("lots.some_readings", count=s.count)]
    if s.beyond_count:
        said.append(text("lots.beyond", count=s.beyond_count))
    if s.open_count:
        said.append(text("lots.open", count=s.open_count))
    if s.shorted_count:
        said.append(text("lots.shorted", count=s.shorted_count))
    if s.unread_count:
        said.append(text("lots.unread", count=s.unread_count))
    return ", ".join(said)


def outside_words(s: LotStatistics, presentation: Presentation = PLAIN) -> str:
    """How many are outside; the share with its exact interval where enough were read."""
    text, out, judged = presentation.text, s.outside_count, s.judged_count
    if s.outside is None:
        return text("lots.outside", outside=out, judged=judged)
    share, low, high = (
        presentation.amount(f"{x * 100:.3g}", "%")
        for x in (s.outside.value, s.outside.low, s.outside.high)
    )
    return text("lots.outside_share", outside=out, judged=judged, share=share, low=low, high=high)


def spread_words(
    spread: Spread, section: Measurement, presentation: Presentation = PLAIN
) -> list[str]:
    """Mean, its distance from the rated value, spread, capability, trend: a line each."""
    text, unit = presentation.text, section.unit
    mean = _estimate(spread.mean_si, unit, presentation, zero=True)
    lines = [text("lots.mean", estimate=mean)]
    if spread.offset_si is not None:
        offset = _estimate(spread.offset_si, unit, presentation, sign=True)
        if section.rated_si is None:
            lines.append(text("lots.from_middle", estimate=offset))
        else:
            lines.append(text("lots.from_rated", estimate=offset))
    deviation = _estimate(spread.deviation_si, unit, presentation)
    lines.append(text("lots.deviation", estimate=deviation))
    if words := _capability_words(spread, presentation):
        lines.append(words)
    return [*lines, text("lots.order", trend=trend_words(spread, section, presentation))]


def trend_words(spread: Spread, section: Measurement, presentation: Presentation = PLAIN) -> str:
    """Whether the readings change with time."""
    text, slope, runs = presentation.text, spread.trend.slope_si_per_part, spread.trend.runs_z
    if slope.low > 0 or slope.high < 0:
        a_part = _estimate(slope, section.unit, presentation, sign=True)
        if slope.value > 0:
            return text("lots.rising", slope=a_part)
        return text("lots.falling", slope=a_part)
    if runs is not None and abs(runs) > _CHANCE_LIMIT:
        return text("lots.groups") if runs < 0 else text("lots.to_and_fro")
    return text("lots.no_trend")


def _capability_words(spread: Spread, presentation: Presentation) -> str:
    if spread.capability is not None:
        cp, cpk = spread.capability.cp, spread.capability.cpk
        return presentation.text(
            "lots.capability",
            cp=cp.value,
            cp_low=cp.low,
            cp_high=cp.high,
            cpk=cpk.value,
            cpk_low=cpk.low,
            cpk_high=cpk.high,
        )
    if spread.no_capability is NoCapability.FEW:
        return presentation.text("lots.capability_few", fewest=FEWEST_FOR_CAPABILITY)
    if spread.no_capability is NoCapability.ONE_LIMIT:
        return ""
    return presentation.text("lots.capability_coarse")


def _estimate(
    estimate: Estimate,
    symbol: str,
    presentation: Presentation,
    *,
    sign: bool = False,
    zero: bool = False,
) -> str:
    """Value and interval, with the digits that the interval supports; `zero`: no difference."""
    shown = presentation.unit(symbol)
    unit = UNITS[shown]
    start = float(unit.zero) if zero else 0.0
    value, low, high = (
        x / float(unit.scale) - start for x in (estimate.value, estimate.low, estimate.high)
    )
    width = high - low
    decimals = min(max(1 - math.floor(math.log10(width)), 0), 9) if width > 0 else 3
    how = f"{'+' if sign else ''}.{decimals}f"
    return presentation.text(
        "lots.estimate",
        value=presentation.amount(f"{value:{how}}", shown),
        low=presentation.number(f"{low:{how}}"),
        high=presentation.number(f"{high:{how}}"),
    )


def _histogram_words(histogram: Histogram, section: Measurement, presentation: Presentation) -> str:
    low, high = (presentation.exact(histogram.edges_si[i], section.unit) for i in (0, -1))
    return presentation.text(
        "lots.histogram",
        below=histogram.below,
        low=low,
        counts=" ".join(str(n) for n in histogram.counts),
        high=high,
        above=histogram.above,
    )
