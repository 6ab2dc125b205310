"""What stands on a tag."""

from dataclasses import replace
from decimal import Decimal

from benchmeter.checking.check import begin_check, left, typed
from benchmeter.checking.commands import BeginCheck
from benchmeter.conformity.verdict import Rule, Verdict
from benchmeter.errors import InputError
from benchmeter.readings.events import Event, EventKind
from benchmeter.reports.tag import tags_of
from tests.fakes.bench_states import FAN_BAD, FAN_OPEN, SECOND, half_check, judged_check
from tests.fakes.refusals import refused
from tests.fakes.tagged import SESSION, eight_checks, record_of


def test_each_judged_part_has_a_tag_in_the_order_of_the_checks():
    tags = tags_of(record_of(reversed(eight_checks())))
    assert [t.number for t in tags] == [1, 2, 3, 4, 5, 6, 7, 8]
    words = set(Verdict) - {Verdict.MEASURED}
    assert {t.verdict for t in tags} == words
    assert {t.word.lower() for t in tags} == {w.value for w in words}


def test_the_last_verdict_of_a_check_counts():
    before, after = judged_check(FAN_BAD), judged_check(FAN_OPEN)
    (tag,) = tags_of(record_of((before, after)))
    assert tag.verdict is Verdict.OPEN


def test_a_tag_tells_part_label_readings_limits_meter_and_date():
    """40 µF ±5 %: 38 to 42; 6 µF ±5 %: 5.7 to 6.3 (arithmetic).

    4.86 µF at 1.2 % + 2 × 0.01 µF: a = 0.07832, U = 2a/√3 = 0.090 (JCGM 100 cl. 4.3.7, k = 2).
    Taken 20 s after 20:32 UTC, which is 14:32 in Chicago in winter (UTC − 6 h).
    """
    (tag,) = tags_of(record_of([judged_check(FAN_BAD, 4, "old\n part")]))
    assert (tag.part, tag.label) == ("old part", "40/6 µF ±5 % 440 V")
    fan = tag.rows[1]
    assert (fan.name, fan.verdict, fan.limits) == ("FAN", Verdict.FAIL, "5.7 to 6.3 µF")
    assert fan.reading.replace(" ", "") == "4.860±0.090µF"
    assert tag.rows[0].limits == "38 to 42 µF"
    assert tag.when == "2026-11-25 14:32"
    assert (tag.meter, tag.accuracy) == ("Bench meter", "1.2 % + 2 x 0.01 uF")
    assert tag.code == f"urn:uuid:{SESSION}#check-4"
    assert SESSION.endswith(tag.record.removeprefix("record "))


def test_what_has_no_reading_says_the_verdict_instead():
    (tag,) = tags_of(record_of([judged_check(FAN_OPEN)]))
    assert tag.rows[1].reading == "open"


def test_a_tolerance_that_is_not_on_the_label_is_told_apart():
    check = judged_check(FAN_BAD)
    rating = replace(check.rating, text="40/6 µF", tolerance_from="user")
    assert check.verdict is not None
    check = replace(check, verdict=replace(check.verdict, rating=rating))
    (tag,) = tags_of(record_of([check]))
    assert tag.label == "40/6 µF, ±5 % (not on the label)"


def typed_at(*seconds: int) -> tuple[Event, ...]:
    return tuple(Event(EventKind.TYPED, s * SECOND, "capacitor", "44.1 uF") for s in seconds)


def test_a_reading_that_was_typed_in_is_not_said_to_be_the_meters():
    """HERM was taken at 12 s, FAN at 20 s."""
    check = judged_check(FAN_BAD)
    (both,) = tags_of(record_of([check], events=typed_at(12, 20)))
    assert (both.meter, both.meter_short) == ("typed in by hand", ())
    (one,) = tags_of(record_of([check], events=typed_at(20)))
    assert one.meter == "Bench meter and by hand"
    assert one.meter_short == ("meter in record and by hand",)
    (none,) = tags_of(record_of([check], events=typed_at(8)))
    assert none.meter == "Bench meter"


def test_a_simulated_part_says_so():
    (tag,) = tags_of(record_of([judged_check(FAN_BAD)], origin="simulated"))
    assert tag.meter == "simulated: Bench meter"


def test_an_unknown_accuracy_and_the_simple_rule_are_told():
    check = replace(judged_check(FAN_BAD), accuracy=None, rule=Rule.SIMPLE)
    (tag,) = tags_of(record_of([check]))
    assert tag.accuracy == "accuracy not known, simple rule"


def test_one_check_alone_can_be_had():
    assert [t.number for t in tags_of(record_of(eight_checks()), check=3)] == [3]


def test_without_a_judged_part_one_sentence_says_so():
    for checks in ([], [half_check()]):
        with refused(InputError, match="No part was judged"):
            tags_of(record_of(checks))


def test_a_check_without_verdict_names_those_that_have_one():
    with refused(InputError, match=r"Check 2 .* There is one on: 1\."):
        tags_of(record_of([judged_check(FAN_BAD), half_check(2)]), check=2)


def test_a_part_that_was_left_with_a_bad_section_has_a_tag():
    begun = BeginCheck(time_ns=0, part="old", label="40/6 µF ±5 % 440 V")
    check = left(typed(begin_check(1, begun, Decimal(0)), 0, "31 µF"))
    (tag,) = tags_of(record_of([check]))
    assert (tag.verdict, [row.reading for row in tag.rows]) == (
        Verdict.FAIL, ["31 µF", "no reading"],
    )  # fmt: skip
