"""How much of the spread is the meter's: handbook examples, statsmodels, and simulation."""

import math
import random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from benchmeter.errors import InputError
from benchmeter.statistics.gauge_rr import GaugeReading, GaugeRR, gauge_rr
from tests.fakes.refusals import refused

# AIAG, Measurement Systems Analysis, 4th ed., ch. III: ten parts, three appraisers, three trials
# (from memory; every mean square below agrees with the printed table).
AIAG = {
    "A": [
        (0.29, 0.41, 0.64), (-0.56, -0.68, -0.58), (1.34, 1.17, 1.27), (0.47, 0.50, 0.64),
        (-0.80, -0.92, -0.84), (0.02, -0.11, -0.21), (0.59, 0.75, 0.66), (-0.31, -0.20, -0.17),
        (2.26, 1.99, 2.01), (-1.36, -1.25, -1.31),
    ],
    "B": [
        (0.08, 0.25, 0.07), (-0.47, -1.22, -0.68), (1.19, 0.94, 1.34), (0.01, 1.03, 0.20),
        (-0.56, -1.20, -1.28), (-0.20, 0.22, 0.06), (0.47, 0.55, 0.83), (-0.63, 0.08, -0.34),
        (1.80, 2.12, 2.19), (-1.68, -1.62, -1.50),
    ],
    "C": [
        (0.04, -0.11, -0.15), (-1.38, -1.13, -0.96), (0.88, 1.09, 0.67), (0.14, 0.20, 0.11),
        (-1.46, -1.07, -1.45), (-0.29, -0.67, -0.49), (0.02, 0.01, 0.21), (-0.46, -0.56, -0.49),
        (1.77, 1.45, 1.87), (-1.49, -1.77, -2.16),
    ],
}  # fmt: skip
# Shrout and Fleiss, Psychological Bulletin 86 (1979) 420-428, table 2: six targets, four ratings;
# between 11.24, within 6.26, ICC(1,1) 0.17 (from memory); its limits -0.13 and 0.72 (from memory).
RATINGS = [(9, 2, 5, 8), (6, 1, 3, 2), (8, 4, 6, 8), (7, 1, 2, 6), (10, 5, 6, 9), (6, 2, 4, 7)]


def aiag() -> list[GaugeReading]:
    return [
        GaugeReading(f"part {i}", operator, value)
        for operator, parts in AIAG.items()
        for i, trials in enumerate(parts)
        for value in trials
    ]


def simulated(
    seed: int, sizes: tuple[int, int, int], spreads: tuple[float, float, float, float]
) -> list[GaugeReading]:
    """Spreads of parts, operators, their interaction, and repeats."""
    p, o, r = sizes
    part, operator, both, repeat = spreads
    chance = random.Random(seed)
    of_part = [chance.gauss(0, part) for _ in range(p)]
    of_operator = [chance.gauss(0, operator) for _ in range(o)]
    return [
        GaugeReading(str(i), str(j), 45 + of_part[i] + of_operator[j] + cell + n)
        for i in range(p)
        for j in range(o)
        for cell in [chance.gauss(0, both)]
        for n in [chance.gauss(0, repeat) for _ in range(r)]
    ]


def test_the_table_of_the_handbook():
    """Printed: 9.81799 (9), 1.58363 (2), 0.01994 (18), 0.04598 (60)."""
    found = gauge_rr(aiag())
    lines = [found.between_parts, found.between_operators, found.interaction, found.within]
    assert [round(line.mean_square_si2, 5) for line in lines] == [
        9.81799,
        1.58363,
        0.01994,
        0.04598,
    ]
    assert [line.freedom for line in lines] == [9, 2, 18, 60]
    assert (found.parts, found.operators, found.repeats) == (10, 3, 3)


def test_components_follow_from_the_expected_mean_squares():
    """By hand from the printed mean squares; the interaction falls below zero and counts as 0."""
    found = gauge_rr(aiag())
    assert found.repeatability_si.value == pytest.approx(math.sqrt(0.04598), rel=1e-4)
    operator2 = (1.58363 - 0.01994) / 30
    assert found.reproducibility_si == pytest.approx(math.sqrt(operator2), rel=1e-4)
    part2 = (9.81799 - 0.01994) / 9
    assert found.part_to_part_si == pytest.approx(math.sqrt(part2), rel=1e-4)
    meter2 = 0.04598 + operator2
    assert found.meter_si.value == pytest.approx(math.sqrt(meter2), rel=1e-4)
    assert found.meter_share == pytest.approx(meter2 / (meter2 + part2), rel=1e-4)
    assert found.distinct_categories == math.floor(math.sqrt(2 * part2 / meter2)) == 4
    assert (found.meter_share_low, found.meter_share_high) == (None, None)


def test_the_interval_of_the_meter_by_hand():
    """Modified large sample (Graybill and Wang 1980): the meter's variance is
    (MSo + 9·MSpo + 20·MSe)/30, G = 1 - ν/χ²(0.975), H = ν/χ²(0.025) - 1 for each mean square."""
    squares = np.array([1.58363, 9 * 0.01994, 20 * 0.04598]) / 30
    freedom = np.array([2, 18, 60])
    g = 1 - freedom / stats.chi2.ppf(0.975, freedom)
    h = freedom / stats.chi2.ppf(0.025, freedom) - 1
    low = squares.sum() - np.sqrt(((g * squares) ** 2).sum())
    high = squares.sum() + np.sqrt(((h * squares) ** 2).sum())
    meter = gauge_rr(aiag()).meter_si
    assert (meter.low, meter.high) == pytest.approx((low**0.5, high**0.5), rel=1e-4)


@pytest.mark.parametrize("sizes", [(10, 3, 2), (5, 2, 3), (2, 2, 2), (8, 4, 5)])
def test_against_a_reference_library(sizes):
    """statsmodels, two-way analysis of variance with interaction."""
    pandas = pytest.importorskip("pandas")
    formula = pytest.importorskip("statsmodels.formula.api")
    anova = pytest.importorskip("statsmodels.stats.anova")
    readings = simulated(7, sizes, (1, 0.3, 0.2, 0.4))
    found = gauge_rr(readings)
    table = pandas.DataFrame(
        {
            "part": [f"p{r.part}" for r in readings],
            "who": [f"o{r.operator}" for r in readings],
            "y": [r.reading_si for r in readings],
        }
    )
    expected = anova.anova_lm(formula.ols("y ~ C(part) * C(who)", table).fit())
    for line, ours in (
        ("C(part)", found.between_parts),
        ("C(who)", found.between_operators),
        ("C(part):C(who)", found.interaction),
        ("Residual", found.within),
    ):
        assert ours.mean_square_si2 == pytest.approx(expected["mean_sq"][line], rel=1e-8)
        assert ours.freedom == expected["df"][line]


def test_one_person_alone():
    """One-way; the meter's share is one less the intraclass correlation, limits by F."""
    readings = [GaugeReading(str(i), "me", float(v)) for i, row in enumerate(RATINGS) for v in row]
    found = gauge_rr(readings)
    assert round(found.between_parts.mean_square_si2, 2) == 11.24
    assert round(found.within.mean_square_si2, 2) == 6.26
    assert round(1 - found.meter_share, 2) == 0.17
    assert round(1 - found.meter_share_low, 2) == 0.72
    assert found.meter_share_high == 1  # the lower limit of the correlation is below zero
    assert found.reproducibility_si is found.between_operators is found.interaction is None
    assert found.meter_si == found.repeatability_si


def _share_held(found: GaugeRR, true: float) -> bool:
    return found.meter_share_low <= true <= found.meter_share_high


def test_the_intervals_hold_as_often_as_they_say():
    """95 % of 400 studies each, within four standard deviations of a binomial (0.044); the large
    sample method may hold more often, which the literature reports (Burdick, Borror, Montgomery)."""
    alone = [gauge_rr(simulated(s, (8, 1, 3), (1, 0, 0, 0.5))) for s in range(400)]
    share = 0.25 / 1.25
    assert sum(_share_held(f, share) for f in alone) / 400 == pytest.approx(0.95, abs=0.044)
    crossed = [gauge_rr(simulated(s, (8, 3, 2), (1, 0.3, 0.6, 0.3))) for s in range(400)]
    meter, repeat = math.sqrt(0.09 + 0.36 + 0.09), 0.3
    held = sum(f.meter_si.low <= meter <= f.meter_si.high for f in crossed) / 400
    assert held > 0.95 - 0.044
    held = sum(f.repeatability_si.low <= repeat <= f.repeatability_si.high for f in crossed) / 400
    assert held == pytest.approx(0.95, abs=0.044)


def test_a_meter_that_always_shows_the_same():
    def study(values: dict[str, float]) -> GaugeRR:
        return gauge_rr(
            [GaugeReading(p, o, v) for p, v in values.items() for o in "AB" for _ in range(3)]
        )

    equal = study({"1": 45.1e-6, "2": 45.1e-6, "3": 45.1e-6})
    assert (equal.meter_share, equal.distinct_categories) == (None, None)
    perfect = study({"1": 45.1e-6, "2": 44.0e-6})
    assert (perfect.meter_share, perfect.distinct_categories) == (0, None)


def test_parts_all_alike_leave_everything_to_the_meter():
    found = gauge_rr([GaugeReading(p, "me", v) for p in "123" for v in (44.9e-6, 45.0e-6, 45.1e-6)])
    assert (found.part_to_part_si, found.meter_share, found.distinct_categories) == (0, 1, 1)


def test_what_is_no_study():
    full = [GaugeReading(p, o, 1.0) for p in "12" for o in "AB" for _ in range(2)]
    for readings, says in (
        ([], "two parts"),
        (full[:4], "two parts"),
        (full[::2], "two parts"),
        (full[:-1], "Part 2 has 1 readings by B"),
        (full[:-2], "Part 2 has 0 readings by B"),
        ([*full[:-1], GaugeReading("2", "B", math.nan)], "no number"),
    ):
        with refused(InputError, match=says):
            gauge_rr(readings)


@given(
    st.integers(2, 5), st.integers(1, 3), st.integers(2, 3), st.integers(0, 10_000), st.booleans()
)
def test_shares_and_intervals_enclose_their_values(p, o, r, seed, in_counts):
    readings = simulated(seed, (p, o, r), (1, 0.5, 0.2, 0.3))
    if in_counts:
        readings = [GaugeReading(x.part, x.operator, round(x.reading_si)) for x in readings]
    found = gauge_rr(readings)
    for estimate in (found.repeatability_si, found.meter_si):
        assert 0 <= estimate.low <= estimate.value <= estimate.high
    if found.meter_share is not None:
        assert 0 <= found.meter_share <= 1
        if found.meter_share_low is not None:
            assert found.meter_share_low <= found.meter_share <= found.meter_share_high
