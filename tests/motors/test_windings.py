"""Windings of motors: the sum of the pairs, the terminals, and what an open or short one says.

(C-S) + (C-R) = (S-R), S-R largest, C-R smallest; the terminal finder: common practice, no source.
C-S 2.6, C-R 0.8, S-R 3.4 Ω: an example of the trade. U of a residual: k·sqrt(sum of a²/3),
JCGM 100 cl. 4.3.7 and 5.1.2.
"""

import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmeter.conformity.accuracy import parse_accuracy
from benchmeter.conformity.verdict import Verdict
from benchmeter.errors import InputError
from benchmeter.motors.winding_balance import judge_balance
from benchmeter.motors.winding_pairs import PairReading, parse_pairs
from benchmeter.motors.windings import WindingFinding, WindingsVerdict, judge_windings
from benchmeter.words.motors import balance_why, windings_why
from tests.fakes.refusals import advised

METER = parse_accuracy("0.8 % + 2 x 0.1 Ω", "resistance")
FINE = parse_accuracy("0.1 % + 2 x 0.001 Ω", "resistance")


def judge(text: str, accuracy=METER, leads: str | None = "0") -> WindingsVerdict:
    offset = None if leads is None else Decimal(leads)
    found = judge_windings(parse_pairs(text.split()), accuracy, offset)
    assert windings_why(found).endswith(".")
    return found


def test_the_example_of_the_trade_adds_up():
    found = judge("C-S=2.6ohm C-R=0.8ohm S-R=3.4ohm")
    assert (found.verdict, found.finding) == (Verdict.PASS, WindingFinding.CONSISTENT)
    assert found.residual_ohm == 0
    # a = 0.2208, 0.2064 and 0.2272 Ω
    assert found.expanded_uncertainty_ohm == pytest.approx(
        2 * math.sqrt((0.2208**2 + 0.2064**2 + 0.2272**2) / 3), rel=1e-9
    )


# The same, U = 0.44 Ω.
@pytest.mark.parametrize(
    ("across", "word", "finding"),
    [
        ("3.0", Verdict.PASS, WindingFinding.CONSISTENT),
        ("3.8", Verdict.PASS, WindingFinding.CONSISTENT),
        ("3.9", Verdict.FAIL, WindingFinding.SUM_TOO_SMALL),
        ("6.0", Verdict.FAIL, WindingFinding.SUM_TOO_SMALL),
        ("2.9", Verdict.FAIL, WindingFinding.SUM_TOO_LARGE),
        ("2.3", Verdict.FAIL, WindingFinding.SUM_TOO_LARGE),
    ],
)
def test_a_residual_beyond_its_uncertainty_is_a_fault(across, word, finding):
    found = judge(f"C-S=2.6ohm C-R=0.8ohm S-R={across}ohm")
    assert (found.verdict, found.finding) == (word, finding)
    assert found.residual_ohm == pytest.approx(3.4 - float(across))


def test_leads_that_were_not_subtracted_are_no_fault_of_the_motor():
    """Two pairs carry the leads twice, S-R once: 0.3 Ω of leads leave 0.3 Ω (computed)."""
    text = "C-S=2.900ohm C-R=1.100ohm S-R=3.700ohm"
    unknown = judge(text, FINE, None)
    assert unknown.finding is WindingFinding.LEADS_NOT_SUBTRACTED
    assert unknown.verdict is Verdict.UNDECIDABLE
    assert judge(text, FINE, "0.300").verdict is Verdict.PASS
    assert judge(text, FINE, "0").verdict is Verdict.FAIL
    assert judge("C-S=2.600ohm C-R=0.800ohm S-R=2.700ohm", FINE, None).verdict is Verdict.FAIL
    assert judge("C-S=2.600ohm C-R=0.800ohm S-R=3.700ohm", FINE, None).verdict is Verdict.FAIL


@pytest.mark.parametrize("leads", ["-0.1", "2.1", "100"])
def test_leads_that_are_none_are_refused(leads):
    with pytest.raises(InputError):
        judge("C-S=2.6ohm C-R=0.8ohm S-R=3.4ohm", METER, leads)


def test_leads_that_read_more_than_a_winding_are_a_mistake_not_a_short():
    with pytest.raises(InputError):
        judge("C-S=2.6ohm C-R=0.8ohm S-R=3.4ohm", METER, "1.8")


# Without the accuracy: good is good to the last digit, bad what is bad for ±(2 % + 5 counts).
@pytest.mark.parametrize(
    ("across", "word", "finding"),
    [
        ("3.4", Verdict.PASS, WindingFinding.CONSISTENT_ROUNDING),
        ("3.5", Verdict.PASS, WindingFinding.CONSISTENT_ROUNDING),  # three roundings of 0.05
        ("3.7", Verdict.UNDECIDABLE, WindingFinding.ACCURACY_NEEDED),
        ("5.0", Verdict.FAIL, WindingFinding.SUM_TOO_SMALL),
        ("5", Verdict.FAIL, WindingFinding.SUM_TOO_SMALL),
    ],
)
def test_an_unknown_meter_decides_what_any_meter_would(across, word, finding):
    found = judge(f"C-S=2.6ohm C-R=0.8ohm S-R={across}ohm", None)
    assert (found.verdict, found.finding) == (word, finding)
    assert found.expanded_uncertainty_ohm is None


def test_a_sum_far_too_large_is_bad_with_any_meter():
    """34 Ω against 30 Ω; U = 1.9 Ω for ±(2 % + 5 x 0.1 Ω) (computed)."""
    found = judge("C-S=26.0ohm C-R=8.0ohm S-R=30.0ohm", None)
    assert (found.verdict, found.finding) == (Verdict.FAIL, WindingFinding.SUM_TOO_LARGE)


def test_readings_that_fit_other_names_are_no_fault_of_the_motor():
    """2.6 = 0.8 + 1.6 Ω within U, if S and R are at other terminals."""
    found = judge("C-S=2.6ohm C-R=0.8ohm S-R=1.6ohm")
    assert (found.verdict, found.finding) == (Verdict.UNDECIDABLE, WindingFinding.NAMES_DOUBTFUL)


def test_a_meter_that_cannot_see_the_winding_cannot_decide():
    found = judge("C-S=2.6ohm C-R=0.3ohm S-R=2.9ohm")
    assert (found.verdict, found.finding) == (Verdict.UNDECIDABLE, WindingFinding.METER_TOO_COARSE)
    assert judge("C-S=2.600ohm C-R=0.300ohm S-R=2.900ohm", FINE).verdict is Verdict.PASS


def test_counts_without_worth_cannot_be_used():
    counts = parse_accuracy("0.8 % + 2 counts", "resistance")
    pairs = {
        p: PairReading(r.ohm)
        for p, r in parse_pairs(["C-S=2.6ohm", "C-R=0.8ohm", "S-R=3.4ohm"]).items()
    }
    assert judge_windings(pairs, counts).finding is WindingFinding.COUNT_UNKNOWN
    assert judge_windings(pairs).finding is WindingFinding.ACCURACY_NEEDED
    assert judge("C-S=2.6ohm C-R=0.8ohm S-R=3.4ohm", counts).verdict is Verdict.PASS


@pytest.mark.parametrize(
    ("text", "terminals"),
    [
        ("A-B=3.4ohm A-C=2.6ohm B-C=0.8ohm", {"C": "C", "S": "A", "R": "B"}),
        ("1-2=0.8ohm 2-3=3.4ohm 1-3=2.6ohm", {"C": "1", "S": "3", "R": "2"}),
        ("t1-t2=2.6ohm t2-t3=0.8ohm t3-t1=3.4ohm", {"C": "T2", "S": "T1", "R": "T3"}),
    ],
)
@pytest.mark.parametrize("accuracy", [METER, None])
def test_the_terminal_finder(text, terminals, accuracy):
    found = judge(text, accuracy)
    assert found.terminals == terminals
    assert found.verdict is Verdict.PASS


@pytest.mark.parametrize(
    "text",
    ["A-B=2.0ohm A-C=2.0ohm B-C=2.0ohm", "A-B=2.0ohm A-C=2.1ohm B-C=2.0ohm", "C-S=2.0ohm C-R=2.1ohm S-R=2.0ohm"],
)  # fmt: skip
@pytest.mark.parametrize("accuracy", [METER, None])
def test_three_equal_pairs_are_no_bad_single_phase_motor(text, accuracy):
    found = judge(text, accuracy)
    assert found.verdict is Verdict.UNDECIDABLE
    if accuracy is METER or "2.1" not in text:
        assert found.finding is WindingFinding.ALIKE


def test_terminals_closer_than_the_meter_can_tell_are_not_named():
    assert judge("A-B=3.8ohm A-C=1.9ohm B-C=1.8ohm").terminals is None
    assert judge("A-B=3.700ohm A-C=1.900ohm B-C=1.800ohm", FINE).terminals == {
        "C": "C",
        "S": "A",
        "R": "B",
    }


@pytest.mark.parametrize(
    "text",
    [
        "C-S=0.8ohm C-R=2.6ohm S-R=3.4ohm",  # S and R exchanged
        "C-S=3.4ohm C-R=2.6ohm S-R=0.8ohm",
        "C-S=3.4ohm C-R=0.8ohm S-R=2.6ohm",
    ],
)
@pytest.mark.parametrize("accuracy", [METER, None])
def test_exchanged_names_are_no_fault_of_the_motor(text, accuracy):
    found = judge(text, accuracy)
    assert (found.verdict, found.finding) == (Verdict.UNDECIDABLE, WindingFinding.NAMES_DOUBTFUL)
    assert found.terminals is None


@pytest.mark.parametrize(
    ("text", "word", "finding"),
    [
        ("C-S=OL C-R=OL S-R=3.4ohm", Verdict.OPEN, WindingFinding.OPEN_AT_C),
        ("C-S=OL C-R=0.8ohm S-R=OL", Verdict.OPEN, WindingFinding.OPEN_START),
        ("C-S=2.6ohm C-R=open S-R=0.L", Verdict.OPEN, WindingFinding.OPEN_RUN),
        ("C-S=OL C-R=OL S-R=OL", Verdict.OPEN, WindingFinding.OPEN_ALL),
        ("A-B=OL A-C=OL B-C=3.4ohm", Verdict.OPEN, WindingFinding.OPEN_TERMINAL),
        ("C-S=OL C-R=0.8ohm S-R=3.4ohm", Verdict.UNDECIDABLE, WindingFinding.CONTRADICTORY),
    ],
)
def test_open_pairs(text, word, finding):
    for accuracy in (METER, None):
        found = judge(text, accuracy)
        assert (found.verdict, found.finding) == (word, finding)
        assert found.residual_ohm is None


def test_a_protector_that_has_opened_is_named_before_the_compressor_is_condemned():
    assert "cool" in windings_why(judge("C-S=OL C-R=OL S-R=3.4ohm"))


@pytest.mark.parametrize("accuracy", [METER, None, FINE])
def test_a_pair_that_reads_nothing_is_shorted(accuracy):
    found = judge("C-S=2.6ohm C-R=0.0ohm S-R=2.6ohm", accuracy)
    assert (found.verdict, found.finding) == (Verdict.SHORTED, WindingFinding.SHORTED)


def test_a_small_winding_is_not_called_shorted_by_a_coarse_meter():
    """0.3 Ω is a winding of a large compressor (common practice, no source)."""
    coarse = parse_accuracy("1 % + 5 x 0.1 Ω", "resistance")
    assert judge("C-S=2.6ohm C-R=0.1ohm S-R=2.7ohm", coarse).verdict is Verdict.UNDECIDABLE
    assert judge("C-S=2.6ohm C-R=0.1ohm S-R=2.7ohm", None).verdict is Verdict.UNDECIDABLE


@pytest.mark.parametrize(
    "text",
    [
        "", "C-S=2.6ohm C-R=0.8ohm", "C-S=2.6ohm C-R=0.8ohm S-R=3.4ohm S-R=3.4ohm", "C-S=2.6ohm S-C=2.6ohm S-R=3.4ohm",
        "C-S=2.6ohm C-R=0.8ohm S-X=3.4ohm", "C-C=2.6ohm C-R=0.8ohm S-R=3.4ohm", "C-S=2.6 C-R=0.8ohm S-R=3.4ohm",
        "C-S=-2.6ohm C-R=0.8ohm S-R=3.4ohm", "C-S=2.6V C-R=0.8ohm S-R=3.4ohm", "C-S C-R S-R", "CS=2.6ohm CR=1ohm SR=3ohm",
        "C-S=two C-R=0.8ohm S-R=3.4ohm", "C-S=5Mohm C-R=0.8ohm S-R=3.4ohm", "C-S-R=2.6ohm C-R=0.8ohm S-R=3.4ohm",
        "C-S=1e99ohm C-R=0.8ohm S-R=3.4ohm",
    ],
)  # fmt: skip
def test_what_is_no_three_pairs_is_refused(text):
    with pytest.raises(InputError) as caught:
        parse_pairs(text.split())
    assert advised(caught.value)


@given(st.lists(st.one_of(st.text(max_size=20), st.from_regex(r"[A-D]-[A-D]=[0-9.,]{1,4}(ohm|Ω|k|)", fullmatch=True)), max_size=4))  # fmt: skip
def test_any_texts_are_pairs_or_an_input_error(texts):
    try:
        found = parse_pairs(texts)
    except InputError:
        return
    assert len(found) == 3
    try:
        judge_windings(found, METER)
        judge_windings(found)
    except InputError:
        raise AssertionError("readings without leads are always judged") from None


VALUES = st.decimals(0, 30, places=1)


@given(VALUES, VALUES, VALUES, st.permutations(["C", "S", "R"]))
def test_the_same_readings_are_judged_alike_in_any_order(cs, cr, sr, order):
    pairs = [f"C-S={cs}ohm", f"R-C={cr}ohm", f"S-R={sr}ohm"]
    places = ["C", "S", "R"]
    shuffled = [pairs[places.index(p)] for p in order]
    assert judge(" ".join(pairs)) == judge(" ".join(shuffled))


@given(st.decimals("0.5", 10, places=2), st.decimals("0.5", 10, places=2))
def test_windings_that_add_up_never_fail(start, run):
    for accuracy in (METER, FINE, None):
        found = judge(f"A-B={start + run}ohm A-C={start}ohm B-C={run}ohm", accuracy)
        assert found.verdict in (Verdict.PASS, Verdict.UNDECIDABLE)


# Greatest deviation from the mean over the mean, as for voltages (NEMA MG 1); limit 5 %, common
# practice, no source. 2.6, 2.7, 2.6: 2.5316 %; 2.0, 2.4, 2.0: 12.5 % (computed).
@pytest.mark.parametrize(
    ("text", "line", "percent", "word"),
    [
        ("1-2=2.6ohm 1-3=2.7ohm 2-3=2.6ohm", "0.8 % + 2 x 0.01 Ω", 2.5316, Verdict.PASS),
        (
            "1-2=2.60ohm 1-3=2.81ohm 2-3=2.60ohm",
            "0.8 % + 2 x 0.01 Ω",
            5.2434,
            Verdict.CONDITIONAL_FAIL,
        ),
        (
            "1-2=2.60ohm 1-3=2.75ohm 2-3=2.60ohm",
            "0.8 % + 2 x 0.01 Ω",
            3.7736,
            Verdict.CONDITIONAL_PASS,
        ),
        ("1-2=2.0ohm 1-3=2.4ohm 2-3=2.0ohm", "0.8 % + 2 x 0.01 Ω", 12.5, Verdict.FAIL),
        ("1-2=2.6ohm 1-3=2.7ohm 2-3=2.6ohm", "0.8 % + 2 x 0.1 Ω", 2.5316, Verdict.UNDECIDABLE),
    ],
)
def test_the_balance_of_a_three_phase_motor(text, line, percent, word):
    found = judge_balance(parse_pairs(text.split()), parse_accuracy(line, "resistance"))
    assert found.unbalance_percent == pytest.approx(percent, abs=0.001)
    assert found.verdict is word
    assert balance_why(found, 5).endswith(".")


def test_open_and_shorted_pairs_of_a_three_phase_motor():
    for text, word in (("OL", Verdict.OPEN), ("0.0ohm", Verdict.SHORTED)):
        found = judge_balance(parse_pairs(["1-2=2.6ohm", "1-3=2.6ohm", f"2-3={text}"]))
        assert found.verdict is word
        assert balance_why(found, 5).endswith(".")


def test_balance_without_accuracy_is_simple_and_counts_need_a_worth():
    pairs = parse_pairs(["1-2=2.6ohm", "1-3=2.7ohm", "2-3=2.6ohm"])
    assert judge_balance(pairs).verdict is Verdict.PASS
    assert judge_balance(pairs, limit_percent=2.0).verdict is Verdict.FAIL
    bare = {p: PairReading(r.ohm) for p, r in pairs.items()}
    counts = parse_accuracy("1 % + 2 counts", "resistance")
    assert judge_balance(bare, counts).verdict is Verdict.UNDECIDABLE
