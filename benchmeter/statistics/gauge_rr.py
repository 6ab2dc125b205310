"""Gauge R&R: how much of the spread of readings is the parts', and how much the meter's."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from benchmeter.errors import InputError
from benchmeter.statistics.intervals import CONFIDENCE, Estimate, mean_of, scale_factors

__all__ = ["GaugeRR", "GaugeReading", "MeanSquare", "gauge_rr"]

_Table = dict[str, dict[str, list[float]]]


@dataclass(frozen=True, slots=True)
class GaugeReading:
    """One reading of the study; all are of one quantity."""

    part: str
    operator: str
    reading_si: float


@dataclass(frozen=True, slots=True)
class MeanSquare:
    """A line of the analysis of variance: mean square in SI squared, degrees of freedom."""

    mean_square_si2: float
    freedom: int


@dataclass(frozen=True, slots=True)
class GaugeRR:
    """The parts of the spread, as standard deviations in SI.

    Attributes:
        parts, operators, repeats: of the study.
        between_parts, between_operators, interaction, within: the analysis of variance; the
            second and third are None with one operator.
        repeatability_si: one operator, one part, again and again.
        reproducibility_si: from operator to operator, interaction included; None with one.
        meter_si: both of them together; its interval may begin at zero.
        part_to_part_si: the true differences of the parts.
        meter_share: of the variance of a reading, 0..1; None if all readings are equal.
        meter_share_low, meter_share_high: exact (F distribution) with one operator; None with
            several, where no closed form is used.
        distinct_categories: groups that the readings can tell apart, √2·parts/meter (AIAG,
            Measurement Systems Analysis; from memory), at least 1; None where the meter adds
            nothing.
    """

    parts: int
    operators: int
    repeats: int
    between_parts: MeanSquare
    between_operators: MeanSquare | None
    interaction: MeanSquare | None
    within: MeanSquare
    repeatability_si: Estimate
    reproducibility_si: float | None
    meter_si: Estimate
    part_to_part_si: float
    meter_share: float | None
    meter_share_low: float | None
    meter_share_high: float | None
    distinct_categories: int | None


def gauge_rr(readings: Iterable[GaugeReading]) -> GaugeRR:
    """Variance components of a crossed study, random effects, equal numbers of repeats.

    Two-way analysis of variance with interaction, by expected mean squares; an estimate below
    zero counts as zero, and the interaction is never pooled into the repeatability. With one
    operator it is one-way. Gauge R&R studies: NIST/SEMATECH e-Handbook 2.4; expected mean squares
    and the intervals: Burdick, Borror and Montgomery, Journal of Quality Technology 35 (2003)
    342-354 (from memory). Repeatability by χ²; the meter's deviation by the modified large-sample
    method of Graybill and Wang, Journal of the American Statistical Association 75 (1980)
    869-873.

    Raises:
        InputError: fewer than two parts or two repeats, a value that is no number, or unequal
            numbers of repeats.
    """
    table = _table(readings)
    cells = [readings for row in table.values() for readings in row.values()]
    p, o, r = len(table), len(next(iter(table.values()))), len(cells[0])
    grand = mean_of([mean_of(cell) for cell in cells])
    of_part = [mean_of([mean_of(cell) for cell in row.values()]) for row in table.values()]
    of_operator = [
        mean_of([mean_of(row[name]) for row in table.values()]) for name in _operators(table)
    ]
    parts = _line(o * r * _squares(of_part, grand), p - 1)
    within = _line(sum(_squares(cell, mean_of(cell)) for cell in cells), p * o * (r - 1))
    if o == 1:
        return _of_one(p, r, parts, within)
    operators = _line(p * r * _squares(of_operator, grand), o - 1)
    both = r * math.fsum(
        (mean_of(row[name]) - mean - of_operator[i] + grand) ** 2
        for row, mean in zip(table.values(), of_part, strict=True)
        for i, name in enumerate(_operators(table))
    )
    return _of_several((p, o, r), parts, operators, _line(both, (p - 1) * (o - 1)), within)


def _of_one(p: int, r: int, parts: MeanSquare, within: MeanSquare) -> GaugeRR:
    repeatability = _deviation(within)
    part = _root((parts.mean_square_si2 - within.mean_square_si2) / r)
    share, low, high = _share_of_one(r, parts, within)
    return GaugeRR(
        parts=p,
        operators=1,
        repeats=r,
        between_parts=parts,
        between_operators=None,
        interaction=None,
        within=within,
        repeatability_si=repeatability,
        reproducibility_si=None,
        meter_si=repeatability,
        part_to_part_si=part,
        meter_share=share,
        meter_share_low=low,
        meter_share_high=high,
        distinct_categories=_categories(part, repeatability.value),
    )


def _of_several(
    sizes: tuple[int, int, int],
    parts: MeanSquare,
    operators: MeanSquare,
    both: MeanSquare,
    within: MeanSquare,
) -> GaugeRR:
    p, o, r = sizes
    operator2 = max(0.0, (operators.mean_square_si2 - both.mean_square_si2) / (p * r))
    both2 = max(0.0, (both.mean_square_si2 - within.mean_square_si2) / r)
    meter2 = within.mean_square_si2 + operator2 + both2
    part = _root((parts.mean_square_si2 - both.mean_square_si2) / (o * r))
    low, high = _sum_limits(
        [(1 / (p * r), operators), ((p - 1) / (p * r), both), ((r - 1) / r, within)]
    )
    meter = math.sqrt(meter2)
    total = meter2 + part**2
    return GaugeRR(
        parts=p,
        operators=o,
        repeats=r,
        between_parts=parts,
        between_operators=operators,
        interaction=both,
        within=within,
        repeatability_si=_deviation(within),
        reproducibility_si=math.sqrt(operator2 + both2),
        # Components set to zero can put the estimate outside the interval of the unbiased sum.
        meter_si=Estimate(meter, min(meter, math.sqrt(low)), max(meter, math.sqrt(high))),
        part_to_part_si=part,
        meter_share=meter2 / total if total else None,
        meter_share_low=None,
        meter_share_high=None,
        distinct_categories=_categories(part, meter),
    )


def _table(readings: Iterable[GaugeReading]) -> _Table:
    table: _Table = {}
    for reading in readings:
        if not math.isfinite(reading.reading_si):
            raise InputError("statistics.no_number", part=reading.part, operator=reading.operator)
        cell = table.setdefault(reading.part, {}).setdefault(reading.operator, [])
        cell.append(reading.reading_si)
    operators = _operators(table)
    cells = [(p, o, len(row.get(o, ()))) for p, row in table.items() for o in operators]
    most = max((count for _, _, count in cells), default=0)
    if len(table) < 2 or most < 2:
        raise InputError("statistics.too_little_for_gauge_rr")
    for part, operator, count in cells:
        if count != most:
            raise InputError(
                "statistics.unequal_repeats", part=part, operator=operator, count=count, most=most
            )
    return table


def _operators(table: _Table) -> Sequence[str]:
    return tuple(dict.fromkeys(name for row in table.values() for name in row))


def _line(squares: float, freedom: int) -> MeanSquare:
    return MeanSquare(squares / freedom, freedom)


def _deviation(line: MeanSquare) -> Estimate:
    low, high = scale_factors(line.freedom)
    value = math.sqrt(line.mean_square_si2)
    return Estimate(value, value * math.sqrt(low), value * math.sqrt(high))


def _sum_limits(terms: list[tuple[float, MeanSquare]]) -> tuple[float, float]:
    """Limits of Σ weight · mean square, weights above zero (Graybill and Wang)."""
    middle = math.fsum(w * line.mean_square_si2 for w, line in terms)
    below = above = 0.0
    for weight, line in terms:
        low, high = scale_factors(line.freedom)
        square = (weight * line.mean_square_si2) ** 2
        below += (1 - low) ** 2 * square
        above += (high - 1) ** 2 * square
    return max(0.0, middle - math.sqrt(below)), middle + math.sqrt(above)


def _share_of_one(
    r: int, parts: MeanSquare, within: MeanSquare
) -> tuple[float | None, float | None, float | None]:
    """One less the intraclass correlation, with limits by the F distribution (exact)."""
    from scipy.special import fdtri

    if within.mean_square_si2 == 0:
        return (0.0, 0.0, 0.0) if parts.mean_square_si2 else (None, None, None)
    ratio = parts.mean_square_si2 / within.mean_square_si2
    tail = (1 - CONFIDENCE) / 2
    most, least = (
        float(fdtri(parts.freedom, within.freedom, quantile)) for quantile in (1 - tail, tail)
    )
    # The smaller the true ratio of parts to meter, the larger the meter's share.
    return (_meter_share(ratio, r), _meter_share(ratio / least, r), _meter_share(ratio / most, r))


def _meter_share(ratio: float, r: int) -> float:
    """From the ratio of the mean squares, (r·parts² + meter²)/meter²."""
    return 1 / (1 + max(0.0, ratio - 1) / r)


def _categories(part: float, meter: float) -> int | None:
    return max(1, int(math.sqrt(2) * part / meter)) if meter else None


def _squares(values: Iterable[float], around: float) -> float:
    return math.fsum((v - around) ** 2 for v in values)


def _root(variance: float) -> float:
    return math.sqrt(max(0.0, variance))
