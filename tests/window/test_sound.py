"""Sound: the right rhythm for verdicts, lost links and readings that need hands."""

from dataclasses import replace

import pytest
from pytestqt.qtbot import QtBot

from benchmeter.checking.check import Step
from benchmeter.checking.safety import PartSafety
from benchmeter.conformity.verdict import Verdict
from benchmeter.session.acquisition.channel_state import ChannelStatus
from benchmeter.session.outcome import Outcome, Severity
from benchmeter.window.control.sound import Rhythm, found_charged, rhythm_of
from benchmeter.window.shell.window import Window
from benchmeter.words.notice_words import ToldNotice
from tests.fakes import bench_states as made
from tests.fakes.charge import left
from tests.fakes.outcomes import as_fact
from tests.fakes.window_acts import live, publish, rest

pytestmark = [pytest.mark.gui, pytest.mark.qt_log_ignore("propagateSizeHints")]


@pytest.fixture
def heard(window: Window) -> list[Rhythm]:
    window.controller.prefer(sound=True)
    rhythms: list[Rhythm] = []
    window.sound.began.connect(rhythms.append)
    return rhythms


@pytest.mark.parametrize(
    ("finding", "rhythm"),
    [
        ("good", Rhythm.GOOD),
        ("close", Rhythm.GOOD),
        ("close_bad", Rhythm.BAD),
        ("bad", Rhythm.BAD),
        ("open", Rhythm.BAD),
        ("shorted", Rhythm.BAD),
        ("undecided", Rhythm.LOOK),
        ("unread", Rhythm.LOOK),
    ],
)
def test_each_verdict_has_its_rhythm(
    qtbot: QtBot, window: Window, heard: list[Rhythm], finding: str, rhythm: Rhythm
) -> None:
    live(qtbot, window, made.bench_outcome(check=made.judged_check(made.FINDINGS[finding])))
    assert heard == [rhythm]


def test_the_rhythms_differ_by_their_beat_and_not_by_its_speed_alone() -> None:
    beats = {len(rhythm.value) for rhythm in Rhythm}
    assert len(beats) == len(Rhythm) == 3


def test_what_is_only_measured_is_no_bad_part() -> None:
    assert rhythm_of(Verdict.MEASURED) is Rhythm.LOOK
    assert {rhythm_of(word) for word in Verdict} == set(Rhythm)


def test_a_charge_is_told_once_until_it_has_gone() -> None:
    """Below 5 V it may be touched (common practice, no source)."""
    high, higher, low = (left(volts) for volts in (212.0, -212.0, 1.0))
    gone = left(None)
    assert found_charged(PartSafety(), high)
    assert not found_charged(high, higher)
    assert not found_charged(high, low)
    assert found_charged(low, high)
    assert found_charged(gone, high)
    assert not found_charged(low, gone)


def test_a_lost_link_asks_to_look(qtbot: QtBot, window: Window, heard: list[Rhythm]) -> None:
    lost = ToldNotice(Severity.ERROR, "The meter has stopped sending.", "Check the plug.")
    info = ToldNotice(Severity.INFO, "The meter is connected.")
    live(qtbot, window, Outcome(1, notices=(as_fact(info),)))
    assert heard == []
    publish(qtbot, window, Outcome(2, notices=(as_fact(lost),)))
    assert heard == [Rhythm.LOOK]


def test_a_section_taken_asks_to_move_the_leads(
    qtbot: QtBot, window: Window, heard: list[Rhythm]
) -> None:
    live(qtbot, window, made.bench_outcome(check=made.new_check()))
    publish(qtbot, window, made.bench_outcome(check=made.half_check(), at_s=21))
    assert heard == [Rhythm.LOOK]


@pytest.mark.parametrize(
    ("step", "wanted"),
    [
        (Step.HOLD, []),
        (Step.NOTHING_BETWEEN_LEADS, []),
        (Step.SET_FUNCTION, [Rhythm.LOOK]),
        (Step.OVERLOAD, [Rhythm.LOOK]),
        (Step.LOOKS_LIKE_OTHER_SECTION, [Rhythm.LOOK]),
        (Step.UNLIKELY, [Rhythm.LOOK]),
        (Step.METER_SILENT, [Rhythm.LOOK]),
        (Step.MAKE_SAFE, [Rhythm.LOOK]),
        (Step.LIFT_LEADS, [Rhythm.LOOK]),
        (Step.TYPE_IT, [Rhythm.LOOK]),
    ],
)
def test_what_hands_must_mend_is_heard_once(
    qtbot: QtBot, window: Window, heard: list[Rhythm], step: Step, wanted: list[Rhythm]
) -> None:
    check = made.new_check()
    live(qtbot, window, made.bench_outcome(check=check))
    stuck = replace(check, step=step)
    for at_s in (21, 22):
        publish(qtbot, window, made.bench_outcome(ChannelStatus.MOVING, stuck, at_s=at_s))
    assert heard == wanted


def test_with_sound_off_nothing_is_heard(qtbot: QtBot, window: Window, heard: list[Rhythm]) -> None:
    window.controller.prefer(sound=False)
    live(qtbot, window, made.bench_outcome(check=made.judged_check(made.FAN_BAD)))
    assert heard == []


def test_a_replay_is_silent(qtbot: QtBot, window: Window, heard: list[Rhythm]) -> None:
    window.controller.start_replay("0192")
    rest(qtbot, window)
    lost = ToldNotice(Severity.ERROR, "The meter has stopped sending.")
    publish(qtbot, window, made.bench_outcome(check=made.judged_check(made.FAN_BAD)))
    publish(qtbot, window, Outcome(30 * made.SECOND, notices=(as_fact(lost),)))
    assert heard == []
