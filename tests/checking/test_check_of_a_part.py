"""The fold of a part check: what is taken by itself, by hand, typed; and what never is."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmeter.checking.check import (
    MeterState,
    PartCheck,
    Step,
    begin_check,
    follow,
    repeat,
    select,
    take_by_hand,
    typed,
)
from benchmeter.checking.commands import BeginCheck
from benchmeter.checking.meter_state import Drift
from benchmeter.conformity.verdict import Reason, Rule, Verdict
from benchmeter.errors import InputError
from benchmeter.parts.nameplate.label import ToleranceMissing
from benchmeter.session.acquisition.channel_state import ChannelStatus
from tests.fakes.refusals import refused

UF = Decimal("1e-6")
DUAL = "45/5 µF ±6 % 440 V"


def begin(label: str = DUAL, number: int = 1, offset: str = "0", **more) -> PartCheck:
    before = more.pop("before", None)
    command = BeginCheck(time_ns=0, part="old part", label=label, **more)
    return begin_check(number, command, Decimal(offset) * UF, before)


def sight(
    value: str | None, state: ChannelStatus = ChannelStatus.SETTLED, resolution: str = "0.01"
) -> MeterState:
    shown = None if value is None else Decimal(value) * UF
    window = (shown,) * 5 if shown is not None and state is ChannelStatus.SETTLED else ()
    return MeterState(7, state, shown, Decimal(resolution) * UF, f"{value} µF", window)


def see(check: PartCheck, *sights: MeterState | str) -> PartCheck:
    for s in sights:
        check = follow(check, sight(s) if isinstance(s, str) else s)
    return check


MOVING = sight("20", ChannelStatus.MOVING)
AIR = sight("0.00", ChannelStatus.SETTLED)


def test_the_states_are_those_of_the_pulse():
    assert {s.value for s in ChannelStatus} == {s.value for s in ChannelStatus}


def test_a_dual_part_is_taken_by_itself_section_by_section():
    check = begin()
    assert (check.expected, check.step) == ("HERM", Step.CLIP_ON)
    check = see(check, AIR)
    assert check.step is Step.NOTHING_BETWEEN_LEADS
    check = see(check, MOVING)
    assert check.step is Step.HOLD
    check = see(check, "44.98")
    assert (check.expected, check.step, check.verdict) == ("FAN", Step.LIFT_LEADS, None)
    check = see(check, "44.98", "44.97")
    assert check.step is Step.LIFT_LEADS
    check = see(check, AIR, MOVING, "4.91")
    assert (check.expected, check.step) == (None, Step.DONE)
    assert check.verdict.verdict is Verdict.PASS
    assert [s.taken[0].by_hand for s in check.sections] == [False, False]
    assert [s.taken[0].text for s in check.sections] == ["44.98 µF", "4.91 µF"]
    assert check.sections[0].taken[0].verdict.readings_si == (Decimal("44.98") * UF,) * 5


def test_nothing_changes_when_nothing_happens():
    check = see(begin(), AIR)
    assert follow(check, AIR) is check
    done = see(begin("5 µF ±6 %"), "5.00")
    assert follow(done, sight("5.00")) is done


def test_the_same_leads_never_give_the_next_section():
    """The leads stay on HERM: FAN is not taken from them, however long."""
    check = see(begin(), "44.98", *["44.98", "45.01"] * 20)
    assert (check.expected, check.sections[1].taken) == ("FAN", ())


def test_a_wiggled_clip_does_not_give_the_next_section():
    check = see(begin(), "44.98", MOVING, "44.98")
    assert check.sections[1].taken == ()
    assert check.step is Step.LOOKS_LIKE_OTHER_SECTION


def test_a_wiggled_clip_on_a_weak_section_does_not_either():
    """HERM reads 20 µF: near no rating of the part, but it is what HERM read."""
    check = see(begin(), "20.00", sight("3", ChannelStatus.MOVING), "20.10")
    assert check.sections[1].taken == ()
    assert check.step is Step.LOOKS_LIKE_OTHER_SECTION


def test_sections_alike_need_the_leads_lifted():
    check = see(begin("20/20 µF ±6 %"), "19.90", sight("12", ChannelStatus.MOVING), "19.90")
    assert (check.sections[1].taken, check.step) == ((), Step.LIFT_LEADS)
    check = see(check, AIR, "20.10")
    assert check.verdict.verdict is Verdict.PASS


def test_going_straight_to_the_next_section_counts_as_lifted():
    """A slow meter never shows the open leads in between."""
    check = see(begin(), "44.98", sight("11", ChannelStatus.MOVING), "4.95")
    assert check.verdict.verdict is Verdict.PASS


def test_no_contact_is_lifted_too():
    check = see(begin("20/20 µF ±6 %"), "19.90", sight(None, ChannelStatus.NO_CONTACT), "20.10")
    assert check.verdict.verdict is Verdict.PASS


def test_the_other_section_is_not_taken_for_this_one():
    check = see(begin(), "4.95")
    assert (check.expected, check.step) == ("HERM", Step.LOOKS_LIKE_OTHER_SECTION)
    check = see(select(check, "fan"), "4.95")
    assert check.expected == "HERM"
    assert check.sections[1].taken[0].verdict.verdict is Verdict.PASS


def test_by_hand_it_is_taken_as_it_stands():
    check = take_by_hand(begin(), sight("4.95"))
    taken = check.sections[0].taken[0]
    assert (taken.by_hand, taken.verdict.verdict) == (True, Verdict.FAIL)


def test_a_series_connection_of_the_two_looks_like_fan():
    """Leads on HERM and FAN: 45·5/50 = 4.5 µF (series connection, CALC); never HERM."""
    assert see(begin(), "4.50").step is Step.LOOKS_LIKE_OTHER_SECTION


@pytest.mark.parametrize("shown", ["0.00", "0.45", "-0.30"])
def test_bare_leads_are_never_taken_by_themselves(shown):
    check = see(begin(), shown)
    assert (check.step, check.sections[0].taken) == (Step.NOTHING_BETWEEN_LEADS, ())


def test_a_few_counts_are_bare_leads_too():
    """A lead offset that was not nulled: 0.06 µF is more than 1 % of 5 µF, but 0.06 is 1 count of 0.1."""
    check = see(begin("5 µF ±6 %"), sight("0.1", resolution="0.1"))
    assert check.step is Step.NOTHING_BETWEEN_LEADS
    assert see(begin("5 µF ±6 %"), sight("1.2", resolution="0.1")).verdict.verdict is Verdict.FAIL


def test_nothing_by_hand_is_open():
    check = take_by_hand(begin("5 µF ±6 %"), AIR)
    assert check.verdict.verdict is Verdict.OPEN
    assert check.step is Step.DONE


def test_an_open_dual_part_by_hand():
    """Common practice, no source: 0 on both sections."""
    check = take_by_hand(take_by_hand(begin("35/5 µF ±6 %"), AIR), AIR)
    assert [s.taken[0].verdict.verdict for s in check.sections] == [Verdict.OPEN, Verdict.OPEN]
    assert check.verdict.verdict is Verdict.OPEN


@pytest.mark.parametrize(
    ("state", "step", "reason"),
    [
        (ChannelStatus.WAITING, Step.METER_SILENT, Reason.STALE),
        (ChannelStatus.STALE, Step.METER_SILENT, Reason.STALE),
        (ChannelStatus.LOST, Step.METER_SILENT, Reason.STALE),
        (ChannelStatus.OVERLOAD, Step.OVERLOAD, Reason.OVERLOAD),
        (ChannelStatus.WRONG_FUNCTION, Step.SET_FUNCTION, Reason.WRONG_FUNCTION),
        (ChannelStatus.NO_CONTACT, Step.CLIP_ON, Reason.NO_CONTACT),
        (ChannelStatus.NO_VALUE, Step.CLIP_ON, Reason.NO_VALUE),
        (ChannelStatus.MOVING, Step.HOLD, Reason.STILL_MOVING),
    ],
)
@pytest.mark.parametrize("value", [None, "45.00"])
def test_what_is_no_value_is_a_finding_of_its_own(state, step, reason, value):
    """Even where the last number is still known: old or moving, it never becomes a value."""
    if value is None and state is ChannelStatus.MOVING:
        return
    check = begin("45 µF ±6 %")
    assert see(check, sight(value, state)).step is step
    assert see(check, sight(value, state)).verdict is None
    taken = take_by_hand(check, sight(value, state))
    assert (taken.verdict.verdict, taken.sections[0].taken[0].verdict.reason) == (
        Verdict.NO_READING,
        reason,
    )
    assert taken.sections[0].taken[0].verdict.reading_si is None


def test_a_key_pressed_too_early_mends_itself():
    check = take_by_hand(begin(), MOVING)
    assert (check.expected, check.verdict) == ("HERM", None)
    check = see(check, "44.98", AIR, "4.95")
    assert check.verdict.verdict is Verdict.PASS
    assert [t.verdict.verdict for t in check.sections[0].taken] == [
        Verdict.NO_READING,
        Verdict.PASS,
    ]


def test_overload_by_hand_goes_on_to_the_next_section():
    check = take_by_hand(begin(), sight(None, ChannelStatus.OVERLOAD))
    assert check.expected == "FAN"
    check = see(check, AIR, "4.95")
    assert check.verdict.verdict is Verdict.NO_READING


def test_a_suspect_value_is_taken_by_hand_only():
    check = see(begin("45 µF ±6 %"), sight("45", ChannelStatus.SUSPECT))
    assert (check.step, check.verdict) == (Step.UNLIKELY, None)
    assert take_by_hand(check, sight("45", ChannelStatus.SUSPECT)).verdict.verdict is Verdict.PASS


def test_a_negative_value_is_not_taken_by_itself():
    check = see(begin("45 µF ±6 %"), "-45")
    assert (check.step, check.verdict) == (Step.UNLIKELY, None)
    by_hand = take_by_hand(check, sight("-45"))
    assert by_hand.sections[0].taken[0].verdict.reason is Reason.NOT_A_CAPACITANCE


def test_a_repeat_supersedes_and_the_history_stays():
    check = see(begin("5 µF ±6 %"), "4.20")
    assert check.verdict.verdict is Verdict.FAIL
    check = repeat(check, "single")
    assert check.verdict.verdict is Verdict.FAIL, "what was found counts until there is more"
    check = see(check, "4.20")
    assert check.step is Step.LIFT_LEADS, "the same readings are no repetition"
    check = see(check, AIR, "4.95")
    assert check.verdict.verdict is Verdict.PASS
    assert [t.verdict.verdict for t in check.sections[0].taken] == [Verdict.FAIL, Verdict.PASS]


def test_repeating_one_section_leaves_the_other():
    check = see(begin(), "44.98", AIR, "4.20", AIR)
    check = see(repeat(check, "FAN"), "4.95")
    assert (check.expected, check.verdict.verdict) == (None, Verdict.PASS)
    assert len(check.sections[0].taken) == 1


def test_a_section_that_is_not_there_is_named():
    for ask in (select, repeat):
        with refused(InputError, match="HERM and FAN"):
            ask(begin(), "START")


def test_when_all_is_taken_there_is_nothing_to_take():
    done = see(begin("5 µF ±6 %"), "5.00")
    with refused(InputError, match="Every section"):
        take_by_hand(done, sight("5.00"))
    with refused(InputError, match="Every section"):
        typed(done, 9, "5.00")


# --- from part to part ----------------------------------------------------------------------


@pytest.mark.parametrize("given", [True, False])
def test_a_new_part_is_never_judged_by_the_leads_still_on_the_old_one(given):
    """The worst bug: the old part's reading as the replacement's."""
    old = see(begin("45 µF ±6 %"), "44.98")
    new = begin("45 µF ±6 %", 2, before=old if given else None)
    assert new.step is Step.LIFT_LEADS
    new = see(new, "44.98", sight("30", ChannelStatus.MOVING), "44.98")
    assert new.verdict is None
    assert see(new, AIR, "44.10").verdict.verdict is Verdict.PASS


def test_leads_that_were_lifted_before_the_new_check_may_be_on_the_new_part():
    old = see(begin("45 µF ±6 %"), "44.98", AIR)
    assert see(begin("45 µF ±6 %", 2, before=old), "44.10").verdict.verdict is Verdict.PASS


def test_another_meter_is_not_on_the_old_part():
    old = see(begin("45 µF ±6 %"), "44.98")
    new = begin("45 µF ±6 %", 2, before=old, channel="second meter")
    assert see(new, "44.10").verdict.verdict is Verdict.PASS


# --- beginning ------------------------------------------------------------------------------


def test_rule_accuracy_and_tolerance_come_with_the_command():
    check = begin("45 µF 440 V", tolerance="6 %", accuracy="1.0 % + 3 counts", rule="simple")
    assert (check.rule, check.rating.tolerance_from) == (Rule.SIMPLE, "user")
    check = see(check, sight("42.6", resolution="0.1"))
    # CALC: ±(1.0 % + 3 counts of 0.1) at 42.6: U = 0.83831
    verdict = check.sections[0].taken[0].verdict
    assert verdict.expanded_uncertainty_si == pytest.approx(0.83831e-6, rel=1e-5)
    assert verdict.verdict is Verdict.PASS
    assert see(
        begin("45 µF ±6 %", accuracy="1.0 % + 3"), sight("42.6", resolution="0.1")
    ).verdict.verdict is (Verdict.CONDITIONAL_PASS)


def test_bad_beginnings_are_refused():
    with pytest.raises(ToleranceMissing):
        begin("45 µF")
    for wrong in ({"label": "45"}, {"accuracy": "good"}, {"rule": "lenient"}, {"tolerance": "7 %"}):
        with pytest.raises(InputError):
            begin(**wrong)


def test_an_offset_taken_with_the_leads_on_a_part_is_refused():
    with refused(InputError, match="not open"):
        begin(offset="45")
    assert see(begin("5 µF ±6 %", offset="0.02"), "4.71").verdict.verdict is Verdict.FAIL
    assert see(begin("5 µF ±6 %", offset="0.02"), "4.72").verdict.verdict is Verdict.PASS


def test_a_meter_that_tells_no_resolution_cannot_use_counts():
    shown = MeterState(7, ChannelStatus.SETTLED, 45 * UF, None, "+4.5E-05", (45 * UF,) * 5)
    check = see(begin("45 µF ±6 %", accuracy="1 % + 2 counts"), shown)
    assert (check.verdict.verdict, check.sections[0].taken[0].verdict.reason) == (
        Verdict.UNDECIDABLE,
        Reason.COUNT_UNKNOWN,
    )


# --- typed ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "word", "reason"),
    [
        ("44.1 uF", Verdict.PASS, Reason.INSIDE_ACCURACY_UNKNOWN),
        ("44,1", Verdict.PASS, Reason.INSIDE_ACCURACY_UNKNOWN),
        ("44100 nF", Verdict.PASS, Reason.INSIDE_ACCURACY_UNKNOWN),
        ("40 µF", Verdict.FAIL, Reason.BELOW_ACCURACY_UNKNOWN),
        ("0", Verdict.OPEN, Reason.NO_CAPACITANCE),
        ("OL", Verdict.NO_READING, Reason.OVERLOAD),
        ("0L", Verdict.NO_READING, Reason.OVERLOAD),
        ("open", Verdict.OPEN, Reason.NO_CAPACITANCE),
        ("Short", Verdict.SHORTED, Reason.NO_RESISTANCE),
        ("shorted", Verdict.SHORTED, Reason.NO_RESISTANCE),
        ("0.3 ohm", Verdict.SHORTED, Reason.NO_RESISTANCE),
        ("9.9 Ω", Verdict.SHORTED, Reason.NO_RESISTANCE),
        ("800 mΩ", Verdict.SHORTED, Reason.NO_RESISTANCE),
        ("10 Ω", Verdict.NO_READING, Reason.WRONG_FUNCTION),
        ("15 kohm", Verdict.NO_READING, Reason.WRONG_FUNCTION),
        ("no reading", Verdict.NO_READING, Reason.NOT_MEASURED),
        ("---", Verdict.NO_READING, Reason.NOT_MEASURED),
    ],
)
def test_typed_readings(text, word, reason):
    check = typed(begin("45 µF ±6 %"), 9, text)
    taken = check.sections[0].taken[0]
    assert (taken.verdict.verdict, taken.verdict.reason) == (word, reason)
    assert (taken.by_hand, taken.time_ns, taken.text) == (True, 9, text)
    assert check.verdict.verdict is word


def test_typed_digits_give_the_resolution():
    check = typed(begin("45 µF ±6 %", accuracy="1.0 % + 3 counts"), 9, "42.6")
    assert check.sections[0].taken[0].verdict.half_width_si == pytest.approx(0.726e-6)


@pytest.mark.parametrize(
    "text",
    ["", "good", "44.1 mF", "44.1 F", "44.1 min", "1,234", "4 4.1", "44.1 uF 5", "nan", "45²"],
)
def test_what_is_no_reading_is_refused(text):
    check = begin("45 µF ±6 %")
    with pytest.raises(InputError):
        typed(check, 9, text)


@given(st.text(max_size=40))
def test_any_typed_text_is_a_finding_or_an_input_error(text):
    try:
        check = typed(begin("45 µF ±6 %"), 9, text)
    except InputError:
        return
    assert check.verdict is not None


_SIGHTS = st.builds(
    lambda v, s, r: sight(v, s, r),
    st.sampled_from(["0.00", "0.3", "4.4", "5.00", "20", "44.98", "47.7", "100", "-3"]),
    st.sampled_from(ChannelStatus),
    st.sampled_from(["0.01", "0.1"]),
)
_ACTS = st.one_of(
    _SIGHTS, st.tuples(st.just("hand"), _SIGHTS), st.sampled_from(["HERM", "FAN", "typed", "new"])
)


@given(st.lists(_ACTS, max_size=30))
def test_whatever_happens_nothing_is_lost_and_only_settled_values_are_taken_by_themselves(acts):
    check, count = begin(), 1
    for act in acts:
        before = check
        try:
            if act == "new":
                count += 1
                check = begin(number=count, before=check)
                continue
            if act == "typed":
                check = typed(check, 9, "4.95")
            elif isinstance(act, str):
                check = select(check, act)
            elif isinstance(act, tuple):
                check = take_by_hand(check, act[1])
            else:
                check = follow(check, act)
        except InputError:
            continue
        for old, new in zip(before.sections, check.sections, strict=True):
            assert new.taken[: len(old.taken)] == old.taken
            for taken in new.taken[len(old.taken) :]:
                if not taken.by_hand:
                    assert act.state is ChannelStatus.SETTLED
                    assert old.section.name == before.expected
        assert (check.verdict is not None) == all(s.taken for s in check.sections)
        if check.verdict:
            assert check.verdict.sections == tuple(s.taken[-1].verdict for s in check.sections)


def seen(measured: int, value: str = "0.00", drift: Drift | None = None) -> MeterState:
    """What a settled meter shows at its measurement of that number."""
    return replace(sight(value), measured=measured, drift=drift)


def test_leads_are_lifted_by_three_measurements_in_a_row() -> None:
    check = see(begin("5 µF ±6 %"), seen(5, "5.00"))
    again = begin("5 µF ±6 %", number=2, before=check)
    again = see(again, seen(6), seen(6), seen(7), seen(7))
    assert (again.lifted, again.step) == (False, Step.LIFT_LEADS)
    assert see(again, seen(8)).lifted
    broken = see(again, seen(8, "5.00"), seen(9), seen(10))
    assert not broken.lifted
    assert see(broken, seen(11)).lifted


def test_a_reading_that_may_reach_a_limit_within_a_minute_is_watched_longer() -> None:
    """5 µF ±6 %: 4.70 to 5.30. Up to a tenth of the limit away, a minute is foreseen."""
    slow, still = Drift(0.0, 0.004e-6), Drift(-0.001e-6, 0.001e-6)
    for value, drift, step in (
        ("5.10", slow, Step.HOLD),  # 0.2 µF in 50 s
        ("5.02", slow, Step.DONE),  # 0.28 µF in 70 s
        ("5.34", slow, Step.DONE),  # it moves away
        ("5.34", Drift(-0.001e-6, 0.0), Step.HOLD),  # it comes back: 0.04 µF in 40 s
        ("4.73", still, Step.HOLD),
        ("5.30", still, Step.HOLD),
        ("5.30", None, Step.DONE),  # it was watched long enough
    ):
        check = see(begin("5 µF ±6 %"), seen(5, value, drift))
        assert check.step is step, value


def test_a_limit_that_is_far_off_is_foreseen_for_five_seconds() -> None:
    """3.00 µF is a third below 4.70: what creeps does not go as far."""
    assert see(begin("5 µF ±6 %"), seen(5, "3.00", Drift(0.0, 0.3e-6))).step is Step.DONE
    assert see(begin("5 µF ±6 %"), seen(5, "3.00", Drift(0.0, 0.4e-6))).step is Step.HOLD


def test_by_hand_it_is_still_moving() -> None:
    check = take_by_hand(begin("5 µF ±6 %"), seen(5, "5.29", Drift(0.0, 0.004e-6)))
    taken = check.sections[0].taken[0].verdict
    assert (taken.verdict, taken.reason) == (Verdict.NO_READING, Reason.STILL_MOVING)
