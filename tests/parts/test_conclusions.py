"""What several measurements of a part say together: windings, poles, line voltages, differences.

Accuracy ±a gives u = a/√3 (JCGM 100 cl. 4.3.7); sums and differences of independent readings add in
quadrature (cl. 5.1.2), U = 2u.
"""

import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmeter.conformity.accuracy import parse_accuracy
from benchmeter.conformity.verdict import Reason, Rule, Verdict
from benchmeter.files.folders import Folders
from benchmeter.motors.winding_balance import judge_balance
from benchmeter.motors.winding_pairs import parse_pairs
from benchmeter.motors.windings import WindingFinding, judge_windings
from benchmeter.parts.combined.evidence import (
    decide,
)
from benchmeter.parts.conclusion import (
    ConclusionFinding,
)
from benchmeter.parts.kind_catalogue import all_part_kinds
from benchmeter.parts.part_kind import (
    AlikeRule,
    Between,
    DifferenceRule,
    NameplateField,
    OfGiven,
    RangeGiven,
    UnbalanceRule,
    WindingsRule,
)
from benchmeter.quantities.quantity import Quantity
from tests.fakes.concluded import CONCLUDED, concluded, kind_of_part, measure

OHM, AC, DC = Quantity.RESISTANCE, Quantity.VOLTAGE_AC, Quantity.VOLTAGE_DC
METER = "0.8 % + 2 x 0.1 Ω"


# ILAC-G8:09/2019 cl. 4.2.3, worked for 45 µF ±6 %, U = w = 0.85 µF; the limits themselves, and
# U inside of them, belong to the better zone.
@pytest.mark.parametrize(
    ("y", "word"),
    [
        (41.0, Verdict.FAIL),
        (41.45, Verdict.CONDITIONAL_FAIL),
        (42.0, Verdict.CONDITIONAL_FAIL),
        (42.3, Verdict.CONDITIONAL_PASS),
        (42.8, Verdict.CONDITIONAL_PASS),
        (43.15, Verdict.PASS),
        (43.5, Verdict.PASS),
        (45.0, Verdict.PASS),
        (46.85, Verdict.PASS),
        (46.9, Verdict.CONDITIONAL_PASS),
        (47.7, Verdict.CONDITIONAL_PASS),
        (48.0, Verdict.CONDITIONAL_FAIL),
        (48.55, Verdict.CONDITIONAL_FAIL),
        (49.0, Verdict.FAIL),
    ],
)
def test_what_is_computed_is_judged_like_what_is_read(y, word):
    assert decide(y, 42.3, 47.7, 0.425, Rule.GUARDED, count_unknown=False)[0] is word
    inside = 42.3 <= y <= 47.7
    simply = Verdict.PASS if inside else Verdict.FAIL
    assert decide(y, 42.3, 47.7, 0.425, Rule.SIMPLE, count_unknown=False)[0] is simply
    assert decide(y, 42.3, 47.7, None, Rule.GUARDED, count_unknown=False)[0] is simply
    coarse = decide(y, 42.3, 47.7, None, Rule.GUARDED, count_unknown=True)
    assert coarse == (Verdict.UNDECIDABLE, Reason.COUNT_UNKNOWN)


def test_a_limit_on_one_side_leaves_the_other_side_free():
    assert decide(1e9, 5.0, None, 0.5, Rule.GUARDED, count_unknown=False)[0] is Verdict.PASS
    assert (
        decide(5.5, 5.0, None, 0.5, Rule.GUARDED, count_unknown=False)[0]
        is Verdict.CONDITIONAL_PASS
    )
    assert decide(3.9, 5.0, None, 0.5, Rule.GUARDED, count_unknown=False)[0] is Verdict.FAIL
    assert decide(-1e9, None, 5.0, 0.5, Rule.GUARDED, count_unknown=False)[0] is Verdict.PASS
    assert decide(6.1, None, 5.0, 0.5, Rule.GUARDED, count_unknown=False)[0] is Verdict.FAIL


# Windings: (C-S) + (C-R) = (S-R) and the example 2.6, 0.8, 3.4 Ω are common practice, no source.

PAIRS = ("C-S", "C-R", "S-R")
WINDINGS = kind_of_part(
    WindingsRule(name="pairs", pairs={p: p for p in PAIRS}, failure="Bad.", **CONCLUDED),
    [measure(p, OHM, "Ω", overload="open") for p in PAIRS],
)


def windings(text: str, line=METER, **more):
    shown = dict(pair.split("=") for pair in text.split())
    return concluded(WINDINGS, "", shown, line, **more)


def test_the_windings_of_the_trade_add_up():
    found = windings("C-S=2.6ohm C-R=0.8ohm S-R=3.4ohm", offset=0)
    assert (found.word, found.finding) == (Verdict.PASS, WindingFinding.CONSISTENT)
    assert found.terminals == {"C": "C", "S": "S", "R": "R"}
    assert (found.value_si, found.unit) == (0, "Ω")
    # a = 0.2208, 0.2064 and 0.2272 Ω
    assert found.expanded_uncertainty_si == pytest.approx(
        2 * math.sqrt((0.2208**2 + 0.2064**2 + 0.2272**2) / 3), rel=1e-9
    )


@pytest.mark.parametrize("line", [METER, ""])
@pytest.mark.parametrize(
    ("text", "word", "finding"),
    [
        ("C-S=OL C-R=OL S-R=3.4ohm", Verdict.OPEN, WindingFinding.OPEN_AT_C),
        ("C-S=OL C-R=0.8ohm S-R=OL", Verdict.OPEN, WindingFinding.OPEN_START),
        ("C-S=2.6ohm C-R=open S-R=open", Verdict.OPEN, WindingFinding.OPEN_RUN),
        ("C-S=OL C-R=OL S-R=OL", Verdict.OPEN, WindingFinding.OPEN_ALL),
        ("C-S=OL C-R=0.8ohm S-R=3.4ohm", Verdict.UNDECIDABLE, WindingFinding.CONTRADICTORY),
        ("C-S=2.6ohm C-R=0.0ohm S-R=2.6ohm", Verdict.SHORTED, WindingFinding.SHORTED),
        ("C-S=26.0ohm C-R=8.0ohm S-R=30.0ohm", Verdict.FAIL, WindingFinding.SUM_TOO_LARGE),
        ("C-S=26.0ohm C-R=8.0ohm S-R=40.0ohm", Verdict.FAIL, WindingFinding.SUM_TOO_SMALL),
        ("C-S=2.0ohm C-R=2.0ohm S-R=2.0ohm", Verdict.UNDECIDABLE, WindingFinding.ALIKE),
        ("C-S=OL C-R= S-R=3.4ohm", Verdict.NO_READING, Reason.NOT_MEASURED),
        ("C-S=2.6ohm C-R=none S-R=3.4ohm", Verdict.NO_READING, Reason.NOT_MEASURED),
        ("C-S=2.6ohm C-R=230V S-R=3.4ohm", Verdict.NO_READING, Reason.NOT_MEASURED),
    ],
)
def test_findings_of_the_windings(text, word, finding, line):
    found = windings(text, line)
    assert (found.word, found.finding) == (word, finding)


def test_an_overload_is_open_even_where_the_kind_has_no_word_for_it():
    kind = kind_of_part(WINDINGS.conclusions[0], [measure(p, OHM, "Ω") for p in PAIRS])
    found = concluded(kind, "", {"C-S": "OL", "C-R": "0.8 ohm", "S-R": "OL"}, METER)
    assert (found.word, found.finding) == (Verdict.OPEN, WindingFinding.OPEN_START)


@given(*[st.decimals("0.5", "40", places=1) for _ in PAIRS])
def test_the_windings_are_judged_by_the_one_rule(cs, cr, sr):
    """Whatever the readings: what `compute windings` says of them."""
    texts = [f"{p}={v}ohm" for p, v in zip(PAIRS, (cs, cr, sr), strict=True)]
    expected = judge_windings(parse_pairs(texts), parse_accuracy(METER, "resistance"))
    found = windings(" ".join(texts))
    assert (found.word, found.finding) == (expected.verdict, expected.finding)
    assert found.value_si == expected.residual_ohm
    assert found.expanded_uncertainty_si == pytest.approx(expected.expanded_uncertainty_ohm)
    assert found.terminals == (expected.terminals or {})
    unknown = judge_windings(parse_pairs(texts))
    assert (windings(" ".join(texts), "").word) is unknown.verdict


def test_leads_that_were_subtracted_are_in_no_pair():
    """0.3 Ω of leads leave 0.3 Ω in the sum: two pairs carry them twice, S-R once (computed)."""
    text = "C-S=2.900ohm C-R=1.100ohm S-R=3.700ohm"
    fine = "0.1 % + 2 x 0.001 Ω"
    found = windings(text, fine)
    assert (found.word, found.finding) == (Verdict.UNDECIDABLE, WindingFinding.LEADS_NOT_SUBTRACTED)
    assert windings(text, fine, offset=Decimal("0.3")).word is Verdict.PASS


def test_a_pair_that_reads_less_than_the_leads_is_a_mistake_not_a_short():
    found = windings("C-S=2.6ohm C-R=0.1ohm S-R=3.4ohm", offset=Decimal("0.5"))
    assert (found.word, found.finding) == (Verdict.UNDECIDABLE, ConclusionFinding.LESS_THAN_LEADS)


def test_counts_without_worth_cannot_be_used():
    shown = {"C-S": "2.6 ohm", "C-R": "0.8 ohm", "S-R": "3.4 ohm"}
    found = concluded(WINDINGS, "", shown, "0.8 % + 2 counts", digits=False)
    assert (found.word, found.finding) == (Verdict.UNDECIDABLE, WindingFinding.COUNT_UNKNOWN)
    shown = dict.fromkeys(LEGS, "2.6 ohm")
    found = concluded(BALANCE, "", shown, "0.8 % + 2 counts", digits=False)
    assert (found.word, found.finding) == (Verdict.UNDECIDABLE, Reason.COUNT_UNKNOWN)


def test_windings_of_which_the_accuracy_line_says_nothing_are_of_unknown_accuracy():
    found = windings("C-S=2.6ohm C-R=0.8ohm S-R=3.4ohm", "capacitance 1 % + 2 counts")
    assert (found.word, found.finding) == (Verdict.PASS, WindingFinding.CONSISTENT_ROUNDING)
    assert found.expanded_uncertainty_si is None


def test_a_pair_beyond_the_range_of_the_accuracy_line_makes_the_residual_unknown():
    found = windings(
        "C-S=26.0ohm C-R=8.0ohm S-R=34.4ohm", "resistance up to 30 ohm 0.1 % + 1 count"
    )
    assert (found.word, found.finding) == (Verdict.UNDECIDABLE, WindingFinding.ACCURACY_NEEDED)


def test_the_scatter_of_repeated_readings_widens_the_uncertainty():
    """s/√n of 2.5, 2.6, 2.7 Ω is 0.0577 Ω (JCGM 100 cl. 4.2.3)."""
    found = windings("C-S=2.5ohm|2.6ohm|2.7ohm C-R=0.8ohm S-R=3.4ohm")
    squares = (0.2208**2 + 0.2064**2 + 0.2272**2) / 3 + 0.1**2 / 3
    assert found.expanded_uncertainty_si == pytest.approx(2 * math.sqrt(squares), rel=1e-9)


# Windings of a three-phase motor: 5 % is common practice, no source.

LEGS = ("1-2", "1-3", "2-3")
BALANCE = kind_of_part(
    AlikeRule(name="alike", of=LEGS, most="5 %", failure="Bad.", **CONCLUDED),
    [measure(p, OHM, "Ω", overload="open") for p in LEGS],
)


@given(
    *[st.decimals("0.0", "40", places=2) for _ in LEGS],
    st.sampled_from([METER, "0.5 % + 1 x 0.01 Ω", "0.5 % + 2 counts", ""]),
)
def test_three_pairs_give_what_the_balance_of_a_motor_gives(one, two, three, line):
    texts = [f"{p}={v:.2f}ohm" for p, v in zip(LEGS, (one, two, three), strict=True)]
    accuracy = parse_accuracy(line, "resistance") if line else None
    expected = judge_balance(parse_pairs(texts), accuracy)
    found = concluded(BALANCE, "", dict(t.split("=") for t in texts), line)
    assert (found.word, found.finding) == (expected.verdict, expected.reason)
    assert found.high_si in (None, 0.05)
    if expected.unbalance_percent is None:
        assert found.value_si is None
    else:
        assert found.value_si * 100 == pytest.approx(expected.unbalance_percent)
    u = expected.expanded_uncertainty_percent
    if u is not None:
        assert found.expanded_uncertainty_si * 100 == pytest.approx(u)


@pytest.mark.parametrize(
    ("third", "word", "finding"),
    [
        ("OL", Verdict.OPEN, Reason.OVERLOAD),
        ("open", Verdict.OPEN, Reason.OVERLOAD),
        ("0.0 ohm", Verdict.SHORTED, Reason.NO_RESISTANCE),
        ("", Verdict.NO_READING, Reason.NOT_MEASURED),
        ("24 V", Verdict.NO_READING, Reason.NOT_MEASURED),
    ],
)
def test_a_pair_without_value_is_open_shorted_or_not_measured(third, word, finding):
    found = concluded(BALANCE, "", {"1-2": "2.6 ohm", "1-3": "2.6 ohm", "2-3": third}, METER)
    assert (found.word, found.finding, found.value_si) == (word, finding, None)


@pytest.mark.parametrize("third", ["shorted", "0.5 ohm"])
def test_a_pair_that_is_shorted_by_its_kind_is_shorted_with_the_others(third):
    measures = [measure(p, OHM, "Ω", overload="open", shorted_below="1 ohm") for p in LEGS]
    kind = kind_of_part(BALANCE.conclusions[0], measures)
    found = concluded(kind, "", {"1-2": "2.6 ohm", "1-3": "2.6 ohm", "2-3": third}, METER)
    assert (found.word, found.finding) == (Verdict.SHORTED, Reason.NO_RESISTANCE)


def test_a_winding_typed_as_shorted_is_shorted():
    measures = [measure(p, OHM, "Ω", overload="open", shorted_below="0.1 ohm") for p in PAIRS]
    kind = kind_of_part(WINDINGS.conclusions[0], measures)
    found = concluded(kind, "", {"C-S": "2.6 ohm", "C-R": "shorted", "S-R": "2.6 ohm"}, METER)
    assert (found.word, found.finding) == (Verdict.SHORTED, WindingFinding.SHORTED)


# 2.60, 2.60, x: mean (5.20 + x)/3, deviation (2x - 5.20)/3 (computed).
@pytest.mark.parametrize(
    ("third", "percent", "word"),
    [("2.60", 0.0, Verdict.PASS), ("2.75", 3.7736, Verdict.CONDITIONAL_PASS), ("2.81", 5.2434, Verdict.CONDITIONAL_FAIL), ("3.00", 9.7561, Verdict.FAIL)],
)  # fmt: skip
def test_the_guarded_and_the_simple_rule_on_a_share(third, percent, word):
    shown = {"1-2": "2.60 ohm", "1-3": "2.60 ohm", "2-3": f"{third} ohm"}
    line = "0.8 % + 2 x 0.01 Ω"
    found = concluded(BALANCE, "", shown, line)
    assert found.word is word
    assert found.value_si * 100 == pytest.approx(percent, abs=0.0001)
    assert found.unit == "%"
    simple = concluded(BALANCE, "", shown, line, Rule.SIMPLE)
    assert simple.word is (Verdict.PASS if percent <= 5 else Verdict.FAIL)
    if percent:
        assert found.names == ("2-3",)


POLES = ("L1", "L2", "L3")
DROPS = kind_of_part(
    AlikeRule(name="poles", of=POLES, most="20 mV", failure="Bad.", **CONCLUDED),
    [measure(p, AC, "mV") for p in POLES],
)


# 30, 30, x mV: deviation 2(x - 30)/3: 60 mV is 20 mV off, on the limit. Each ±3 mV, u = √3 mV; of
# the deviation u·√(4 + 1 + 1)/3 = √2 mV, U = 2.83 mV (JCGM 100 cl. 5.1.2).
@pytest.mark.parametrize(
    ("third", "word"),
    [("55.7", Verdict.PASS), ("55.8", Verdict.CONDITIONAL_PASS), ("60.0", Verdict.CONDITIONAL_PASS), ("60.1", Verdict.CONDITIONAL_FAIL), ("64.2", Verdict.CONDITIONAL_FAIL), ("64.3", Verdict.FAIL)],
)  # fmt: skip
def test_poles_may_differ_by_a_fixed_amount(third, word):
    shown = {"L1": "30.0 mV", "L2": "30.0 mV", "L3": f"{third} mV"}
    found = concluded(DROPS, "", shown, "3 x 1 mV")
    assert found.word is word
    assert found.expanded_uncertainty_si == pytest.approx(2e-3 * math.sqrt(2))
    assert (found.high_si, found.unit) == (pytest.approx(0.02), "mV")
    assert concluded(DROPS, "", shown).word is (
        Verdict.PASS if float(third) <= 60 else Verdict.FAIL
    )


def test_an_overload_of_volts_is_no_value():
    found = concluded(DROPS, "", {"L1": "30 mV", "L2": "30 mV", "L3": "OL"})
    assert (found.word, found.finding) == (Verdict.NO_READING, Reason.NOT_MEASURED)


def test_a_coarse_meter_cannot_decide_on_a_small_amount():
    """±30 mV each: U of the deviation 28.3 mV is wider than 20 mV."""
    found = concluded(DROPS, "", dict.fromkeys(POLES, "30 mV"), "3 x 10 mV")
    assert (found.word, found.finding) == (Verdict.UNDECIDABLE, Reason.METER_TOO_COARSE)


LEGS_AMPS = kind_of_part(
    AlikeRule(name="legs", of=POLES, most="10 %", failure="Bad.", **CONCLUDED),
    [measure(p, Quantity.CURRENT_AC, "A") for p in POLES],
)


def test_a_machine_that_is_off_has_nothing_to_compare():
    found = concluded(LEGS_AMPS, "", dict.fromkeys(POLES, "0.00 A"), "2 % + 5 counts")
    assert (found.word, found.finding) == (
        Verdict.UNDECIDABLE,
        ConclusionFinding.NOTHING_TO_COMPARE,
    )


def test_a_leg_without_current_is_bad():
    """Mean 6.67 A, the dead leg 100 % off."""
    found = concluded(
        LEGS_AMPS, "", {"L1": "10 A", "L2": "10 A", "L3": "0.00 A"}, "2 % + 5 x 0.01 A"
    )
    assert (found.word, found.value_si, found.names) == (Verdict.FAIL, pytest.approx(1), ("L3",))


# NEMA MG 1 cl. 12.45 and 14.36. The first is the guide's own example (printed 1.96; from memory); the
# others are worked examples that were read: printed 1.1; 0.84.

LINES = ("L1-L2", "L2-L3", "L1-L3")
SUPPLY = kind_of_part(
    UnbalanceRule(name="unbalance", of=LINES, most="1 %", failure="Bad.", **CONCLUDED),
    [measure(p, AC, "V") for p in LINES],
)


def supply(volts, line="", rule=Rule.GUARDED):
    shown = dict(zip(LINES, (f"{v} V" for v in volts), strict=True))
    return concluded(SUPPLY, "", shown, line, rule)


@pytest.mark.parametrize(
    ("volts", "percent", "word", "farthest"),
    [
        ((460, 467, 450), 1.9608, Verdict.FAIL, "L1-L3"),
        ((462, 463, 455), 1.0870, Verdict.FAIL, "L1-L3"),
        ((480, 476, 472), 0.8403, Verdict.PASS, "L1-L2"),
        ((230, 230, 230), 0.0, Verdict.PASS, "L1-L2"),
        ((396, 402, 402), 1.0, Verdict.PASS, "L1-L2"),  # on the limit: 4 V of 400 V
    ],
)
def test_unbalance_of_a_supply(volts, percent, word, farthest):
    found = supply(volts)
    assert found.value_si * 100 == pytest.approx(percent, abs=0.0005)
    assert (found.word, found.names, found.unit) == (word, (farthest,), "%")
    assert found.expanded_uncertainty_si is None


def test_the_uncertainty_of_the_unbalance():
    """460, 467, 450 V, each ±1 V: u = 1/√3 V; 450 is off by 9 V, U = 2·√(4 + 1 + 1)/3/√3 V of 459 V."""
    found = supply((460, 467, 450), "1 V")
    assert found.expanded_uncertainty_si == pytest.approx(2 * math.sqrt(2) / 3 / 459)
    assert found.word is Verdict.FAIL
    # ±(0.8 % + 3 V): U of the deviation is more than 1 % of the mean.
    coarse = supply((460, 467, 455), "0.8 % + 3 x 1 V")
    assert (coarse.word, coarse.finding) == (Verdict.UNDECIDABLE, Reason.METER_TOO_COARSE)


@pytest.mark.parametrize(
    ("volts", "word", "finding"),
    [
        ((0, 0, 0), Verdict.UNDECIDABLE, ConclusionFinding.NO_VOLTAGE),
        ((4600, 4670, 4500), Verdict.UNDECIDABLE, ConclusionFinding.OUT_OF_RANGE),
        ((460, 467, 0), Verdict.FAIL, Reason.ABOVE_ACCURACY_UNKNOWN),
    ],
)
def test_what_is_no_supply(volts, word, finding):
    found = supply(volts)
    assert (found.word, found.finding) == (word, finding)


def test_a_line_voltage_that_is_missing():
    found = concluded(SUPPLY, "", {"L1-L2": "460 V", "L2-L3": "467 V"})
    assert (found.word, found.finding) == (Verdict.NO_READING, Reason.NOT_MEASURED)


# The differential of a switch.


def switch(limits, unit="Δ°F", givens=()):
    return kind_of_part(
        DifferenceRule(
            name="differential", of="opens", less="closes", unit=unit, limits=limits,
            **CONCLUDED,
        ),
        [measure(p, Quantity.TEMPERATURE, "°F", typed=True) for p in ("opens", "closes")],
        givens,
    )  # fmt: skip


AROUND_30 = switch(Between(low="20 °F", high="40 °F"))


@pytest.mark.parametrize(
    ("opens", "word"),
    [("190 °F", Verdict.PASS), ("200 °F", Verdict.PASS), ("180 °F", Verdict.PASS), ("201 °F", Verdict.FAIL), ("179 °F", Verdict.FAIL), ("160 °F", Verdict.FAIL)],
)  # fmt: skip
def test_a_difference_of_temperatures_has_no_zero_point(opens, word):
    """190 °F less 160 °F are 30 °F, or 16.667 K, and not 30 °F on the scale."""
    found = concluded(AROUND_30, "", {"opens": opens, "closes": "160 °F"})
    assert found.word is word
    assert found.value_si == pytest.approx((float(opens[:3]) - 160) * 5 / 9, abs=1e-9)
    assert found.low_si == pytest.approx(20 * 5 / 9)
    assert found.unit == "Δ°F"


# Each ±1.8 °F = ±1 K: U = 2·√(2/3) K = 1.633 K = 2.939 °F.
@pytest.mark.parametrize(
    ("opens", "word"),
    [("197.0", Verdict.PASS), ("197.1", Verdict.CONDITIONAL_PASS), ("200.0", Verdict.CONDITIONAL_PASS), ("200.1", Verdict.CONDITIONAL_FAIL), ("202.9", Verdict.CONDITIONAL_FAIL), ("203.0", Verdict.FAIL)],
)  # fmt: skip
def test_a_difference_is_guarded_by_both_readings(opens, word):
    shown = {"opens": f"{opens} °F", "closes": "160.0 °F"}
    found = concluded(AROUND_30, "", shown, "1 °C")
    assert found.word is word
    assert found.expanded_uncertainty_si == pytest.approx(2 * math.sqrt(2 / 3))
    simply = concluded(AROUND_30, "", shown, "1 °C", Rule.SIMPLE)
    assert simply.word is (Verdict.PASS if float(opens) <= 200 else Verdict.FAIL)


def test_a_difference_of_one_reading_whose_digits_are_not_known_is_not_judged():
    rule = DifferenceRule(
        name="drop", of="far", less="near", unit="Ω", limits=Between(high="20 ohm"),
        **CONCLUDED,
    )  # fmt: skip
    kind = kind_of_part(rule, [measure(name, OHM, "Ω") for name in ("far", "near")])
    line = "resistance up to 10 ohm 0.5 % + 2 counts; resistance 1 %"
    found = concluded(kind, "", {"far": "21.0 ohm", "near": "5.0 ohm"}, line, digits=False)
    assert (found.word, found.finding) == (Verdict.UNDECIDABLE, Reason.COUNT_UNKNOWN)
    known = concluded(kind, "", {"far": "21.0 ohm", "near": "15.0 ohm"}, line, digits=False)
    assert known.word is Verdict.PASS


def test_a_differential_that_the_label_gives():
    width = NameplateField(name="differential", title="Differential", unit="Δ°F", range=True)
    asked = switch(RangeGiven(given="differential"), givens=[width])
    shown = {"opens": "190 °F", "closes": "160 °F"}
    assert concluded(asked, "differential 25-35 °F", shown).word is Verdict.PASS
    assert concluded(asked, "differential 10-29 °F", shown).word is Verdict.FAIL
    around = switch(OfGiven(given="differential", tolerance="5 °F"), givens=[width])
    assert concluded(around, "differential 35 °F", shown).word is Verdict.PASS
    assert concluded(around, "differential 36 °F", shown).word is Verdict.FAIL


def test_a_differential_that_the_label_leaves_out_is_no_pass():
    width = NameplateField(name="differential", title="D", unit="Δ°F", range=True, needed=False)
    asked = switch(RangeGiven(given="differential"), givens=[width])
    shown = {"opens": "190 °F", "closes": "160 °F"}
    found = concluded(asked, "", shown)
    assert (found.word, found.finding) == (Verdict.MEASURED, Reason.WITHOUT_LIMITS)
    found = concluded(asked, "differential 30 °F", shown)
    assert (found.word, found.finding) == (Verdict.UNDECIDABLE, ConclusionFinding.RANGE_NEEDED)


@pytest.mark.parametrize("missing", ["opens", "closes"])
def test_a_difference_takes_both(missing):
    shown = {"opens": "190 °F", "closes": "160 °F"} | {missing: ""}
    found = concluded(AROUND_30, "", shown)
    assert (found.word, found.finding) == (Verdict.NO_READING, Reason.NOT_MEASURED)


def test_every_kind_that_is_supplied_bears_missing_values_and_overloads(tmp_path):
    kinds, faults = all_part_kinds(Folders(tmp_path))
    assert not faults
    for kind in kinds:
        if kind.conclusions:
            assert concluded(kind, kind.example, {}).word is Verdict.NO_READING
            shown = dict.fromkeys((m.name for m in kind.measures), "OL")
            assert concluded(kind, kind.example, shown).word in (
                Verdict.NO_READING,
                Verdict.OPEN,
                Verdict.UNDECIDABLE,
            )
