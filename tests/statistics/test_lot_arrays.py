"""The statistics of a lot from arrays are those from one verdict after the other."""

import math
import random
from decimal import Decimal

import numpy as np
import pytest
from scipy import stats

from benchmeter.conformity.judgement import WORST_FIRST, judge_measurement, without_value
from benchmeter.conformity.verdict import Measurement, Reason, Rule, Verdict
from benchmeter.parts.nameplate.label import parse_label
from benchmeter.quantities.quantity import Quantity
from benchmeter.statistics.lot import WORDS
from benchmeter.statistics.lot_arrays import (
    MeasurementReadings,
    part_codes,
    readings_of,
    statistics_of,
)
from benchmeter.statistics.lot_statistics import LotStatistics, lot_statistics

HERM, FAN = parse_label("45/5 µF ±6 %").sections
NO_VALUE = {
    "open": Reason.NO_CAPACITANCE,
    "short": Reason.NO_RESISTANCE,
    "OL": Reason.OVERLOAD,
    "-": Reason.NOT_MEASURED,
}


def verdicts(texts, section=HERM, scale=-6):
    return [
        without_value(section, NO_VALUE[text])
        if text in NO_VALUE
        else judge_measurement(
            section,
            [Decimal(text).scaleb(scale)],
            resolution_si=Decimal("0.01").scaleb(scale),
            accuracy=None,
            rule=Rule.SIMPLE,
        )
        for text in texts
    ]


def normal(number, mean=45.0, deviation=0.6, seed=1):
    chance = random.Random(seed)
    return [f"{chance.gauss(mean, deviation):.2f}" for _ in range(number)]


def near(found: LotStatistics, expected: LotStatistics) -> None:
    """Equal counts; equal numbers to the rounding of their sums."""
    counts = ("count", "beyond_count", "open_count", "shorted_count", "unread_count")
    for name in ("section", *counts, "histogram"):
        assert getattr(found, name) == getattr(expected, name), name
    assert (found.outside_count, found.outside) == (expected.outside_count, expected.outside)
    assert (found.spread is None) == (expected.spread is None)
    if found.spread is None:
        return
    a, b = found.spread, expected.spread
    assert a.no_capability is b.no_capability
    assert a.trend.runs_z == b.trend.runs_z
    pairs = [
        (a.mean_si, b.mean_si),
        (a.deviation_si, b.deviation_si),
        (a.offset_si, b.offset_si),
        (a.trend.slope_si_per_part, b.trend.slope_si_per_part),
    ]
    if a.capability is not None:
        pairs += [(a.capability.cp, b.capability.cp), (a.capability.cpk, b.capability.cpk)]
    small = float(b.mean_si.value) * 1e-12
    for one, other in pairs:
        if one is None:
            assert other is None
            continue
        for end in ("value", "low", "high"):
            assert getattr(one, end) == pytest.approx(getattr(other, end), rel=1e-9, abs=small)


@pytest.mark.parametrize(
    "texts",
    [
        [],
        ["45.00"],
        ["open", "-", "short"],
        normal(7),
        normal(8),
        ["45.00"] * 30,
        normal(24),
        normal(25),
        [*normal(40), "open", "-", "0.02", "short", *normal(40, seed=2)],
        # On the limits and on the bins' edges: 42.3 to 47.7 in steps of 0.54.
        ["42.30", "42.84", "47.70", "47.71", "42.29", "45.00", "43.38", "47.16"] * 3,
        normal(2000, 44.2, 0.9),
    ],
    ids=lambda texts: f"{len(texts)} readings",
)
def test_arrays_and_verdicts_say_the_same(texts):
    found = verdicts(texts)
    near(statistics_of(readings_of(HERM, found)), lot_statistics(HERM, found))


@pytest.mark.parametrize(("low", "high"), [("9", None), (None, "14"), (None, None), ("9", "14")])
def test_one_limit_or_none(low, high):
    limits = [None if text is None else Decimal(text) for text in (low, high)]
    section = Measurement("coil", None, *limits, Quantity.RESISTANCE, "Ω")
    found = verdicts(normal(40, 11.0, 1.5), section, 0)
    near(statistics_of(readings_of(section, found)), lot_statistics(section, found))


def test_insulation_beyond_the_range_of_the_meter_is_good_and_not_unread():
    """Common practice, no source: at least 1 MΩ to the case; OL is more than the meter can show."""
    section = Measurement(
        "to case", None, Decimal("1e6"), None, Quantity.RESISTANCE, "MΩ", None, Verdict.PASS
    )
    found = verdicts(
        ["OL", "5.00", "-", "OL", "0.20", "OL", "OL", "OL", "3.00", "4.00"], section, 6
    )
    counted = statistics_of(readings_of(section, found))
    near(counted, lot_statistics(section, found))
    assert (counted.count, counted.beyond_count, counted.unread_count) == (4, 5, 1)
    assert (counted.outside_count, counted.judged_count) == (1, 9)


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


def test_a_part_is_as_bad_as_its_worst_section():
    words = list(Verdict)
    pairs = [(a, b) for a in words for b in words]
    herm, fan = (
        MeasurementReadings(
            section,
            np.full(len(pairs), np.nan),
            np.array([WORDS.index(pair[i]) for pair in pairs], np.uint8),
        )
        for i, section in enumerate((HERM, FAN))
    )
    found = [WORDS[code] for code in part_codes([herm, fan])]
    assert found == [next(w for w in WORST_FIRST if w in pair) for pair in pairs]
