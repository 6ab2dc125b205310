"""What a lot has in common, against handbooks and against SciPy and statsmodels."""

import math
import random
import subprocess
import sys
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from benchmeter.conformity.judgement import judge_measurement, without_value
from benchmeter.conformity.verdict import Measurement, Reason, Rule, Verdict
from benchmeter.parts.nameplate.label import parse_label
from benchmeter.quantities.quantity import Quantity
from benchmeter.statistics.capability import capability
from benchmeter.statistics.intervals import (
    mean_and_deviation,
    mean_estimate,
    mean_of,
    scale_factors,
    share_estimate,
    slope_estimate,
)
from benchmeter.statistics.lot import (
    WORDS,
    MeasurementReadings,
    lot_statistics,
    runs_z,
    statistics_of,
)
from benchmeter.statistics.lot_statistics import FEWEST, LotStatistics, NoCapability

HERM = parse_label("45/5 µF ±6 %").sections[0]
# JCGM 100:2008 cl. 4.4.3: twenty readings in °C; mean 100.145, s 1.489, s/√20 0.333 (from memory,
# the sums agree with what is printed there).
GUM = [96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07, 100.33, 100.42, 100.68, 100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72]  # fmt: skip


def lot(
    readings: list[str], section: Measurement = HERM, count: str = "0.01", scale: int = -6
) -> LotStatistics:
    """Readings, in µF unless another scale is told; a word stands for none."""
    words = {
        "open": Reason.NO_CAPACITANCE,
        "short": Reason.NO_RESISTANCE,
        "OL": Reason.OVERLOAD,
        "-": Reason.NOT_MEASURED,
    }
    return lot_statistics(
        section,
        [
            without_value(section, words[text])
            if text in words
            else judge_measurement(
                section,
                [Decimal(text).scaleb(scale)],
                resolution_si=Decimal(count).scaleb(scale),
                accuracy=None,
                rule=Rule.SIMPLE,
            )
            for text in readings
        ],
    )


def normal(number: int, mean: float, deviation: float, seed: int = 1) -> list[str]:
    chance = random.Random(seed)
    return [f"{chance.gauss(mean, deviation):.2f}" for _ in range(number)]


def test_mean_and_deviation_of_the_guide():
    mean, deviation = mean_and_deviation(GUM)
    assert (round(mean, 3), round(deviation, 3)) == (100.145, 1.489)
    assert round(deviation / math.sqrt(20), 3) == 0.333


def test_interval_of_a_mean():
    """NIST/SEMATECH e-Handbook 1.3.5.2, heat flow meter: n 195, mean 9.261460, s 0.022789, limits
    9.258242 and 9.264679 (from memory); and SciPy's t."""
    found = mean_estimate(9.261460, 0.022789, 195)
    assert (found.low, found.high) == (
        pytest.approx(9.258242, abs=2e-6),
        pytest.approx(9.264679, abs=2e-6),
    )
    mean, deviation = mean_and_deviation(GUM)
    found = mean_estimate(mean, deviation, len(GUM))
    expected = stats.t.interval(0.95, 19, loc=mean, scale=stats.sem(GUM))
    assert (found.low, found.high) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("freedom", [1, 7, 19, 60, 9999])
def test_interval_of_a_deviation(freedom):
    """Against SciPy's χ²."""
    expected = freedom / stats.chi2.ppf([0.975, 0.025], freedom)
    assert scale_factors(freedom) == pytest.approx(tuple(expected), rel=1e-9)


def test_share_of_a_lot():
    """Against SciPy's exact interval; none of n: 1 - 0.025^(1/n) (follows from the definition)."""
    for found, count in ((0, 10), (1, 10), (4, 20), (20, 20), (3, 10000)):
        expected = stats.binomtest(found, count).proportion_ci(0.95, method="exact")
        share = share_estimate(found, count)
        assert (share.low, share.high) == pytest.approx((expected.low, expected.high), abs=1e-9)
        assert share.value == found / count
    assert share_estimate(0, 10).high == pytest.approx(1 - 0.025 ** (1 / 10), rel=1e-12)


def test_slope():
    """Against SciPy's regression."""
    chance = random.Random(3)
    places = [float(i) for i in range(40)]
    values = [44 + 0.01 * p + chance.gauss(0, 0.1) for p in places]
    expected = stats.linregress(places, values)
    half = stats.t.ppf(0.975, 38) * expected.stderr
    found = slope_estimate(places, values)
    assert found.value == pytest.approx(expected.slope, rel=1e-9)
    assert (found.low, found.high) == pytest.approx(
        (expected.slope - half, expected.slope + half), rel=1e-9
    )


def test_capability_of_the_handbook():
    """e-Handbook 6.1.6: limits 8 and 20, mean 16, s 2: Cp 1.0, Cpk 0.6667 (from memory)."""
    found = capability(16, 2, 50, 8, 20)
    assert (found.cp.value, found.cpk.value) == (1.0, pytest.approx(0.6667, abs=5e-5))


def test_intervals_of_capability():
    """Montgomery, Introduction to Statistical Quality Control, confidence intervals on Cp and Cpk
    (from memory): limits 38 and 62, n 20, s 1.75: 1.57 to 3.01 for Cp 2.29; n 20: 0.88 to 1.78 for
    Cpk 1.33. The book goes on with the rounded 2.29."""
    cp = capability(50, 1.75, 20, 38, 62).cp
    assert (cp.value, cp.low, cp.high) == pytest.approx((2.29, 1.57, 3.01), abs=0.0075)
    cpk = capability(3.99, 1, 20, 0, 100).cpk
    assert (round(cpk.value, 2), round(cpk.low, 2), round(cpk.high, 2)) == (1.33, 0.88, 1.78)


def test_a_mean_outside_the_limits_has_a_negative_cpk():
    assert capability(7, 1, 50, 8, 20).cpk.value == pytest.approx(-1 / 3)


def test_runs_against_a_reference_library():
    """statsmodels' runs test about the median, without its correction."""
    sandbox = pytest.importorskip("statsmodels.sandbox.stats.runs")
    for seed in range(5):
        chance = random.Random(seed)
        values = [chance.gauss(0, 1) for _ in range(60)]
        expected, _ = sandbox.runstest_1samp(values, cutoff="median", correction=False)
        assert runs_z(values) == pytest.approx(expected, rel=1e-9)


def test_runs_tell_groups_from_to_and_fro():
    grouped = [float(i // 20) + i / 1000 for i in range(40)]
    assert runs_z(grouped) < -1.96
    assert runs_z([float(i % 2) + i / 1000 for i in range(40)]) > 1.96
    assert runs_z([1.0] * 50) is None
    assert runs_z([float(i) for i in range(20)]) is None  # ten on either side are too few


def test_seven_readings_are_only_counted():
    few = lot(normal(FEWEST - 1, 45, 0.5))
    assert (few.count, few.spread, few.outside) == (7, None, None)
    assert sum(few.histogram.counts) == 7
    enough = lot(normal(FEWEST, 45, 0.5))
    assert enough.spread is not None
    assert enough.spread.no_capability is NoCapability.FEW


def test_nothing_read():
    for readings in ([], ["-"] * 30, ["open", "short"]):
        found = lot(readings)
        assert (found.count, found.spread) == (0, None)
    assert (found.outside_count, found.judged_count) == (2, 2)


def test_the_offset_counts_from_the_rated_value():
    """Definition; for a range on the label from its middle."""
    found = lot([f"{44.0 + i / 10:.1f}" for i in range(11)]).spread
    assert found.mean_si.value == pytest.approx(44.5e-6)
    assert found.offset_si.value == pytest.approx(-0.5e-6)
    start = parse_label("88-108 µF").sections[0]
    found = lot([f"{94 + i / 10:.1f}" for i in range(11)], start).spread
    assert found.offset_si.value == pytest.approx(-3.5e-6)


def test_open_and_shorted_parts_are_outside_and_do_not_move_the_mean():
    readings = normal(30, 45, 0.3)
    plain, mixed = lot(readings), lot([*readings, "open", "0.02", "short", "-"])
    assert mixed.spread.mean_si == plain.spread.mean_si
    assert (mixed.open_count, mixed.shorted_count, mixed.unread_count) == (2, 1, 1)
    assert (mixed.outside_count, mixed.judged_count) == (3, 33)
    expected = stats.binomtest(3, 33).proportion_ci(0.95, method="exact")
    assert mixed.outside.high == pytest.approx(expected.high)


def test_both_limits_belong_to_the_band():
    """42.3 and 47.7 for 45 µF ±6 % (CALC)."""
    found = lot(["42.29", "42.30", "47.70", "47.71"]).histogram
    assert (found.below, found.above) == (1, 1)
    assert (found.counts[0], found.counts[-1]) == (1, 1)
    assert (found.edges_si[0], found.edges_si[-1]) == (HERM.low_si, HERM.high_si)


def test_bins_have_equal_widths_and_hold_their_lower_edge():
    """45 µF ±6 %: ten bins of 0.54 µF (CALC)."""
    found = lot([f"{42.3 + 0.54 * i:.2f}" for i in range(10)]).histogram
    assert found.counts == (1,) * 10
    widths = {b - a for a, b in zip(found.edges_si, found.edges_si[1:], strict=False)}
    assert widths == {Decimal("0.54e-6")}


def test_no_capability_where_the_digits_are_coarser_than_the_spread():
    same = lot(["45.0"] * 30, count="0.1").spread
    assert (same.deviation_si.value, same.no_capability) == (0, NoCapability.COARSE)
    assert (same.trend.slope_si_per_part.low, same.trend.slope_si_per_part.high) == (0, 0)
    coarse = lot(["45.0"] * 29 + ["45.1"], count="0.1").spread
    assert coarse.no_capability is NoCapability.COARSE
    assert lot(normal(30, 45, 0.3)).spread.no_capability is None


def test_lost_zeros_do_not_make_the_digits_coarse():
    """A spreadsheet writes 45.0 as 45: the finest reading tells what a digit is worth."""
    verdicts = [
        judge_measurement(
            HERM,
            [Decimal(text).scaleb(-6)],
            resolution_si=Decimal(count).scaleb(-6),
            accuracy=None,
            rule=Rule.SIMPLE,
        )
        for text, count in [("45", "1"), ("44.8", "0.1"), ("45.3", "0.1")] * 10
    ]
    assert lot_statistics(HERM, verdicts).spread.no_capability is None


def test_a_drift_while_measuring_is_seen():
    chance = random.Random(5)
    drifting = lot([f"{44.5 + i / 50 + chance.gauss(0, 0.05):.2f}" for i in range(40)])
    slope = drifting.spread.trend.slope_si_per_part
    assert slope.low < 0.02e-6 < slope.high
    assert slope.low > 0
    # A part that gave no reading still takes its place in the order.
    spaced = ["45.00", "-"] * 5 + ["45.10", "-"] * 5
    whole = stats.linregress(range(0, 20, 2), [45.0] * 5 + [45.1] * 5).slope
    found = lot(spaced).spread.trend.slope_si_per_part.value
    assert found == pytest.approx(whole * 1e-6, rel=1e-6)


@given(
    st.lists(st.decimals(0, 100, places=2), min_size=1, max_size=40)
    | st.lists(st.integers(4220, 4780).map(lambda n: Decimal(n).scaleb(-2)), max_size=40)
)
def test_every_reading_is_counted_once_and_in_its_bin(readings):
    """Each bin holds its lower edge, the last one both; counted in exact decimals."""
    found = lot([str(r) for r in readings])
    histogram = found.histogram
    assert sum(histogram.counts) + histogram.below + histogram.above == found.count
    assert found.count + found.open_count == len(readings)
    outside = sum(not (HERM.low_si <= r.scaleb(-6) <= HERM.high_si) for r in readings)
    assert found.outside_count == outside
    kept = [r.scaleb(-6) for r in readings if r.scaleb(-6) > HERM.rated_si / 100]
    edges = histogram.edges_si
    for low, high, counted in zip(edges, edges[1:], histogram.counts, strict=False):
        last = high == edges[-1]
        assert counted == sum(low <= r < high or (last and r == high) for r in kept)


@pytest.mark.parametrize(("low", "high"), [("9", None), (None, "14"), (None, None), ("9", "14")])
def test_one_limit_or_none(low, high):
    """Where there is no limit the outermost reading is the edge, and there is no capability."""
    limits = [None if text is None else Decimal(text) for text in (low, high)]
    section = Measurement("coil", None, *limits, Quantity.RESISTANCE, "Ω")
    readings = normal(40, 11.0, 1.5)
    found = lot(readings, section, scale=0)
    values = sorted(Decimal(r) for r in readings)
    edges = [limit or end for limit, end in zip(limits, (values[0], values[-1]), strict=True)]
    assert [found.histogram.edges_si[0], found.histogram.edges_si[-1]] == edges
    outside = sum(v < edges[0] or v > edges[1] for v in values)
    assert (found.outside_count, sum(found.histogram.counts)) == (outside, 40 - outside)
    missing = None if low and high else NoCapability.ONE_LIMIT
    assert found.spread.no_capability is missing
    assert (found.spread.offset_si is None) == bool(missing)


def test_insulation_beyond_the_range_of_the_meter_is_good_and_not_unread():
    """Common practice, no source: at least 1 MΩ to the case; OL is more than the meter can show."""
    section = Measurement(
        "to case", None, Decimal("1e6"), None, Quantity.RESISTANCE, "MΩ", None, Verdict.PASS
    )
    found = lot(
        ["OL", "5.00", "-", "OL", "0.20", "OL", "OL", "OL", "3.00", "4.00"], section, scale=6
    )
    assert (found.count, found.beyond_count, found.unread_count) == (4, 5, 1)
    assert (found.outside_count, found.judged_count) == (1, 9)


def test_ten_thousand_against_scipy():
    """SciPy 1.17: t and χ² intervals, regression, exact binomial interval; NumPy's histogram."""
    values = np.round(np.random.default_rng(7).normal(45.2, 0.8, 10_000), 2)
    codes = np.full(len(values), WORDS.index(Verdict.PASS), np.uint8)
    si = np.array([float(f"{v:.2f}e-6") for v in values])
    found = statistics_of(MeasurementReadings(HERM, si, codes, Decimal("1e-8")))
    assert found.spread is not None and found.spread.capability is not None
    mean = stats.t.interval(0.95, 9999, loc=si.mean(), scale=stats.sem(si))
    assert (found.spread.mean_si.low, found.spread.mean_si.high) == pytest.approx(mean, rel=1e-12)
    half = math.sqrt(9999 / stats.chi2.ppf(0.025, 9999)) * si.std(ddof=1)
    assert found.spread.deviation_si.high == pytest.approx(half, rel=1e-9)
    line = stats.linregress(np.arange(10_000), si)
    assert found.spread.trend.slope_si_per_part.value == pytest.approx(line.slope, rel=1e-6)
    bad = int(((values < 42.3) | (values > 47.7)).sum())
    share = stats.binomtest(bad, 10_000).proportion_ci(method="exact")
    assert found.outside is not None
    assert (found.outside.low, found.outside.high) == pytest.approx((share.low, share.high))
    edges = [42.3 + 0.54 * i - 1e-9 for i in range(10)] + [47.7 + 1e-9]
    assert list(found.histogram.counts) == np.histogram(values, edges)[0].tolist()
    cp = (47.7e-6 - 42.3e-6) / (6 * si.std(ddof=1))  # follows from the formula
    assert found.spread.capability.cp.value == pytest.approx(cp, rel=1e-9)


@given(st.floats(1e-9, 1e-3), st.integers(1, 200))
def test_equal_readings_have_that_mean_and_no_spread(value, number):
    assert mean_of([value] * number) == value
    assert mean_and_deviation([value] * (number + 1)) == (value, 0)


@pytest.mark.parametrize("number", [1, 4096, 4097, 100_001])
def test_a_mean_is_that_of_the_exact_sum(number):
    """Against Python's fsum, where most of each addition would be lost."""
    chance = np.random.default_rng(number)
    values = chance.normal(0, 1, number) * 10.0 ** chance.integers(-12, 12, number)
    assert mean_of(values) == math.fsum(values.tolist()) / number


def test_the_interval_of_the_mean_holds_as_often_as_it_says():
    """95 % of 600 lots, within four standard deviations of a binomial (0.036)."""
    held = 0
    for seed in range(600):
        chance = random.Random(seed)
        values = [chance.gauss(45, 0.5) for _ in range(12)]
        found = mean_estimate(*mean_and_deviation(values), 12)
        held += found.low <= 45 <= found.high
    assert held / 600 == pytest.approx(0.95, abs=0.036)


def test_importing_it_loads_nothing_heavy():
    code = (
        "import sys, benchmeter.statistics.lot, benchmeter.statistics.gauge_rr,"
        "benchmeter.statistics.control_chart, benchmeter.conformity.reference_part;"
        "sys.exit(any(m in sys.modules for m in ('numpy', 'scipy')))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
