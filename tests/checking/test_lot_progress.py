"""The rules of a carton are the program's own."""

from dataclasses import replace
from decimal import Decimal

import pytest

from benchmeter.checking.check import PartCheck, begin_check, typed
from benchmeter.checking.commands import BeginCheck
from benchmeter.checking.lot_progress import counted_on, lot_progress
from benchmeter.conformity.verdict import Verdict


def check(number: int, part: str, lot: str, reading: str = "") -> PartCheck:
    command = BeginCheck(time_ns=0, part=part, label="45 µF ±6 % 440 V", lot=lot)
    begun = begin_check(number, command, Decimal(0))
    return typed(begun, 1, reading) if reading else begun


@pytest.mark.parametrize(
    ("number", "following"),
    [
        ("1", "2"),
        ("9", "10"),
        ("A-009", "A-010"),
        ("A-999", "A-1000"),
        ("1" + "9" * 18, "2" + "0" * 18),
        ("9" * 25, "1" + "0" * 25),
        ("7-B", "7-B 2"),
        ("", "2"),
        ("shelf 3 no 12", "shelf 3 no 13"),
    ],
)
def test_own_numbers_are_counted_on(number: str, following: str) -> None:
    assert counted_on(number) == following


def test_a_long_code_keeps_its_length() -> None:
    code = "4" * 400
    assert len(counted_on(code)) == 400


def test_parts_stand_in_the_order_in_which_they_were_first_begun() -> None:
    checks = [check(1, "1", "box"), check(2, "2", "box"), check(3, "1", "box", "45 uF")]
    assert [c.part for c in lot_progress(checks, "box").checks] == ["1", "2"]


def test_a_part_that_was_tested_again_counts_once_with_its_last_verdict() -> None:
    checks = [check(1, "1", "box", "40 uF"), check(2, "1", "box", "45 uF")]
    progress = lot_progress(checks, "box")
    assert progress.words == {Verdict.PASS: 1}
    assert progress.checks[0].number == 2


def test_parts_of_another_carton_do_not_count() -> None:
    checks = [check(1, "1", "box", "45 uF"), check(2, "2", "other", "45 uF"), check(3, "3", "")]
    assert [c.part for c in lot_progress(checks, "box").checks] == ["1"]


def test_a_part_without_verdict_is_counted_to_no_word() -> None:
    progress = lot_progress([check(1, "1", "box")], "box")
    assert not progress.words
    assert progress.next_part == "2"


def test_the_part_before_is_found() -> None:
    progress = lot_progress([check(1, "1", "box"), check(2, "2", "box")], "box")
    first, second = progress.checks
    assert progress.before("2") == first
    assert progress.before("1") is None
    assert progress.before("not begun") == second
    assert lot_progress([], "box").before("1") is None


def test_checks_are_told_apart_by_number_not_by_equality() -> None:
    one = check(1, "1", "box")
    progress = lot_progress([one, replace(one, number=2)], "box")
    assert [c.number for c in progress.checks] == [2]


def test_counting_on_a_long_code_takes_no_longer_than_reading_it() -> None:
    assert counted_on("1" * 100_000 + "a").endswith("a 2")
