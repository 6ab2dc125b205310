"""A lot is judged as its parts are; the oracle is the verdict on one section."""

from decimal import Decimal

import numpy as np
from hypothesis import example, given, settings
from hypothesis import strategies as st

from benchmeter.conformity.judgement import judge_measurement
from benchmeter.conformity.verdict import Accuracy, Measurement, Rule, Verdict
from benchmeter.statistics.lot import WORDS, judge_lot, words_of

D = Decimal
COUNTS = st.integers(-20, 20_000)


@st.composite
def sections(draw: st.DrawFn) -> Measurement:
    """45 µF ±6 % and other ratings; sometimes a range alone, sometimes a band of no width."""
    rated = D(draw(st.integers(1, 1000))).scaleb(draw(st.integers(-8, -6)))
    down, up = (D(draw(st.integers(0, 20))) / 100 for _ in range(2))
    known = draw(st.booleans())
    return Measurement("single", rated if known else None, rated * (1 - down), rated * (1 + up))


@st.composite
def lines(draw: st.DrawFn) -> Accuracy | None:
    if draw(st.booleans()) and draw(st.booleans()):
        return None
    percent, counts = (D(draw(st.integers(0, 60))) / 10 for _ in range(2))
    count_si = draw(st.sampled_from((None, D("1e-8"), D("1e-7"), D(0))))
    return Accuracy(percent, counts, count_si, "")


@settings(deadline=None, max_examples=300)
@given(
    sections(),
    st.lists(COUNTS, max_size=30),
    st.sampled_from((D("1e-8"), D("1e-7"), D("1e-9"), D("5e-8"), D("1e-24"))),
    lines(),
    st.sampled_from(Rule),
    st.sampled_from((D(0), D("2e-8"), D("3.3e-10"), D("-1e-8"))),
)
@example(
    Measurement("single", D("5e-6"), D("4.7e-6"), D("5.3e-6")),
    [470, 469, 530, 531, 5, 6, -5, -6, 0, 500],  # on the limits and beside them
    D("1e-8"),
    Accuracy(D(0), D(0), None, ""),
    Rule.GUARDED,
    D(0),
)
def test_each_part_of_a_lot_gets_the_word_that_it_gets_alone(
    section: Measurement,
    counts: list[int],
    resolution_si: Decimal,
    accuracy: Accuracy | None,
    rule: Rule,
    lead_offset_si: Decimal,
) -> None:
    # And the counts just beside every border of a zone that lies near a limit.
    near = [int(limit / resolution_si) for limit in (section.low_si, section.high_si)]
    counts = counts + [n + d for n in near if n < 10**15 for d in (-1, 0, 1)]
    found = judge_lot(
        section,
        np.array(counts, np.int64),
        resolution_si=resolution_si,
        accuracy=accuracy,
        rule=rule,
        lead_offset_si=lead_offset_si,
    )
    alone = [
        judge_measurement(
            section,
            [count * resolution_si],
            resolution_si=resolution_si,
            accuracy=accuracy,
            rule=rule,
            lead_offset_si=lead_offset_si,
        ).verdict
        for count in counts
    ]
    assert list(words_of(found)) == alone


def test_every_reading_of_a_meter_gets_the_word_that_it_gets_alone() -> None:
    """All 60.00 µF of a 6000-count meter: no border of a zone is left out."""
    section = Measurement("HERM", D("45e-6"), D("42.3e-6"), D("47.7e-6"))
    accuracy = Accuracy(D("1.2"), D(2), None, "1.2 % + 2")
    counts = np.arange(-60, 6000)
    for rule in Rule:
        given_ = {"resolution_si": D("1e-8"), "accuracy": accuracy, "rule": rule}
        found = judge_lot(section, counts, **given_)
        alone = [judge_measurement(section, [int(c) * D("1e-8")], **given_).verdict for c in counts]
        assert [WORDS[code] for code in found] == alone
    assert {Verdict.PASS, Verdict.FAIL, Verdict.OPEN, Verdict.NO_READING} <= set(alone)


def test_an_empty_lot_has_no_verdicts() -> None:
    section = Measurement("single", D("5e-6"), D("4.7e-6"), D("5.3e-6"))
    nothing = np.array([], np.int64)
    found = judge_lot(section, nothing, resolution_si=D("1e-8"), accuracy=None, rule=Rule.SIMPLE)
    assert len(found) == 0
