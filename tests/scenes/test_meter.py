"""Part or meter, without a window."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from benchmeter.checking.channel_roles import ChannelRoles
from benchmeter.checking.commands import AcceptBias, BeginCheck
from benchmeter.checking.reference_parts import all_reference_parts, read_reference_parts
from benchmeter.files.folders import Folders
from benchmeter.scenes.meter_actions import MeterAct
from benchmeter.scenes.meter_parts import kept_part
from benchmeter.scenes.meter_scene import MeterScene, MeterSceneState, meter_scene
from benchmeter.scenes.session_view import Activity, SessionView
from benchmeter.tasks.known_parts import MeterFound
from benchmeter.words.presentation import Presentation
from tests.fakes import bench_states as made
from tests.fakes import meter_states as meter

VIEW = SessionView(
    today=meter.TODAY,
    activity=Activity.LIVE,
    setup=made.SETUP,
    roles=ChannelRoles(made.SETUP.channels),
    accuracy=meter.ACCURACY,
)


def found(folders: Folders, shown: Any = None, listed: str = meter.R45_LIST) -> MeterFound:
    """These parts are in the list, and one of them gave these readings."""
    if listed:
        folders.reference_parts.write_text(listed, encoding="utf-8")
    record = None if shown is None else meter.record(shown)
    return MeterFound(folders.reference_parts, *all_reference_parts(folders), record=record)


def offered(scene: MeterScene) -> set[MeterAct]:
    return {act for act, offer in scene.actions.items() if offer.offered}


def test_until_it_is_looked_up_it_says_so() -> None:
    scene = meter_scene(VIEW, None, 0)
    assert (scene.state, scene.next_step) == (MeterSceneState.LOOKING, "One moment…")


def test_without_a_list_it_teaches_what_stands_in_one(folders: Folders) -> None:
    scene = meter_scene(VIEW, found(folders, listed=""), 0)
    assert scene.state is MeterSceneState.NO_PART and str(folders.reference_parts) in scene.why
    assert scene.next_step == "A adds a part whose value is known"
    assert offered(scene) == {MeterAct.ADD, MeterAct.BACK} and scene.actions[MeterAct.ADD].primary
    example = scene.why.partition("\n\n")[2]
    folders.reference_parts.write_text(example, encoding="utf-8")
    (part,), errors = read_reference_parts(folders.reference_parts)
    assert (part.name, errors) == ("R45", ())


def test_a_part_that_was_never_read_is_read_with_the_meter_of_the_bench(folders: Folders) -> None:
    scene = meter_scene(VIEW, found(folders), 1)
    assert (scene.state, scene.answer) == (MeterSceneState.NOT_READ, "Not read with this meter yet")
    assert scene.next_step == "Return reads R7.5: have it at hand"
    assert scene.history is None and scene.offered == ""
    command = scene.actions[MeterAct.READ].command
    assert isinstance(command, BeginCheck)
    assert (command.part, command.channel, command.accuracy) == (
        "R7.5",
        "capacitor",
        meter.ACCURACY,
    )
    assert scene.actions[MeterAct.BIAS].why_not == "There is no bias that may be taken off."


def test_the_history_is_told_in_words(folders: Folders) -> None:
    scene = meter_scene(VIEW, found(folders, meter.AGREEING), 0)
    assert (scene.state, scene.answer) == (MeterSceneState.READ, "The meter agrees.")
    assert scene.history is not None
    assert scene.chart.startswith("9 readings; limits: ")
    assert scene.meter.startswith("Bench meter (0403:6001:A1)")
    assert scene.lines[0].tone == "good" and scene.lines[1].tone == "faint_ink"
    assert "cannot be told from zero" in scene.offered and not scene.takes_off
    assert MeterAct.BIAS not in offered(scene)


def test_one_reading_is_counted_as_one(folders: Folders) -> None:
    scene = meter_scene(VIEW, found(folders, ("45.50",)), 0)
    assert scene.chart.startswith("1 reading; ") and "One reading is too few" in scene.offered


def test_a_part_that_is_in_the_list_no_more_keeps_its_history_and_is_not_read(
    folders: Folders,
) -> None:
    scene = meter_scene(VIEW, found(folders, meter.AGREEING, listed=""), 0)
    assert "in the list no more" in scene.lines[0].words and scene.history is not None
    assert scene.next_step == "Choose a part with the arrow keys"
    assert "in the list no more" in scene.actions[MeterAct.READ].why_not


def test_numbers_have_the_persons_decimal_sign(folders: Folders) -> None:
    comma = replace(VIEW, presentation=Presentation(decimal_sign=","))
    scene = meter_scene(comma, found(folders, meter.STEADY), 0)
    told = (scene.why, scene.chart, scene.bias)
    assert all("," in words and "45.5" not in words for words in told)
    assert "45 µF ±0,05 µF" in scene.lines[0].words


def test_a_clear_bias_is_offered_and_taken_off_by_its_key(folders: Folders) -> None:
    """The mean of the last 8 of STEADY is 45.50375: 0.504 µF too much, rounded to a tenth of the
    meter's last digit of 0.01 µF (CALC)."""
    scene = meter_scene(VIEW, found(folders, meter.STEADY), 0)
    bias = scene.actions[MeterAct.BIAS]
    assert scene.answer == "The meter is off." and scene.next_step.startswith("X takes the bias")
    assert bias.title == "Take the bias off" and bias.notice is not None
    assert isinstance(bias.command, AcceptBias)
    assert (bias.command.channel, bias.command.bias_si) == (
        "capacitor",
        Decimal("0.504") * meter.MICRO,
    )
    assert bias.command.reference == meter.R45


def test_what_is_taken_off_is_said_and_can_be_put_back(folders: Folders) -> None:
    taking = replace(VIEW, biases=(meter.bias(),))
    scene = meter_scene(taking, found(folders, meter.STEADY), 0)
    assert "taken off, as a person accepted" in scene.offered and scene.takes_off
    bias = scene.actions[MeterAct.BIAS]
    assert bias.title == "Take nothing off any more" and isinstance(bias.command, AcceptBias)
    assert (bias.command.channel, bias.command.bias_si) == ("capacitor", 0)
    other = replace(VIEW, biases=(replace(meter.bias(), channel="dmm"),))
    assert not meter_scene(other, found(folders, meter.STEADY), 0).takes_off


def test_a_bias_that_is_unsteady_is_told_and_not_offered(folders: Folders) -> None:
    scene = meter_scene(VIEW, found(folders, meter.JUMPED), 0)
    assert "stands out" in scene.offered and MeterAct.BIAS not in offered(scene)


@pytest.mark.parametrize("activity", [Activity.REPLAY, Activity.ENDED])
def test_where_nothing_is_recorded_nothing_is_read_or_taken_off(
    folders: Folders, activity: Activity
) -> None:
    scene = meter_scene(replace(VIEW, activity=activity), found(folders, meter.STEADY), 0)
    assert offered(scene) == {MeterAct.ADD, MeterAct.BACK}
    assert scene.actions[MeterAct.READ].why_not.startswith("Nothing is being recorded")


def test_a_value_of_a_later_day_is_not_read_and_says_so(folders: Folders) -> None:
    scene = meter_scene(replace(VIEW, today=date(2020, 1, 1)), found(folders), 0)
    read = scene.actions[MeterAct.READ]
    assert read.command is None and read.notice is not None and "R45" in str(read.notice)


def test_what_is_late_is_told_of_meter_and_part(folders: Folders) -> None:
    late = replace(VIEW, setup=meter.due_setup(date(2026, 1, 1)))
    scene = meter_scene(late, found(folders), 0)
    assert scene.late and "2026-01-01" in scene.meter
    assert not meter_scene(VIEW, found(folders), 0).late


def test_a_part_that_cannot_be_used_is_told_and_the_others_can(folders: Folders) -> None:
    scene = meter_scene(VIEW, found(folders, listed=meter.R45_LIST.replace("7.502 µF", "7.502")), 0)
    (fault,) = scene.faults
    assert "R7.5" in fault and "has no unit" in fault
    assert len(scene.lines) == 1 and MeterAct.READ in offered(scene)


def test_while_a_part_is_being_written_that_is_said_next(folders: Folders) -> None:
    scene = meter_scene(VIEW, found(folders), 0, writing=True)
    assert scene.state is MeterSceneState.WRITING
    assert scene.next_step == "Type what its certificate says, then Return"


def test_the_part_that_was_looked_at_stays_chosen(folders: Folders) -> None:
    assert kept_part(found(folders), "R7.5") == 1
    assert kept_part(found(folders), "gone") == 0
