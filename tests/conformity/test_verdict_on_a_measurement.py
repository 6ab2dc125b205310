"""The verdict on a section and on a part."""

import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmeter.conformity.accuracy import parse_accuracy
from benchmeter.conformity.judgement import (
    WORST_FIRST,
    judge_measurement,
    without_value,
)
from benchmeter.conformity.verdict import (
    Accuracy,
    Measurement,
    MeasurementVerdict,
    Reason,
    Rule,
    Verdict,
)
from benchmeter.parts.conclusion import (
    judge_part,
)
from benchmeter.parts.nameplate.label import parse_label

UF = Decimal("1e-6")


def section(label: str, name: str = "") -> Measurement:
    sections = parse_label(label).sections
    return next(s for s in sections if name in ("", s.name))


def exact_u(u_uf: float) -> Accuracy:
    """An accuracy that gives this standard uncertainty at every reading."""
    return Accuracy(Decimal(0), Decimal(1), Decimal(u_uf * math.sqrt(3)) * UF, "made for the test")


def judge(
    label: str | Measurement,
    *readings: str,
    accuracy: Accuracy | str | None = None,
    rule: Rule = Rule.GUARDED,
    resolution: str | None = "0.01",
    offset: str = "0",
) -> MeasurementVerdict:
    return judge_measurement(
        section(label) if isinstance(label, str) else label,
        [Decimal(r) * UF for r in readings],
        resolution_si=None if resolution is None else Decimal(resolution) * UF,
        accuracy=parse_accuracy(accuracy) if isinstance(accuracy, str) else accuracy,
        rule=rule,
        lead_offset_si=Decimal(offset) * UF,
    )


@pytest.mark.parametrize(
    ("y", "word", "probability"),
    [
        ("41.0", Verdict.FAIL, 0.0011),
        ("42.0", Verdict.CONDITIONAL_FAIL, 0.2401),
        ("42.8", Verdict.CONDITIONAL_PASS, 0.8803),
        ("43.5", Verdict.PASS, 0.9976),
        ("45", Verdict.PASS, 1.0000),
        ("46.9", Verdict.CONDITIONAL_PASS, 0.9701),
        ("47.3", Verdict.CONDITIONAL_PASS, 0.8267),
        ("48.0", Verdict.CONDITIONAL_FAIL, 0.2401),
        ("49.0", Verdict.FAIL, 0.0011),
    ],
)
def test_the_four_statements_with_a_guard_band(y, word, probability):
    """ILAC-G8:09/2019 cl. 4.2.3, worked for 45 µF ±6 %, U = w = 0.85 µF (CALC)."""
    found = judge("45 µF ±6 %", y, accuracy=exact_u(0.425))
    assert found.verdict is word
    assert found.conformance_probability == pytest.approx(probability, abs=5e-5)
    assert found.expanded_uncertainty_si == pytest.approx(0.85e-6, rel=1e-12)
    assert found.guard_band_si == found.expanded_uncertainty_si


@pytest.mark.parametrize(
    ("y", "word"),
    [
        ("41.45", Verdict.CONDITIONAL_FAIL),
        ("41.4499", Verdict.FAIL),
        ("42.3", Verdict.CONDITIONAL_PASS),
        ("42.2999", Verdict.CONDITIONAL_FAIL),
        ("43.15", Verdict.PASS),
        ("43.1499", Verdict.CONDITIONAL_PASS),
        ("46.85", Verdict.PASS),
        ("46.8501", Verdict.CONDITIONAL_PASS),
        ("47.7", Verdict.CONDITIONAL_PASS),
        ("47.7001", Verdict.CONDITIONAL_FAIL),
        ("48.55", Verdict.CONDITIONAL_FAIL),
        ("48.5501", Verdict.FAIL),
    ],
)
def test_each_zone_holds_its_bounds(y, word):
    """The limits belong to the band; TL - w belongs to the pass zone (ILAC-G8 cl. 4.2.3)."""
    assert judge("45 µF ±6 %", y, accuracy=exact_u(0.425)).verdict is word


@pytest.mark.parametrize(
    ("label", "low", "high"),
    [
        ("45 µF ±6 %", "42.3", "47.7"),
        ("45 µF ±5 %", "42.75", "47.25"),
        ("5 µF ±6 %", "4.7", "5.3"),
        ("5 µF ±10 %", "4.5", "5.5"),
        ("35 µF ±5 %", "33.25", "36.75"),
        ("7.5 µF ±6 %", "7.05", "7.95"),
        ("80 µF ±6 %", "75.2", "84.8"),
        ("10 µF 0/+10 %", "10", "11"),
        ("88-108 µF", "88", "108"),
    ],
)
@pytest.mark.parametrize("accuracy", [None, "1 % + 3 counts"])
def test_both_limits_belong_to_the_band(label, low, high, accuracy):
    """Reference limits (CALC): 5·(1 - 0.06) is 4.699999999999999 in binary and must not matter."""
    step = Decimal("0.0001")
    for limit, out in ((low, -step), (high, step)):
        inside = judge(label, limit, accuracy=accuracy, rule=Rule.SIMPLE)
        outside = judge(label, str(Decimal(limit) + out), accuracy=accuracy, rule=Rule.SIMPLE)
        assert (inside.verdict, outside.verdict) == (Verdict.PASS, Verdict.FAIL)


def test_binary_fractions_do_not_decide():
    """A reading that came through a float: 4.699999999999999 is 4.70."""
    noisy = Decimal(5 * (1 - 0.06))
    assert noisy < Decimal("4.7")
    assert judge("5 µF ±6 %", str(noisy)).verdict is Verdict.PASS


def test_the_worked_line_of_42_6_uf():
    """±(1.0 % + 3 counts of 0.1) at 42.6 (CALC): U = 0.83831, guarded limits 43.1383 and 46.8617,
    pc = 0.76292 (scipy.stats.norm); simple acceptance says pass, guarded conditional pass."""
    guarded = judge("45 µF ±6 %", "42.6", accuracy="1.0 % + 3 counts", resolution="0.1")
    assert guarded.verdict is Verdict.CONDITIONAL_PASS
    assert guarded.reason is Reason.NEAR_LIMIT_INSIDE
    assert guarded.half_width_si == pytest.approx(0.726e-6)
    assert guarded.standard_uncertainty_si == pytest.approx(0.41916e-6, rel=2e-5)
    assert guarded.expanded_uncertainty_si == pytest.approx(0.83831e-6, rel=1e-5)
    assert guarded.conformance_probability == pytest.approx(0.7629189, abs=1e-7)
    simple = judge(
        "45 µF ±6 %", "42.6", accuracy="1.0 % + 3 counts", resolution="0.1", rule=Rule.SIMPLE
    )
    assert (simple.verdict, simple.reason) == (Verdict.PASS, Reason.INSIDE_SIMPLE)
    assert simple.guard_band_si == 0.0
    assert simple.expanded_uncertainty_si == guarded.expanded_uncertainty_si
    assert simple.conformance_probability == guarded.conformance_probability


def test_risk_at_the_acceptance_limit():
    """ILAC-G8 (SGS page cites it): with w = U the risk of a false pass is 2.275 % (published < 2.5 %)."""
    found = judge("45 µF ±6 %", "43.15", accuracy=exact_u(0.425))
    assert 1 - found.conformance_probability == pytest.approx(0.022750, abs=1e-5)


def test_repeated_readings_are_judged_by_their_mean_and_widen_u():
    """u² = (a/√3)² + s²/n (JCGM 100 cl. 5.1.2): s of 44.0, 44.2 is 0.1414, s/√2 = 0.1."""
    found = judge("45 µF ±6 %", "44.0", "44.2", accuracy=exact_u(0.3))
    assert found.reading_si == Decimal("44.1") * UF
    assert found.standard_uncertainty_si == pytest.approx(math.hypot(0.3, 0.1) * 1e-6)
    assert len(found.readings_si) == 2


def test_without_accuracy_it_accepts_simply_and_says_so():
    for y, word, reason in [
        ("42.3", Verdict.PASS, Reason.INSIDE_ACCURACY_UNKNOWN),
        ("42.29", Verdict.FAIL, Reason.BELOW_ACCURACY_UNKNOWN),
        ("47.71", Verdict.FAIL, Reason.ABOVE_ACCURACY_UNKNOWN),
    ]:
        found = judge("45 µF ±6 %", y)
        assert (found.verdict, found.reason) == (word, reason)
        assert (
            found.conformance_probability
            is found.expanded_uncertainty_si
            is found.guard_band_si
            is None
        )


@pytest.mark.parametrize("rule", Rule)
@pytest.mark.parametrize("accuracy", [None, "1 %", "0.1 % + 2 counts"])
@pytest.mark.parametrize("readings", [("40", "50"), ("40", "50", "40", "50"), ("42.2", "47.8")])
def test_no_mean_passes_where_every_reading_lies_outside(readings, accuracy, rule):
    """45 µF ±6 % is 42.3 to 47.7 µF; the rule is our own."""
    found = judge("45 µF ±6 %", *readings, accuracy=accuracy, rule=rule)
    assert found.verdict is Verdict.UNDECIDABLE
    assert found.reason in (Reason.SCATTER, Reason.METER_TOO_COARSE)


@pytest.mark.parametrize(
    ("readings", "word"),
    [
        (("42.30", "42.30"), Verdict.PASS),
        (("42.43", "42.45"), Verdict.PASS),  # 42.44 by 13.97 · 0.01 from 42.3
        (("42.42", "42.44"), Verdict.UNDECIDABLE),
        (("42.34", "42.36", "42.35"), Verdict.PASS),  # by 4.53 · 0.01/√3
        (("42.28", "42.36"), Verdict.UNDECIDABLE),
        (("42.22", "42.30"), Verdict.UNDECIDABLE),
        (("42.00", "42.02"), Verdict.FAIL),
    ],
)
def test_scatter_counts_where_the_accuracy_is_not_known(readings, word):
    """The mean by no less than t·s/√n from a limit (JCGM 100 cl. 4.2.3, G.3; t: Table G.2)."""
    assert judge("45 µF ±6 %", *readings).verdict is word


def test_a_band_narrower_than_2u_is_undecidable():
    """JCGM 106 cl. 8: no acceptance zone is left; never a pass, never a crash."""
    for y in ("4.5", "4.7", "5.0", "5.3", "5.5"):
        found = judge("5 µF ±6 %", y, accuracy=exact_u(0.16))
        assert (found.verdict, found.reason) == (Verdict.UNDECIDABLE, Reason.METER_TOO_COARSE)
        assert found.needed_half_width_si == pytest.approx(0.15 * math.sqrt(3) * 1e-6)
    for y, reason in (("4.3", Reason.BELOW), ("5.7", Reason.ABOVE)):
        found = judge("5 µF ±6 %", y, accuracy=exact_u(0.16))
        assert (found.verdict, found.reason) == (Verdict.FAIL, reason)


def test_a_band_of_just_2u_still_has_a_point_that_passes():
    assert judge("5 µF ±6 %", "5.0", accuracy=exact_u(0.15)).verdict is Verdict.PASS
    assert judge("5 µF ±6 %", "5.01", accuracy=exact_u(0.15)).verdict is Verdict.CONDITIONAL_PASS


def test_the_needed_accuracy_could_decide():
    found = judge("5 µF ±6 %", "5.0", accuracy=exact_u(0.3))
    count_si = Decimal(found.needed_half_width_si)
    better = Accuracy(Decimal(0), Decimal(1), count_si, "")
    assert judge("5 µF ±6 %", "5.0", accuracy=better).verdict is Verdict.PASS


def test_the_needed_accuracy_leaves_room_for_the_scatter():
    """2U is the band: 4·√(a²/3 + s²/n) = 0.6 µF (JCGM 106 cl. 8; JCGM 100 cl. 5.1.2)."""
    found = judge("5 µF ±6 %", "4.9", "5.1", accuracy=exact_u(0.3))
    needed = found.needed_half_width_si * 1e6
    assert 4 * math.sqrt(needed**2 / 3 + 0.1**2) == pytest.approx(0.6)


def test_scatter_that_no_meter_can_mend_has_no_needed_accuracy():
    found = judge("5 µF ±6 %", "4.2", "5.0", "5.8", accuracy=exact_u(0.01))
    assert found.verdict is Verdict.UNDECIDABLE
    assert found.needed_half_width_si is None


@pytest.mark.parametrize(
    ("label", "y", "word"),
    [
        ("45 µF ±6 %", "0", Verdict.OPEN),
        ("45 µF ±6 %", "0.45", Verdict.OPEN),
        ("45 µF ±6 %", "0.46", Verdict.FAIL),
        ("45 µF ±6 %", "-0.45", Verdict.OPEN),
        ("45 µF ±6 %", "-0.46", Verdict.NO_READING),
        ("5 µF ±6 %", "0.05", Verdict.OPEN),
        ("5 µF ±6 %", "0.06", Verdict.FAIL),
        ("88-108 µF", "0.88", Verdict.OPEN),
        ("88-108 µF", "0.89", Verdict.FAIL),
    ],
)
def test_up_to_one_percent_is_open(label, y, word):
    """IEC 60252-1 class S3: open with a residual capacitance below 1 % (from memory)."""
    for accuracy in (None, "1 % + 2 counts"):
        assert judge(label, y, accuracy=accuracy).verdict is word


def test_below_zero_is_no_capacitance():
    found = judge("45 µF ±6 %", "-3", accuracy="1 % + 2 counts")
    assert (found.verdict, found.reason, found.reading_si) == (
        Verdict.NO_READING,
        Reason.NOT_A_CAPACITANCE,
        None,
    )
    assert found.readings_si == (Decimal("-3") * UF,)


def test_a_meter_that_may_show_a_good_part_as_zero_cannot_say_open():
    assert (
        judge("5 µF ±6 %", "0", accuracy="1 % + 10 x 1 µF", resolution="1").verdict
        is Verdict.UNDECIDABLE
    )
    assert (
        judge("5 µF ±6 %", "0", accuracy="1 % + 2 x 0.1 µF", resolution="0.1").verdict
        is Verdict.OPEN
    )


def test_counts_without_worth_cannot_judge():
    found = judge("45 µF ±6 %", "45", accuracy="1.2 % + 2 counts", resolution=None)
    assert (found.verdict, found.reason) == (Verdict.UNDECIDABLE, Reason.COUNT_UNKNOWN)
    assert found.expanded_uncertainty_si is None
    assert judge("45 µF ±6 %", "45", accuracy="1.2 %", resolution=None).verdict is Verdict.PASS


def test_the_lead_offset_is_subtracted():
    found = judge("5 µF ±6 %", "4.71", offset="0.02")
    assert found.reading_si == Decimal("4.69") * UF
    assert found.readings_si == (Decimal("4.71") * UF,)
    assert found.verdict is Verdict.FAIL


def test_nothing_read_is_no_reading():
    found = judge("5 µF ±6 %")
    assert (found.verdict, found.reason) == (Verdict.NO_READING, Reason.NOT_MEASURED)


def test_findings_without_a_value():
    part = section("5 µF ±6 %")
    assert without_value(part, Reason.NO_CAPACITANCE).verdict is Verdict.OPEN
    assert without_value(part, Reason.NO_RESISTANCE).verdict is Verdict.SHORTED
    for reason in (Reason.OVERLOAD, Reason.WRONG_FUNCTION, Reason.NO_CONTACT, Reason.STILL_MOVING, Reason.STALE,
                   Reason.NOT_MEASURED, Reason.NO_VALUE):  # fmt: skip
        assert without_value(part, reason).verdict is Verdict.NO_READING


def test_a_part_is_as_bad_as_its_worst_section():
    """Order: shorted, open, fail, no reading, undecidable, conditional fail, conditional pass, pass."""
    rating = parse_label("45/5 µF ±6 %")
    herm, fan = rating.sections
    assert set(WORST_FIRST) == set(Verdict)
    good = judge(herm, "45")
    bad = judge(fan, "4")
    none = without_value(fan, Reason.NOT_MEASURED)
    assert judge_part(rating, Rule.GUARDED, None, [good, none]).verdict is Verdict.NO_READING
    assert judge_part(rating, Rule.GUARDED, None, [good, bad]).verdict is Verdict.FAIL
    assert judge_part(rating, Rule.GUARDED, None, [bad, none]).verdict is Verdict.FAIL
    assert judge_part(rating, Rule.GUARDED, None, []).verdict is Verdict.NO_READING


def test_a_dual_part_that_is_open_and_its_weak_replacement():
    """Common practice, no source: old part 0 on both sections; replacement 4.6, limit 4.70 (CALC)."""
    rating = parse_label("35/5 µF ±6 %")
    herm, fan = rating.sections
    old = [judge(herm, "0"), judge(fan, "0")]
    assert judge_part(rating, Rule.GUARDED, None, old).verdict is Verdict.OPEN
    assert judge(fan, "4.6").verdict is Verdict.FAIL
    for line in (
        "1.2 % + 2 counts",
        "1.9 % + 2 counts",
        "1 % + 3 x 0.01 µF",
        "3 % + 5 counts",
        "2 % + 4 x 0.1 µF",
    ):
        for rule in Rule:
            for y, resolution in (("4.6", "0.01"), ("4.6", "0.1"), ("4.60", "0.01")):
                found = judge(fan, y, accuracy=line, rule=rule, resolution=resolution)
                assert found.verdict in (
                    Verdict.CONDITIONAL_FAIL,
                    Verdict.FAIL,
                    Verdict.UNDECIDABLE,
                )


_READING = st.decimals(min_value=0, max_value=100, places=3)
_U = st.floats(min_value=0.001, max_value=3)
_RANK = {
    Verdict.FAIL: 0,
    Verdict.CONDITIONAL_FAIL: 1,
    Verdict.UNDECIDABLE: 1,
    Verdict.CONDITIONAL_PASS: 2,
    Verdict.PASS: 3,
    Verdict.OPEN: 0,
}


@given(_READING, _READING, _U, st.sampled_from(Rule))
def test_nearer_to_the_middle_is_never_worse(one, other, u, rule):
    middle = Decimal(45)
    near, far = sorted((one, other), key=lambda y: abs(y - middle))
    near_, far_ = (judge("45 µF ±6 %", str(y), accuracy=exact_u(u), rule=rule) for y in (near, far))
    assert _RANK[near_.verdict] >= _RANK[far_.verdict]
    assert near_.conformance_probability >= far_.conformance_probability - 1e-12


@given(st.decimals(min_value=0, max_value=40, places=3), _U, st.sampled_from(Rule))
def test_symmetrical_limits_judge_symmetrically(off, u, rule):
    below, above = (
        judge("45 µF ±6 %", str(45 + s * off), accuracy=exact_u(u), rule=rule) for s in (-1, 1)
    )
    assert below.verdict is above.verdict
    assert below.conformance_probability == pytest.approx(above.conformance_probability, abs=1e-12)


@given(_READING, st.decimals(min_value="0.1", max_value=10, places=1), st.sampled_from(Rule))
def test_a_pass_is_never_likelier_wrong_than_right(y, percent, rule):
    """And a guarded pass is wrong with at most 2.3 % on either side, a fail right as surely."""
    found = judge("45 µF ±6 %", str(y), accuracy=f"{percent} %", rule=rule)
    if found.conformance_probability is None or rule is Rule.SIMPLE:
        return
    if found.verdict is Verdict.PASS:
        assert found.conformance_probability >= 1 - 2 * 0.02276
    if found.verdict in (Verdict.FAIL, Verdict.OPEN):
        assert found.conformance_probability <= 0.02276
