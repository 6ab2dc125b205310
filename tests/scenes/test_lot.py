"""All parts of a carton together, without a window."""

from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest

from benchmeter.checking.part_check import PartCheck
from benchmeter.conformity.verdict import MeasurementVerdict, Reason, Verdict
from benchmeter.scenes.carton import carton_scene, parts_together
from benchmeter.scenes.lot_scene import LotReadings, LotScene, lot_scene, readings_of_checks
from benchmeter.scenes.session_view import Activity, SessionView
from benchmeter.statistics.lot import WORDS, MeasurementReadings
from benchmeter.words.presentation import PLAIN, Presentation
from tests.fakes import bench_states as made
from tests.fakes import meter_states as meter


def carton(*findings: MeasurementVerdict) -> list[PartCheck]:
    return [made.judged_check(f, n, f"B-{n}") for n, f in enumerate(findings, 1)]


def shown(*findings: MeasurementVerdict) -> LotScene:
    return lot_scene(readings_of_checks(carton(*findings)), PLAIN)


def test_an_empty_carton_teaches_what_to_do() -> None:
    empty = lot_scene(readings_of_checks([]), PLAIN)
    assert empty.answer == "No carton yet" and empty.counts == ()
    assert empty.next_step.startswith("Name the carton")


def test_a_carton_is_counted_and_its_bad_parts_are_named() -> None:
    scene = shown(made.FAN_GOOD, made.FAN_BAD, made.FAN_CLOSE, made.FAN_OPEN, made.FAN_UNREAD)
    assert scene.answer == "2 of 5 good, 2 bad, 1 not decided" and scene.bad
    assert scene.counts[0] == (Verdict.OPEN, 1) and len(scene.counts) == 5
    assert scene.next_step.startswith("Set aside: B-2, B-4.") and "B-5" in scene.next_step


def test_a_good_carton_leaves_nothing_to_set_aside() -> None:
    scene = shown(made.FAN_GOOD, made.FAN_CLOSE)
    assert (scene.answer, scene.next_step) == ("2 of 2 good", "Nothing to set aside.")
    assert not scene.bad and scene.title == made.RATING.text


def test_a_part_that_is_not_finished_is_told_and_not_counted() -> None:
    checks = [*carton(made.FAN_GOOD), made.half_check(2)]
    scene = lot_scene(readings_of_checks(checks, "Carton 7"), PLAIN)
    assert (scene.answer, scene.title) == ("1 of 1 good", "Carton 7; 1 not finished")


def test_more_parts_than_can_be_named_are_counted() -> None:
    assert shown(*[made.FAN_BAD] * 13).next_step.endswith("B-10 and 3 more.")
    assert "more" not in shown(*[made.FAN_BAD] * 10).next_step


def test_few_parts_are_too_few_to_say_more() -> None:
    facts = shown(*[made.FAN_GOOD] * 5).sections[1].facts
    assert "too small to say anything else: 8 readings are needed" in facts


def test_parts_of_two_labels_have_sections_of_their_own() -> None:
    other = replace(made.FAN, rated_si=Decimal("5e-6"), low_si=Decimal("4.7e-6"))
    odd = made.judged_check(made.finding(other, "5.00", Verdict.PASS, Reason.INSIDE), 3)
    lot = readings_of_checks([*carton(made.FAN_GOOD, made.FAN_GOOD), odd])
    assert lot is not None and [len(s.values_si) for s in lot.sections] == [3, 2, 1]
    assert len(lot_scene(lot, PLAIN).sections) == 3


def test_ten_thousand_parts_stand_in_words_as_in_the_command() -> None:
    values = np.round(np.random.default_rng(2).normal(40, 0.5, 10_000), 2) * 1e-6
    codes = np.full(10_000, WORDS.index(Verdict.PASS), np.uint8)
    section = MeasurementReadings(made.HERM, values, codes, Decimal("1e-8"))
    scene = lot_scene(LotReadings("a carton", (section,), codes), PLAIN)
    assert scene.answer == "10000 of 10000 good"
    for words in ("outside the limits: ", "mean ", "from rated ", "Cp ", "no trend seen"):
        assert words in scene.sections[0].facts


def test_the_persons_decimal_sign_is_used_and_the_minus_is_one() -> None:
    values = np.array([38.5e-6 + i * 1e-8 for i in range(30)])
    section = MeasurementReadings(made.HERM, values, np.zeros(30, np.uint8), None)
    lot = LotReadings("a carton", (section,), section.codes)
    facts = lot_scene(lot, Presentation(decimal_sign=",")).sections[0].facts
    assert "from rated \u22121,3" in facts  # 38.5 + 0.145 - 40
    assert "." not in facts


# --- the carton on the bench -------------------------------------------------------------------


def box(*words: MeasurementVerdict | None, activity: Activity = Activity.LIVE) -> SessionView:
    """A carton of parts A1, A2, ..., the last one in hand; None: not judged yet."""
    checks = tuple(
        replace(
            made.half_check(n) if word is None else made.judged_check(word, n),
            part=f"A{n}",
            lot="box 7",
        )
        for n, word in enumerate(words, 1)
    )
    return SessionView(activity=activity, check=checks[-1], checks=checks)


def test_the_carton_counts_what_its_parts_came_to() -> None:
    words = (made.FAN_GOOD, made.FAN_BAD, made.FAN_CLOSE, made.FAN_UNREAD, None)
    assert carton_scene(box(*words)).counts == (
        "Carton “box 7”: 4 tested, 1 good, 1 bad, 1 too close for this meter, 1 not measured"
    )
    assert carton_scene(box(None)).counts == "Carton “box 7”: no part is tested yet"


def test_of_a_part_that_was_tested_again_the_last_verdict_counts() -> None:
    view = box(made.FAN_GOOD, made.FAN_BAD)
    again = replace(view.checks[0], number=3, part="A2")
    assert carton_scene(replace(view, check=again, checks=(*view.checks, again))).counts == (
        "Carton “box 7”: 2 tested, 2 good"
    )


def test_the_next_part_waits_for_the_verdict_of_the_one_in_hand() -> None:
    measuring, judged = carton_scene(box(made.FAN_GOOD, None)), carton_scene(box(made.FAN_GOOD))
    assert not measuring.waits and not measuring.can_go_back and not measuring.takes_codes
    assert judged.waits and judged.can_go_back and judged.takes_codes
    assert (judged.number, judged.place) == ("A2", None)


@pytest.mark.parametrize("activity", [Activity.HANDS, Activity.STORY])
def test_at_the_simulated_bench_the_digits_are_for_the_hands(activity: Activity) -> None:
    assert not carton_scene(box(made.FAN_GOOD, activity=activity)).takes_codes


def test_one_walks_through_the_parts_and_is_told_what_each_came_to() -> None:
    view = box(made.FAN_GOOD, made.FAN_BAD)
    new = carton_scene(view)
    assert (new.number, new.before, new.after, new.known) == ("A3", "A2", None, "")
    last = carton_scene(view, "A2")
    assert (last.number, last.before, last.after) == ("A2", "A1", None)
    assert last.known.startswith("A2: Bad") and last.known.endswith("both stay in the record.")
    first = carton_scene(view, "A1")
    assert (first.before, first.after, first.can_go_on) == (None, "A2", True)
    begun = carton_scene(box(made.FAN_GOOD, None), "A2")
    assert begun.known == "A2 was begun and not judged."
    assert carton_scene(view, "gone").place is None


def test_what_is_looked_at_together_is_the_carton_or_the_session() -> None:
    view = box(made.FAN_GOOD, made.FAN_BAD)
    loose = made.judged_check(made.FAN_GOOD, 3, "old part")
    known = meter.reference_check("45.50 uF", number=4)
    both = replace(view, checks=(*view.checks, loose, known))
    assert parts_together(both) == (view.checks, f"box 7: {made.RATING.text}")
    after = replace(both, check=known)
    assert parts_together(after) == ((*view.checks, loose), "")
