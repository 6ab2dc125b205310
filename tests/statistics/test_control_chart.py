"""The meter's history, and reference parts that tell part from meter."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmeter.conformity.accuracy import parse_accuracy
from benchmeter.conformity.reference_part import (
    MeterReason,
    MeterVerdict,
    ReferencePart,
    compare_with_reference,
)
from benchmeter.errors import InputError
from benchmeter.statistics.control_chart import FEWEST_POINTS, control_chart
from tests.fakes.refusals import refused

# NIST/SEMATECH e-Handbook 6.3.2.2, flow rate by batch: mean 50.81, mean range 1.8778, limits
# 45.8159 and 55.8041 (from memory; the sums agree with what is printed there).
FLOW = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]
DAY = date(2026, 3, 1)
U = Decimal("1e-6")


def named(values: list[float]) -> list[tuple[str, float]]:
    return [(f"day {i}", value) for i, value in enumerate(values, 1)]


def reference(value: str = "45.00", uncertainty: str = "0.10") -> ReferencePart:
    return ReferencePart("R1", Decimal(value) * U, Decimal(uncertainty) * U, date(2026, 1, 10))


def compare(reading: str, ref: ReferencePart | None = None, accuracy: str = "1 % + 2 x 0.01 µF"):
    return compare_with_reference(
        ref or reference(),
        [Decimal(reading) * U],
        DAY,
        resolution_si=Decimal("0.01") * U,
        accuracy=parse_accuracy(accuracy) if accuracy else None,
    )


def test_limits_of_the_handbook():
    chart = control_chart(named(FLOW))
    assert (round(chart.centre_si, 2), round(chart.low_si, 4), round(chart.high_si, 4)) == (
        50.81,
        45.8159,
        55.8041,
    )
    assert chart.standing_out == ()
    assert chart.largest_range_si == pytest.approx(3.267 * 1.8778, rel=1e-4)  # D4, e-Handbook 6.3.2


def test_a_point_beyond_the_limits_is_named():
    chart = control_chart([*named(FLOW * 2), ("after the fall", 62.0)])
    assert [(p.name, p.out_of_control, p.jumped) for p in chart.standing_out] == [
        ("after the fall", True, True)
    ]


def test_a_jump_is_named_although_the_level_is_within():
    """A range beyond 3.267 mean ranges (e-Handbook 6.3.2, D4 of two values)."""
    slow = [i * 0.1 for i in range(20)]
    chart = control_chart(named([*slow, 0.5]))
    assert [p.name for p in chart.standing_out if p.jumped] == ["day 21"]


def test_few_points_have_no_limits():
    for number in range(1, FEWEST_POINTS):
        chart = control_chart(named([0.0] * (number - 1) + [99.0]))
        assert (chart.low_si, chart.high_si, chart.largest_range_si) == (None, None, None)
        assert (len(chart.points), chart.standing_out) == (number, ())


def test_one_count_is_never_out_of_control():
    """A meter that shows the same digits for months leaves no range to judge by."""
    counts = [0.0] * 20 + [1e-8]
    assert control_chart(named(counts)).standing_out != ()
    assert control_chart(named(counts), resolution_si=1e-8).standing_out == ()
    moved = control_chart(named([*counts[:-1], 3e-8]), resolution_si=1e-8)
    assert [p.name for p in moved.standing_out] == ["day 21"]


@given(
    st.lists(st.floats(-1e-6, 1e-6), min_size=8, max_size=30),
    st.sampled_from([0.0, 1e-9, 1e-8]),
)
def test_the_chart_keeps_every_point(values, resolution):
    chart = control_chart(named(values), resolution)
    assert [p.difference_si for p in chart.points] == values
    assert chart.low_si <= chart.centre_si <= chart.high_si
    slack = 1e-9 * (abs(chart.low_si) + abs(chart.high_si))
    for point in chart.points:
        if point.out_of_control:
            assert not chart.low_si + slack < point.difference_si < chart.high_si - slack
        else:
            assert chart.low_si - slack <= point.difference_si <= chart.high_si + slack


def test_the_en_number():
    """ISO/IEC 17043: En = (x - X)/√(Ux² + UX²). CALC: 1 % of 45.50 + 0.02 is 0.475, U = 0.5485,
    with 0.10 of the reference 0.5575; 0.50 off is 0.8968."""
    found = compare("45.50")
    assert found.expanded_uncertainty_si * 1e6 == pytest.approx(0.5575, abs=5e-5)
    assert found.en_number == pytest.approx(0.8968, abs=5e-5)
    assert found.difference_si == Decimal("0.50e-6")
    assert (found.verdict, found.reason) == (MeterVerdict.AGREES, MeterReason.WITHIN)


def test_a_meter_beyond_both_uncertainties_differs():
    assert compare("45.70").verdict is MeterVerdict.DIFFERS
    assert compare("44.30").verdict is MeterVerdict.DIFFERS
    assert compare("44.30").en_number < -1


def test_the_limit_belongs_to_agreement():
    """En of 1, to the last bits: the reference lies as far off as the uncertainty goes."""
    line = parse_accuracy("1 % + 2 x 0.01 µF")
    own = compare("45.50")
    exact = ReferencePart(
        "R2",
        Decimal("45.50e-6") - Decimal(own.expanded_uncertainty_si),
        Decimal("0.10e-6"),
        date(2026, 1, 10),
    )
    found = compare_with_reference(
        exact, [Decimal("45.50e-6")], DAY, resolution_si=None, accuracy=line
    )
    assert found.en_number == pytest.approx(1, rel=1e-9)
    assert found.verdict is MeterVerdict.AGREES


def test_without_an_accuracy_it_cannot_be_told():
    found = compare("60.00", accuracy="")
    assert (found.verdict, found.reason) == (MeterVerdict.CANNOT_TELL, MeterReason.ACCURACY_UNKNOWN)
    assert (found.en_number, found.expanded_uncertainty_si) == (None, None)


def test_a_coarse_reference_can_blame_the_meter_and_not_clear_it():
    """Common practice, no source."""
    coarse = reference(uncertainty="2.00")
    found = compare("45.10", coarse)
    assert (found.verdict, found.reason) == (
        MeterVerdict.CANNOT_TELL,
        MeterReason.REFERENCE_TOO_COARSE,
    )
    assert compare("49.00", coarse).verdict is MeterVerdict.DIFFERS


def test_repeats_and_the_leads_count():
    found = compare_with_reference(
        reference(),
        [Decimal("45.02") * U, Decimal("45.06") * U],
        DAY,
        resolution_si=Decimal("0.01") * U,
        accuracy=parse_accuracy("1 %"),
        lead_offset_si=Decimal("0.04") * U,
    )
    assert found.difference_si == 0
    # JCGM 100 cl. 5.1.2: u² = (1 % of 45.04/√3)² + (0.02828/√2)², U of the reference 0.10
    own2 = 4 * (0.4504**2 / 3 + 0.02828**2 / 2)
    assert found.expanded_uncertainty_si * 1e6 == pytest.approx((own2 + 0.01) ** 0.5, rel=1e-4)


def test_what_no_reference_can_be():
    for value, uncertainty in (("0", "0.1"), ("-45", "0.1"), ("45", "0"), ("45", "-1")):
        with refused(InputError, match="above zero"):
            reference(value, uncertainty)
    with refused(InputError, match="older"):
        compare_with_reference(
            reference(), [45 * U], date(2025, 12, 31), resolution_si=None, accuracy=None
        )


@given(st.decimals("44", "46", places=2), st.decimals("0.01", "2", places=2))
def test_agreement_is_the_en_number(reading, uncertainty):
    found = compare(str(reading), reference(uncertainty=str(uncertainty)))
    if abs(found.en_number) > 1.000001:
        assert found.verdict is MeterVerdict.DIFFERS
    if abs(found.en_number) < 0.999999:
        assert found.verdict is not MeterVerdict.DIFFERS
