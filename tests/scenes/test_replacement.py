"""What may replace the part in hand, without a window. The rule itself is tested with `checking`."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from benchmeter.checking.channel_roles import ChannelRoles
from benchmeter.checking.commands import BeginCheck
from benchmeter.checking.part_check import PartCheck
from benchmeter.conformity.verdict import Rule
from benchmeter.files.folders import Folders
from benchmeter.parts.nameplate.label import parse_label
from benchmeter.scenes.bench import bench_scene
from benchmeter.scenes.bench_action_scene import Act
from benchmeter.scenes.bench_state import BenchOpened
from benchmeter.scenes.replacement_scene import (
    ReplacementAct,
    ReplacementScene,
    ReplacementState,
    kept_row,
    replacement_scene,
)
from benchmeter.scenes.session_view import Activity, SessionView
from benchmeter.tasks.replacing import ForPart, begin_stock, find_stock, replace_part
from benchmeter.words.presentation import Presentation
from tests.fakes import bench_states as made
from tests.fakes import meter_states as meter
from tests.fakes.kind_states import kind_check

ROLES = ChannelRoles(made.SETUP.channels)

OLD = made.judged_check(made.FAN_BAD)
Look = Callable[..., ReplacementScene]


@pytest.fixture
def looked(folders: Folders) -> Callable[..., ForPart]:
    def look(*checks: PartCheck, stock: str | None = meter.STOCK) -> ForPart:
        if stock is not None:
            folders.stock.write_text(stock, encoding="utf-8")
        return replace_part(find_stock(folders), checks, checks[-1])

    return look


@pytest.fixture
def shown(looked: Callable[..., ForPart]) -> Look:
    def show(
        *checks: PartCheck,
        stock: str | None = meter.STOCK,
        row: int = 0,
        activity: Activity = Activity.LIVE,
        tell: Presentation | None = None,
    ) -> ReplacementScene:
        view = SessionView(
            presentation=tell or Presentation(),
            activity=activity,
            setup=made.SETUP,
            roles=ROLES,
            check=checks[-1],
            checks=checks,
        )
        return replacement_scene(view, looked(*checks, stock=stock), row)

    return show


def begun(scene: ReplacementScene) -> BeginCheck:
    command = scene.actions[ReplacementAct.MEASURE].command
    assert isinstance(command, BeginCheck)
    return command


def offered(scene: ReplacementScene) -> set[ReplacementAct]:
    return {act for act, offer in scene.actions.items() if offer.offered}


def test_until_the_list_is_read_it_says_so() -> None:
    scene = replacement_scene(SessionView(activity=Activity.LIVE), None, 0)
    assert (scene.state, scene.next_step) == (ReplacementState.LOOKING, "One moment…")
    assert offered(scene) == {ReplacementAct.AGAIN, ReplacementAct.BACK}


def test_it_is_offered_at_the_bench_for_no_other_kind_of_part() -> None:
    coil = kind_check("ignitor", "40-90 ohm", {"element": "0.2"})
    view = SessionView(activity=Activity.LIVE, check=coil, checks=(coil,))
    assert coil.verdict is not None
    assert not bench_scene(view, BenchOpened(number=1)).actions[Act.REPLACEMENT].shown


def test_of_another_kind_of_part_nothing_is_looked_up(shown: Look) -> None:
    scene = shown(kind_check("ignitor", "40-90 ohm", {"element": "0.2"}))
    assert scene.state is ReplacementState.NO_CAPACITOR and scene.lines == ()
    assert scene.answer == "Only capacitors are looked up"


def test_what_fits_comes_first_and_each_line_says_why(shown: Look) -> None:
    scene = shown(OLD)
    lines = [line.words for line in scene.lines]
    assert scene.state is ReplacementState.CHOICES
    assert [line.partition(" · ")[0] for line in lines] == [
        "Measure it first",
        "Measure it first",
        "Look, then measure it first",
        "None left",
        "Does not fit",
        "Does not fit",
    ]
    first, _, looser, *_, voltage, capacitance = lines
    assert "round, 3 left, van shelf 2" in first
    assert "±6 %, the old part ±5 %" in looser
    assert "370 V, the old part 440 V" in voltage
    assert "45/5 µF, not 40/6 µF" in capacitance
    assert scene.answer == "3 parts of the list may fit"
    assert "van shelf 2" in scene.next_step


def test_lines_that_cannot_be_used_are_told_with_their_number(shown: Look) -> None:
    told = shown(OLD).faults
    assert told[0].startswith("Line 8 of stock.csv is left out: It has no label.")
    assert told[1].startswith("Line 9 of stock.csv is left out: ") and "tolerance" in told[1]


def test_of_many_such_lines_some_are_told_and_the_rest_counted(shown: Look) -> None:
    stock = "label\n40/6 µF ±5 % 440 V\n" + "no label at all\n" * 9
    assert shown(OLD, stock=stock).faults[3:] == ("And 6 more lines.",)


@pytest.mark.parametrize(
    ("row", "part", "label"),
    [
        (0, "replacement 1", "40/6 µF ±5 % 440 V round"),
        (1, "K 7", "40/6 µF ±5 % 440 V round"),
        (2, "replacement 1", "40/6 µF ±6 % 440 V oval"),
    ],
)
def test_the_chosen_part_is_measured_by_the_rule_of_the_old_one(
    shown: Look, row: int, part: str, label: str
) -> None:
    scene = shown(replace(OLD, rule=Rule.SIMPLE), row=row)
    assert scene.actions[ReplacementAct.MEASURE].primary
    assert begun(scene) == BeginCheck(
        time_ns=0,
        part=part,
        label=label,
        accuracy=made.ACCURACY.text,
        rule="simple",
        channel="capacitor",
    )


@pytest.mark.parametrize(
    ("row", "activity", "why"),
    [
        (3, Activity.LIVE, "None left"),
        (4, Activity.LIVE, "Does not fit"),
        (5, Activity.LIVE, "Does not fit"),
        (0, Activity.ENDED, "Nothing is being recorded"),
        (0, Activity.REPLAY, "Nothing is being recorded"),
    ],
)
def test_what_cannot_be_measured_says_why(
    shown: Look, row: int, activity: Activity, why: str
) -> None:
    measure = shown(OLD, row=row, activity=activity).actions[ReplacementAct.MEASURE]
    assert not measure.offered and not measure.primary and measure.why_not.startswith(why)


def test_a_part_is_offered_only_after_it_was_measured_good(shown: Look) -> None:
    """The old part stays the one to be replaced while replacements are measured."""
    bad = made.judged_check(made.FAN_BAD, 2, "replacement 1")
    bad = replace(bad, rating=parse_label("40/6 µF ±5 % 440 V round"))
    good = made.judged_check(made.FAN_GOOD, 3, "K 7")
    scene = shown(OLD, bad, good)
    assert scene.subject == "To be replaced: old part, 40/6 µF ±5 % 440 V"
    assert (scene.answer, scene.next_step) == ("K 7 may go in", "Fit K 7")
    assert scene.lines[0].words.startswith("Good: it may go in · K 7")
    assert (scene.lines[0].shape, scene.lines[0].tone) == ("verdict-pass", "good")
    measured_bad = [x.words for x in scene.lines if x.words.startswith("Measured bad")]
    assert len(measured_bad) == 1 and "round, 3 left" in measured_bad[0]
    measure = scene.actions[ReplacementAct.MEASURE]
    assert measure.title == "Measure it again" and measure.offered and not measure.primary


def test_a_part_that_was_measured_by_another_rule_is_not_offered(shown: Look) -> None:
    good = made.judged_check(made.FAN_GOOD, 2, "K 7")
    assert good.verdict is not None
    scene = shown(OLD, replace(good, verdict=replace(good.verdict, rule=Rule.SIMPLE)))
    (line,) = (line.words for line in scene.lines if "K 7" in line.words)
    assert "another decision rule" in line and "may fit" in scene.answer


def test_what_no_meter_could_decide_is_not_offered(shown: Look) -> None:
    scene = shown(OLD, made.judged_check(made.FAN_UNDECIDED, 2, "K 7"))
    (line,) = (line for line in scene.lines if "K 7" in line.words)
    assert line.words.startswith("Not decided") and line.tone == "undecided"
    assert "may fit" in scene.answer


@pytest.mark.parametrize(
    ("stock", "state", "answer", "said"),
    [
        ("label,count\n45/5 µF ±6 % 440 V,4\n", ReplacementState.CHOICES, "No part of the list fits", "Esc"),
        (None, ReplacementState.NO_LIST, "No part in the stock list yet", "X begins a list"),
        ("label\n", ReplacementState.EMPTY, "No part in the stock list yet", "Write your parts"),
        ("label,label\n", ReplacementState.UNREADABLE, "The stock list cannot be read", "Write your parts"),
    ],
)  # fmt: skip
def test_where_nothing_is_there_it_teaches(
    shown: Look, stock: str | None, state: ReplacementState, answer: str, said: str
) -> None:
    scene = shown(OLD, stock=stock)
    assert (scene.state, scene.answer) == (state, answer)
    assert scene.next_step.startswith(said)
    taught = "stock.csv" in scene.why and "label,shape,count,place,own number" in scene.why
    assert taught is (state is not ReplacementState.CHOICES)
    assert scene.actions[ReplacementAct.EXAMPLE].offered is (state is ReplacementState.NO_LIST)
    assert bool(scene.faults) is (state is ReplacementState.UNREADABLE)


def test_one_part_alone_is_counted_as_one(shown: Look, folders: Folders) -> None:
    scene = shown(OLD, stock="label,count\n40/6 µF ±5 % 440 V,4\n")
    assert scene.answer == "1 part of the list may fit"
    assert scene.next_step == "Choose with the arrow keys; Return measures it"


def test_of_a_long_list_the_best_are_shown(shown: Look) -> None:
    many = "".join(f"{n % 79 + 1} µF ±6 % 440 V,{n}\n" for n in range(1, 201))
    scene = shown(OLD, stock=f"label,count\n{many}40/6 µF ±5 % 440 V,1\n")
    assert scene.lines[0].words.startswith("Measure it first · 40/6 µF")
    assert len(scene.lines) == 60 and "the best 60 of 201 parts" in scene.faults[0]


def test_numbers_have_the_persons_decimal_sign(shown: Look) -> None:
    stock = "label,count\n40/6.5 µF ±5 % 440 V,4\n"
    scene = shown(OLD, stock=stock, tell=Presentation(decimal_sign=","))
    assert "40/6,5 µF" in scene.lines[0].words


def test_what_was_looked_at_stays_chosen_until_a_part_may_go_in(
    looked: Callable[..., ForPart],
) -> None:
    first = looked(OLD)
    assert kept_row(first, None) == 0
    assert kept_row(first, first.lines[2]) == 2
    after = looked(OLD, made.judged_check(made.FAN_GOOD, 2, "K 7"))
    assert kept_row(after, first.lines[2]) == 0


def test_the_list_that_is_begun_has_an_example_and_nothing_in_stock(folders: Folders) -> None:
    found = begin_stock(folders)
    assert found.stock is not None and [item.count for item in found.stock.items] == [0]
