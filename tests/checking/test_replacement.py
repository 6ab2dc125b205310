"""What may replace a capacitor.

The table of old and new parts is common practice in the trade, no standard known here.
"""

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmeter.checking.check import begin_check, typed
from benchmeter.checking.commands import BeginCheck
from benchmeter.checking.part_check import PartCheck
from benchmeter.checking.replacement import (
    Fit,
    FitReason,
    Rank,
    Ranked,
    Standing,
    StockItem,
    compare,
    judged,
    ranked,
    replacement_name,
    shape_on,
    to_be_replaced,
    verdict_of,
)
from benchmeter.conformity.verdict import Rule, Verdict
from benchmeter.files.folders import Folders
from benchmeter.parts.kind_catalogue import load_part_kind
from benchmeter.parts.nameplate.label import parse_label
from benchmeter.parts.part_kind import PartKind
from benchmeter.parts.rating import rate
from benchmeter.words.replacement_words import candidate_words, standing_words

OLD = "45/5 µF ±6 % 440 V"


def item(label: str, **more: object) -> StockItem:
    return replace(StockItem(1, parse_label(label), count=1), **more)


def found(old: str, new: str, old_shape: str = "", **more: object) -> tuple[Fit, set[FitReason]]:
    candidate = compare(parse_label(old), item(new, **more), old_shape)
    return candidate.fit, set(candidate.reasons)


@pytest.mark.parametrize(
    ("old", "new", "fit", "reasons"),
    [
        ("45 µF 6 % 370 V", "45 µF 6 % 440 V", Fit.FITS, set()),
        ("45 µF 6 % 440 V", "45 µF 6 % 370 V", Fit.DOES_NOT_FIT, {FitReason.LOWER_VOLTAGE}),
        ("45 µF 6 % 370 V", "40 µF 6 % 370 V", Fit.DOES_NOT_FIT, {FitReason.OTHER_CAPACITANCE}),
        ("45+5 µF 6 % 370 V", "45+5 µF 6 % 440 V", Fit.FITS, set()),
        ("45 µF 6 % 370 V", "45 µF 10 % 370 V", Fit.LOOK_FIRST, {FitReason.LOOSER_TOLERANCE}),
        ("45 µF 6 % 370 V", "45 µF 5 % 370 V", Fit.FITS, set()),
        ("45/5 µF 6 % 440 V", "5/45 µF 6 % 440 V", Fit.FITS, set()),  # the same part
        ("45/5 µF 6 % 440 V", "45/4 µF 6 % 440 V", Fit.DOES_NOT_FIT, {FitReason.OTHER_CAPACITANCE}),
        ("45/5 µF 6 % 440 V", "45 µF 6 % 440 V", Fit.DOES_NOT_FIT, {FitReason.OTHER_SECTIONS}),
        ("45 µF 6 % 440 V", "45 µF 6 % 440 V START", Fit.DOES_NOT_FIT, {FitReason.OTHER_KIND}),
        ("45 µF 6 % 370/440 V", "45 µF 6 % 370 V", Fit.DOES_NOT_FIT, {FitReason.LOWER_VOLTAGE}),
        ("45 µF 6 % 440 V", "45 µF 6 % 370/440 V", Fit.FITS, set()),
        ("45 µF ±6 % 440 V", "45 µF 0/+10 % 440 V", Fit.LOOK_FIRST, {FitReason.LOOSER_TOLERANCE}),
        ("45 µF ±6 % 440 V", "45000 nF ±6 % 440 V", Fit.FITS, set()),
        ("45 µF 6 %", "45 µF 6 % 440 V", Fit.LOOK_FIRST, {FitReason.OLD_VOLTAGE_UNKNOWN}),
        ("45 µF 6 % 440 V", "45 µF 6 %", Fit.LOOK_FIRST, {FitReason.NEW_VOLTAGE_UNKNOWN}),
        ("45 µF 6 % 440 V 60 Hz", "45 µF 6 % 440 V 50 Hz", Fit.LOOK_FIRST, {FitReason.OTHER_FREQUENCY}),
        ("45 µF 6 % 440 V 60 Hz", "45 µF 6 % 440 V 50/60 Hz", Fit.FITS, set()),
        ("88-108 µF 250 V", "88-108 µF 330 V", Fit.FITS, set()),
        ("88-108 µF 250 V", "90-105 µF 250 V", Fit.FITS, set()),
        ("88-108 µF 250 V", "85-110 µF 250 V", Fit.LOOK_FIRST, {FitReason.LOOSER_TOLERANCE}),
        ("88-108 µF 250 V", "108-130 µF 250 V", Fit.DOES_NOT_FIT, {FitReason.OTHER_CAPACITANCE}),
        ("88-108 µF 250 V", "95-115 µF 250 V", Fit.DOES_NOT_FIT, {FitReason.OTHER_CAPACITANCE}),
    ],
)  # fmt: skip
def test_the_rule(old: str, new: str, fit: Fit, reasons: set[FitReason]) -> None:
    assert found(old, new) == (fit, reasons)


def test_the_shape_is_a_warning_and_only_where_it_was_told() -> None:
    assert found(OLD, OLD, "oval", shape="OVAL ") == (Fit.FITS, set())
    assert found(OLD, OLD, "oval", shape="round") == (Fit.LOOK_FIRST, {FitReason.OTHER_SHAPE})
    assert found(OLD, OLD, "oval") == (Fit.LOOK_FIRST, {FitReason.SHAPE_UNKNOWN})
    assert found(OLD, OLD, "", shape="round") == (Fit.FITS, set())


def test_the_shape_may_stand_on_the_label() -> None:
    assert shape_on("45 µF 6 % 440 V Oval") == "oval"
    assert shape_on("45 µF 6 % 440 V") == ""
    assert shape_on("OVAL or ROUND") == ""


def test_none_left_is_told_and_comes_after_what_is_there() -> None:
    gone, there = item(OLD, line=2, count=0), item(OLD, line=3)
    other = item("40/5 µF 6 % 440 V", line=4)
    looked_at = item("45/5 µF 10 % 440 V", line=5)
    ordered = ranked(parse_label(OLD), Rule.GUARDED, [other, gone, there, looked_at], [])
    assert [(line.candidate.item.line, line.rank) for line in ordered] == [
        (3, Rank.MEASURE_FIRST),
        (5, Rank.LOOK_AND_MEASURE_FIRST),
        (2, Rank.NONE_LEFT),
        (4, Rank.DOES_NOT_FIT),
    ]
    assert ordered[2].candidate.reasons == (FitReason.NONE_LEFT,)
    assert "None is left." in candidate_words(ordered[2].candidate, parse_label(OLD))
    assert found(OLD, OLD, count=None) == (Fit.FITS, {FitReason.COUNT_UNKNOWN})


def checked(part: str, herm: str, *, label: str = OLD, rule: str = "guarded", fan: str = "5.00"):
    command = BeginCheck(time_ns=0, part=part, label=label, accuracy="1 % + 2 x 0.01 µF", rule=rule)
    check = typed(begin_check(1, command, Decimal(0)), 1, herm)
    return typed(check, 2, fan)


def standing(stock: StockItem, *checks: PartCheck, rule: Rule = Rule.GUARDED) -> Standing:
    return judged(stock, verdict_of(stock, checks), rule)


def test_a_new_part_is_measured_first() -> None:
    fits = compare(parse_label(OLD), item(OLD))
    assert standing(fits.item) is Standing.NOT_MEASURED
    assert not Ranked(fits, Standing.NOT_MEASURED).offered
    assert "measure it" in standing_words(Standing.NOT_MEASURED)


@pytest.mark.parametrize(
    ("herm", "expected"),
    [
        ("45.00", Standing.GOOD),
        # CALC: U = 2·(0.01·42.50 + 0.02)/√3 = 0.51; 42.50 is 0.20 above the limit of 42.30
        ("42.50", Standing.CLOSE),
        ("42.10", Standing.BAD),
        ("40.00", Standing.BAD),
        ("open", Standing.BAD),
        ("none", Standing.NOT_MEASURED),
    ],
)
def test_what_was_measured_of_it_counts(herm: str, expected: Standing) -> None:
    fits = compare(parse_label(OLD), item(OLD))
    found = standing(fits.item, checked("replacement 1", herm))
    assert found is expected
    good = expected in (Standing.GOOD, Standing.CLOSE)
    rank = Rank.GOOD if good else Rank.BAD if expected is Standing.BAD else Rank.MEASURE_FIRST
    assert (Ranked(fits, found).offered, Ranked(fits, found).rank) == (good, rank)


def test_the_last_verdict_counts() -> None:
    first, again = checked("replacement 1", "45.00"), checked("Replacement 2", "40.00")
    assert standing(item(OLD), first, again) is Standing.BAD
    assert standing(item(OLD), again, first) is Standing.GOOD


def test_the_old_part_proves_nothing_about_the_new_one() -> None:
    assert standing(item(OLD), checked("old part", "45.00")) is Standing.NOT_MEASURED


def test_another_shape_on_the_label_is_another_part() -> None:
    bad = checked("replacement 1", "40.00", label=f"{OLD} round")
    assert standing(item(OLD, shape="round"), bad) is Standing.BAD
    assert standing(item(OLD), bad) is Standing.BAD
    assert standing(item(OLD, shape="oval"), bad) is Standing.NOT_MEASURED


def test_a_marked_part_is_known_by_its_own_number_alone() -> None:
    marked = item(OLD, own_number="R 17")
    assert standing(marked, checked("replacement 1", "45.00")) is Standing.NOT_MEASURED
    assert standing(marked, checked("R 18", "45.00")) is Standing.NOT_MEASURED
    assert standing(marked, checked("r  17", "45.00")) is Standing.GOOD


def test_another_label_or_rule_proves_nothing() -> None:
    wider = "45/5 µF ±10 % 440 V"
    marked = item(OLD, own_number="R17")
    assert standing(marked, checked("R17", "48.00", label=wider)) is Standing.OTHER_LABEL
    assert (
        standing(item(OLD), checked("replacement", "48.00", label=wider)) is Standing.NOT_MEASURED
    )
    simple = checked("replacement 1", "42.40", rule="simple")
    assert simple.verdict is not None and simple.verdict.verdict is Verdict.PASS
    assert standing(item(OLD), simple) is Standing.OTHER_RULE
    assert standing(item(OLD), simple, rule=Rule.SIMPLE) is Standing.GOOD
    assert standing(item(OLD), checked("replacement", "40", rule="simple")) is Standing.BAD


def kind(name: str) -> PartKind:
    return load_part_kind(name, Folders(Path("no such folder")))


@pytest.mark.parametrize(
    ("name", "label", "kept"),
    [
        ("run-capacitor", OLD, OLD),
        ("run-capacitor-dual-under-load", f"{OLD} 60 Hz", OLD),
        ("start-capacitor", "88-108 µF 250 V", "88-108 µF 250 V"),
    ],
)
def test_a_part_is_known_by_its_label_whatever_kind_it_was_rated_by(name, label, kept) -> None:
    rated = rate(kind(name), label)
    assert compare(rated, item(kept)).reasons == ()
    assert compare(rated, item("35/5 µF 6 % 440 V")).fit is Fit.DOES_NOT_FIT


def test_a_coil_is_replaced_by_no_capacitor() -> None:
    rated = rate(kind("valve-coil"), kind("valve-coil").example)
    found = compare(rated, item(OLD))
    assert FitReason.OTHER_KIND in found.reasons
    assert "valve coil" in candidate_words(found, rated)


def test_a_check_by_a_kind_of_part_counts() -> None:
    command = BeginCheck(
        time_ns=0,
        part="replacement 1",
        label=OLD,
        kind=kind("run-capacitor"),
        accuracy="1 % + 2 x 0.01 µF",
    )
    check = typed(typed(begin_check(1, command, Decimal(0)), 1, "45.00"), 2, "5.00")
    assert standing(item(OLD), check) is Standing.GOOD


def test_a_good_part_that_does_not_fit_is_not_offered() -> None:
    lower = "45/5 µF ±6 % 370 V"
    other = compare(parse_label(OLD), item(lower))
    good = standing(other.item, checked("replacement 1", "45.00", label=lower))
    assert good is Standing.GOOD
    assert not Ranked(other, good).offered
    assert Ranked(other, good).rank is Rank.DOES_NOT_FIT


_LABELS = st.builds(
    "{} µF ±{} % {} V".format,
    st.sampled_from(["45", "45/5", "40/5", "35"]),
    st.sampled_from([5, 6, 10]),
    st.sampled_from([370, 440]),
)


@given(_LABELS, _LABELS)
def test_a_part_replaces_itself_and_refusal_has_a_reason(old: str, new: str) -> None:
    assert found(old, old) == (Fit.FITS, set())
    fit, reasons = found(old, new)
    assert (fit is Fit.FITS) == (not reasons)
    for reason in compare(parse_label(old), item(new)).reasons:
        assert reason in FitReason
    words = candidate_words(compare(parse_label(old), item(new)), parse_label(old))
    assert words.endswith(".")


@given(_LABELS, _LABELS)
def test_two_different_parts_replace_each_other_both_ways_only_if_alike(a: str, b: str) -> None:
    if found(a, b)[0] is Fit.FITS and found(b, a)[0] is Fit.FITS:
        assert parse_label(a).sections == parse_label(b).sections


def test_the_part_to_be_replaced_is_the_last_one_that_is_no_replacement() -> None:
    marked = item(OLD, own_number="K 7")
    old, new, own = (checked(name, "40.00") for name in ("old part", "Replacement 1", "k  7"))
    assert to_be_replaced([old, new, own], [marked]) is old
    assert to_be_replaced([new, own], [marked]) is None
    assert to_be_replaced([old, own], []) is own


def test_a_replacement_is_counted_on_unless_it_has_a_number_of_its_own() -> None:
    checks = [checked(name, "45.00") for name in ("old part", "replacement 1", "Replacement  2")]
    assert replacement_name(item(OLD), checks) == "replacement 3"
    assert replacement_name(item(OLD), []) == "replacement 1"
    assert replacement_name(item(OLD, own_number="K 7"), checks) == "K 7"
