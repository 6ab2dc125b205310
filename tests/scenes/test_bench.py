"""The bench without a window: each state by a call, what is said next, what is offered and why not."""

from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmeter.checking.channel_roles import ChannelRoles
from benchmeter.checking.commands import BeginCheck, RepeatSection, SelectSection, TakeReading
from benchmeter.checking.part_check import PartCheck, Step
from benchmeter.checking.safety import ResidualVoltage
from benchmeter.links.instruments.setup import BenchSetup, ChannelSetup, Role
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.channel_status import ChannelStatus
from benchmeter.scenes.bench import (
    BenchScene,
    begun_by_form,
    bench_scene,
    form_offer,
    live_reading,
)
from benchmeter.scenes.bench_action_scene import Act
from benchmeter.scenes.bench_state import BenchOpened, BenchState
from benchmeter.scenes.offer import LineKind, Offer, line_command, marker_line
from benchmeter.scenes.session_view import Activity, SessionView
from benchmeter.words.presentation import Presentation
from tests.fakes import bench_states as made
from tests.fakes import meter_states as meter
from tests.fakes.kind_states import kind_check

ROLES = ChannelRoles(made.SETUP.channels)

TODAY = date(2026, 3, 1)
HALF, GOOD, BAD = (
    made.half_check(),
    made.judged_check(made.FAN_GOOD),
    made.judged_check(made.FAN_BAD),
)
CHARGED = replace(HALF, residual=ResidualVoltage(0, 310.0, typed=False), step=Step.MAKE_SAFE)
REPEATED = replace(BAD, expected="HERM", step=Step.LIFT_LEADS)
BOX = replace(GOOD, lot="box 7")
HEATER = kind_check("heater", "240 V, 1500 W", {}, step=Step.CLIP_ON)


def view(
    check: PartCheck | None = None,
    activity: Activity = Activity.LIVE,
    state: ChannelStatus = ChannelStatus.SETTLED,
    **more: Any,
) -> SessionView:
    """A session with that part in hand."""
    checks = () if check is None else (check,)
    return replace(
        SessionView(
            today=TODAY,
            activity=activity,
            session_id="0192",
            setup=made.SETUP,
            roles=ROLES,
            now_ns=20 * made.SECOND,
            states={pulse.channel: pulse for pulse in made.pulses(state)},
            check=check,
            checks=checks,
        ),
        **more,
    )


def offered(of: BenchScene) -> set[Act]:
    return {act for act, offer in of.actions.items() if offer.offered}


def primary(of: BenchScene) -> set[Act]:
    return {act for act, offer in of.actions.items() if offer.primary and offer.shown}


# --- the states --------------------------------------------------------------------------------


def test_before_a_session_the_first_steps_are_taught() -> None:
    nothing = bench_scene(SessionView(), BenchOpened())
    assert nothing.state is BenchState.FIRST_STEPS
    assert nothing.next_step == "Connect a meter, or press B for the simulated bench"
    opening = bench_scene(SessionView(opening=True), BenchOpened())
    assert opening.next_step == "Connecting…"


@pytest.mark.parametrize(
    ("check", "activity", "form", "state", "said"),
    [
        (None, Activity.LIVE, False, BenchState.FORM, "Type what the label says, then Return"),
        (None, Activity.HANDS, False, BenchState.FORM, "Y takes this part's label"),
        (None, Activity.STORY, False, BenchState.STORY, "The story plays by itself"),
        (None, Activity.STORY, True, BenchState.FORM, "Y takes this part's label"),
        (None, Activity.REPLAY, False, BenchState.REPLAY, "Replay: no part yet"),
        (None, Activity.ENDED, False, BenchState.FORM, "Recording has ended"),
        (HALF, Activity.LIVE, False, BenchState.MEASURING, "Lift the leads, then put them on C"),
        (
            HALF,
            Activity.STORY,
            False,
            BenchState.MEASURING,
            "The story plays: next the leads go on",
        ),
        (
            HALF,
            Activity.REPLAY,
            False,
            BenchState.MEASURING,
            "Replay: next the leads go on C and FAN",
        ),
        (HALF, Activity.LIVE, True, BenchState.FORM, "Type what the label says, then Return"),
        (CHARGED, Activity.LIVE, False, BenchState.MEASURING, "First make it safe"),
        (BAD, Activity.LIVE, False, BenchState.JUDGED, "Done. Begin the next part"),
        (BAD, Activity.LIVE, True, BenchState.FORM, "Type what the label says"),
        (BAD, Activity.REPLAY, False, BenchState.JUDGED, "Replay: judged. Other parts may follow"),
        (BAD, Activity.ENDED, False, BenchState.JUDGED, "Recording has ended"),
        (
            REPEATED,
            Activity.LIVE,
            False,
            BenchState.REPEATING,
            "Lift the leads, then put them on C",
        ),
        (BOX, Activity.LIVE, False, BenchState.JUDGED, "Clip on the next part of the carton"),
    ],
)
def test_each_state_and_what_is_said_in_it(
    check: PartCheck | None, activity: Activity, form: bool, state: BenchState, said: str
) -> None:
    shown = bench_scene(view(check, activity), BenchOpened(number=1 if check else 0, form=form))
    assert shown.state is shown.beneath is state
    assert shown.next_step.startswith(said)


@pytest.mark.parametrize("aside", [s for s in BenchState if s.aside])
def test_what_stands_in_place_of_the_part_says_its_own_next_step(aside: BenchState) -> None:
    shown = bench_scene(view(BAD), BenchOpened(number=1, aside=aside), "Fit C 12")
    assert (shown.state, shown.beneath, shown.next_step) == (aside, BenchState.JUDGED, "Fit C 12")


@pytest.mark.parametrize("step", Step)
@pytest.mark.parametrize("activity", [Activity.STORY, Activity.REPLAY])
def test_while_something_plays_each_step_is_something_to_watch(
    step: Step, activity: Activity
) -> None:
    words = bench_scene(view(replace(HALF, step=step), activity), BenchOpened(number=1)).next_step
    assert words.startswith(("The story plays: ", "Replay: ")) and len(words) > 20


def test_the_leads_of_a_part_with_marks_are_named_while_something_plays() -> None:
    plays = bench_scene(view(HEATER, Activity.STORY), BenchOpened(number=1)).next_step
    assert plays.startswith("The story plays: next the leads go on") and " and " in plays


def test_with_a_label_in_the_form_it_is_compared() -> None:
    shown = bench_scene(view(), BenchOpened(label="40/6 µF ±5 %"))
    assert shown.next_step == "Compare with the label on the part, then Return"
    typing = bench_scene(view(None, Activity.HANDS), BenchOpened(in_label=True))
    assert typing.next_step == "Type what the label says, then Return"


def test_the_form_is_done_with_once_its_part_has_begun() -> None:
    opened = BenchOpened(number=1, form=True, place="3")
    assert opened.follow(HALF) is opened
    begun = opened.follow(made.new_check(2))
    assert (begun.form, begun.number, begun.place) == (False, 2, None)
    assert opened.follow(None).form  # a replay is wound back: no part has taken its place


# --- what is offered ---------------------------------------------------------------------------

ANY = {Act.MARKER, Act.METER, Act.STATISTICS, Act.INDICATION}
RECORD = {Act.INDICATION, Act.STATISTICS}


@pytest.mark.parametrize(
    ("check", "activity", "form", "acts", "comes"),
    [
        (None, Activity.LIVE, False, ANY | {Act.NULL, Act.TYPING}, set()),
        (
            HALF,
            Activity.LIVE,
            False,
            ANY | {Act.TAKE, Act.PART, Act.REPEAT, Act.SECTION, Act.NULL, Act.TYPING},
            {Act.TAKE},
        ),
        (HALF, Activity.LIVE, True, ANY | {Act.NULL, Act.TYPING}, set()),
        (
            GOOD,
            Activity.LIVE,
            False,
            ANY | {Act.PART, Act.REPEAT, Act.AGAIN, Act.TAG, Act.REPLACEMENT},
            {Act.PART},
        ),
        (
            BAD,
            Activity.LIVE,
            False,
            ANY | {Act.PART, Act.REPEAT, Act.AGAIN, Act.TAG, Act.REPLACEMENT},
            {Act.REPLACEMENT},
        ),
        (
            REPEATED,
            Activity.LIVE,
            False,
            ANY | {Act.TAKE, Act.PART, Act.REPEAT, Act.SECTION, Act.NULL, Act.TYPING},
            {Act.TAKE},
        ),
        (BOX, Activity.LIVE, False, {Act.TAKE, Act.PART, Act.AGAIN, Act.TAG}, {Act.TAKE}),
        (
            BAD,
            Activity.STORY,
            False,
            ANY | {Act.PART, Act.REPEAT, Act.AGAIN, Act.TAG, Act.REPLACEMENT},
            set(),
        ),
        (BAD, Activity.REPLAY, False, RECORD | {Act.TAG}, set()),
        (HALF, Activity.REPLAY, False, RECORD, set()),
        (None, Activity.REPLAY, False, RECORD, set()),
        (BAD, Activity.ENDED, False, RECORD | {Act.TAG}, set()),
    ],
)
def test_what_is_offered(
    check: PartCheck | None, activity: Activity, form: bool, acts: set[Act], comes: set[Act]
) -> None:
    shown = bench_scene(view(check, activity), BenchOpened(number=1 if check else 0, form=form))
    assert offered(shown) == acts
    assert primary(shown) == comes


def test_the_volts_of_a_charged_part_forbid_to_take_it_and_say_so() -> None:
    take = bench_scene(view(CHARGED), BenchOpened(number=1)).actions[Act.TAKE]
    assert take.shown and not take.offered
    assert "310" in take.why_not and "ischarge" in take.why_not


@pytest.mark.parametrize(
    ("act", "check", "why"),
    [
        (Act.TAKE, None, "No part is being checked yet."),
        (Act.TAKE, GOOD, "Every section of this part has been taken."),
        (Act.REPEAT, made.new_check(), "Nothing of this part has been taken yet."),
        (Act.AGAIN, HALF, "The part is not judged yet."),
        (Act.TAG, HALF, "The part is not judged yet."),
        (Act.SECTION, replace(HALF, sections=HALF.sections[1:]), "This part has no other section."),
        (Act.UNDO, HALF, "There is nothing to undo."),
    ],
)
def test_what_is_not_offered_says_why(act: Act, check: PartCheck | None, why: str) -> None:
    offer = bench_scene(view(check), BenchOpened(number=1)).actions[act]
    assert not offer.offered and offer.why_not.startswith(why)


def test_an_edit_can_be_undone() -> None:
    shown = bench_scene(view(HALF), BenchOpened(number=1, can_undo=True))
    assert shown.actions[Act.UNDO].offered


def test_the_offers_carry_what_they_send() -> None:
    acts = bench_scene(view(HALF), BenchOpened(number=1)).actions
    assert acts[Act.TAKE].command == TakeReading(time_ns=0)
    assert acts[Act.REPEAT].command == RepeatSection(time_ns=0, section="HERM")
    assert acts[Act.SECTION].command == SelectSection(time_ns=0, section="HERM")
    again = bench_scene(view(BAD), BenchOpened(number=1)).actions[Act.AGAIN].command
    assert isinstance(again, BeginCheck)
    assert (again.part, again.label, again.accuracy) == (
        "old part",
        made.RATING.text,
        made.ACCURACY.text,
    )


def test_a_line_is_asked_for_where_words_are_needed() -> None:
    acts = bench_scene(view(HALF), BenchOpened(number=1)).actions
    typed = acts[Act.TYPING].ask
    assert typed is not None and (typed.kind, typed.subject) == (LineKind.READING, "capacitor")
    assert "FAN" in typed.prompt and line_command(typed, "6 uF").text == "6 uF"  # type: ignore[union-attr]
    tag = bench_scene(view(BAD), BenchOpened(number=1)).actions[Act.TAG].ask
    assert tag is not None and tag.file
    assert (tag.text, tag.subject, tag.check) == ("old-part-tag.pdf", "0192", 1)
    assert line_command(tag, "x.pdf") is None
    mark = acts[Act.MARKER].ask
    assert mark == marker_line(Presentation())


def test_without_a_part_typing_leads_to_the_form() -> None:
    typing = bench_scene(view(), BenchOpened()).actions[Act.TYPING]
    assert typing.offered and typing.ask is None and typing.notice is not None
    assert "begin its check first" in typing.notice.text


# --- what is shown -----------------------------------------------------------------------------


def test_a_verdict_of_the_record_is_told_without_a_day() -> None:
    assert bench_scene(view(BAD), BenchOpened(number=1)).plate_on == TODAY
    assert bench_scene(view(BAD, Activity.REPLAY), BenchOpened(number=1)).plate_on == date.min


def test_one_part_needs_no_list_and_a_carton_has_counts_instead() -> None:
    second = made.new_check(2, "replacement 1")
    assert bench_scene(view(BAD), BenchOpened(number=1)).done == ()
    both = bench_scene(view(second, checks=(BAD, second)), BenchOpened(number=2))
    assert len(both.done) == 2 and "replacement 1" in both.done[0] and "fail" in both.done[1]
    box = replace(second, lot="box 7")
    carton = bench_scene(view(box, checks=(BAD, box)), BenchOpened(number=2))
    assert carton.done == () and carton.carton is not None
    closed = bench_scene(view(box, checks=(BAD, box)), BenchOpened(number=2, closed_carton="box 7"))
    assert closed.carton is None and len(closed.done) == 2


def test_a_part_of_known_value_is_listed_by_what_it_says_of_the_meter() -> None:
    second = meter.reference_check("45.50 uF", number=2)
    shown = bench_scene(view(second, checks=(BAD, second)), BenchOpened(number=2))
    assert shown.done[0] == "2  R45  ·  meter differs"
    assert shown.next_step.startswith("E shows what is known of the meter")
    assert not shown.actions[Act.TAG].offered and not shown.actions[Act.REPLACEMENT].shown
    assert "known value" in shown.actions[Act.TAG].why_not


def test_what_is_taken_off_is_said_beside_the_reading() -> None:
    assert bench_scene(view(HALF), BenchOpened(number=1)).bias_note == ""
    for seen in (view(meter.with_bias(HALF)), view(biases=(meter.bias(),))):
        note = bench_scene(seen, BenchOpened(number=len(seen.checks))).bias_note
        assert "0.5 µF too much near 45 µF" in note


def test_of_many_sections_the_rulers_that_count_are_shown() -> None:
    many = replace(
        HALF,
        sections=(*HALF.sections, replace(HALF.sections[1], section=replace(made.FAN, name="X"))),
    )
    assert bench_scene(view(many), BenchOpened(number=1)).rulers == {"FAN"}
    assert bench_scene(view(HALF), BenchOpened(number=1)).rulers == {"HERM", "FAN"}


def test_the_meter_of_the_session_names_channel_and_accuracy() -> None:
    channels = (
        ChannelSetup(name="dmm", role=Role.METER, link="l", accuracy="1 % + 3 counts"),
        ChannelSetup(name="probe", role=Role.PROBE, link="l", quantity=Quantity.TEMPERATURE),
    )
    setup = BenchSetup(origin="serial", links=(), channels=channels)
    seen = view(setup=setup, roles=ChannelRoles(channels), accuracy="2 %", rule="simple")
    typed = BeginCheck(time_ns=0, part="p", label="40 uF")
    begun = begun_by_form(seen, typed)
    assert (begun.rule, begun.channel) == ("simple", "dmm")
    assert form_offer(seen, BenchOpened()).accuracy == "1 % + 3 counts"
    assert begun_by_form(view(roles=ChannelRoles(())), typed).channel == "capacitor"
    assert form_offer(view(accuracy="2 %"), BenchOpened()).accuracy == "2 %"


def test_the_form_counts_parts_and_knows_the_numbers_of_each_carton() -> None:
    one, two = replace(GOOD, lot="box 7", part="A1"), replace(BAD, lot="box 7", number=2, part="A2")
    offer = form_offer(view(two, checks=(one, two)), BenchOpened(number=2))
    assert (offer.part, offer.lot, offer.can_go_back) == ("part 3", "box 7", True)
    assert offer.tested == {"box 7": ("A1", "A2")}
    first = form_offer(view(), BenchOpened())
    assert (first.part, first.lot, first.can_go_back) == ("old part", "", False)


@pytest.mark.parametrize(
    ("state", "shown"),
    [
        (ChannelStatus.SETTLED, True),
        (ChannelStatus.MOVING, True),
        (ChannelStatus.STALE, False),
        (ChannelStatus.LOST, False),
    ],
)
def test_an_old_reading_is_not_put_on_the_ruler(state: ChannelStatus, shown: bool) -> None:
    assert (live_reading(view(HALF, state=state)).ruler_si is not None) is shown


def test_a_reading_of_another_quantity_is_not_put_on_the_ruler() -> None:
    pulse = replace(made.capacitor_pulse(ChannelStatus.SETTLED), quantity=Quantity.RESISTANCE)
    live = live_reading(view(HALF, states={"capacitor": pulse}))
    assert live.ruler_si is None and live.quantity is Quantity.RESISTANCE


def test_what_has_ended_shows_no_reading() -> None:
    assert live_reading(view(BAD, Activity.ENDED)).state is None
    assert live_reading(view(BAD, Activity.REPLAY)).state is not None


# --- whatever comes ----------------------------------------------------------------------------

PARTS = st.sampled_from([None, HALF, GOOD, BAD, CHARGED, REPEATED, BOX, HEATER])
STEPS = st.lists(
    st.tuples(
        PARTS,
        st.sampled_from(list(Activity)),
        st.sampled_from(list(ChannelStatus)),
        st.booleans(),
        st.sampled_from([None, *(s for s in BenchState if s.aside)]),
        st.integers(1, 5),
    ),
    min_size=1,
    max_size=6,
)


@given(STEPS)
def test_any_sequence_of_views_gives_a_scene_that_holds_together(steps: list[Any]) -> None:
    opened = BenchOpened()
    for check, activity, status, form, aside, number in steps:
        part = None if check is None else replace(check, number=number)
        seen = view(part, activity, status)
        opened = replace(opened.follow(part), form=form, aside=aside)
        shown = bench_scene(seen, opened, "aside")
        assert shown.next_step
        assert set(shown.actions) == set(Act)
        assert shown.state is (
            aside if aside and activity is not Activity.NOTHING else shown.beneath
        )
        take: Offer = shown.actions[Act.TAKE]
        if part is None or part.safety.seen_unsafe:
            assert not take.offered
        if not seen.acts:
            assert offered(shown) <= RECORD | {Act.TAG}
            assert not primary(shown)
        assert len(primary(shown)) <= 1
        if shown.beneath.answered:
            assert shown.check is part and part is not None and part.verdict is not None
            assert shown.leads is None
        if shown.beneath is BenchState.MEASURING:
            assert part is not None and part.verdict is None
        live = live_reading(seen)
        if live.state is not None and part is not None:
            assert live.state.channel in (part.channel, "probe")
        for offer in shown.actions.values():
            assert offer.title
            assert not (offer.primary and offer.shown and offer.why_not)
