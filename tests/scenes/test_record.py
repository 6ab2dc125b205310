"""The record without a window."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from benchmeter.record.records import LastVerdict, SessionState, SessionSummary, VerdictKind
from benchmeter.scenes.offer import LineKind
from benchmeter.scenes.record_scene import RecordAct, RecordScene, cut_off_words, record_scene
from benchmeter.words.presentation import Presentation

ENDED = SessionSummary(
    id="0192",
    name="",
    remark="came back twice",
    origin="serial",
    started=datetime(2026, 3, 1, 17, 5, tzinfo=UTC),
    zone="America/Chicago",
    duration_ns=125_000_000_000,
    state=SessionState.ENDED,
    removed=False,
    app_version="1",
    input_count=9,
    reading_count=7,
    event_count=2,
    verdict_count=1,
    findings=(
        LastVerdict(VerdictKind.PART, "old part", "fail"),
        LastVerdict(VerdictKind.PART, "new part", ""),
        LastVerdict(VerdictKind.RECOVERY, "", "settled, usual"),
        LastVerdict(VerdictKind.REFERENCE, "R45", "meter agrees"),
    ),
)
OPEN = replace(ENDED, id="0193", state=SessionState.OPEN, findings=())
CUT = replace(ENDED, id="0194", state=SessionState.CUT_OFF, name="Almond Row")
TELL = Presentation()


def shown(*sessions: SessionSummary, chosen: str = "", **more: Any) -> RecordScene:
    return record_scene(sessions, chosen, TELL, **more)


def offered(scene: RecordScene) -> set[RecordAct]:
    return {act for act, offer in scene.actions.items() if offer.offered}


def test_an_empty_record_teaches_how_to_fill_it() -> None:
    empty = shown(replace(ENDED, removed=True))
    assert empty.lines == () and empty.chosen == ""
    assert empty.about.startswith("Nothing is recorded yet.")
    assert empty.next_step.startswith("Record something first")
    assert offered(empty) == {RecordAct.FIND}
    assert empty.actions[RecordAct.REPLAY].why_not == "There is no session to do that with."


@pytest.mark.parametrize(
    ("session", "unfinished", "about", "said", "acts"),
    [
        (ENDED, False, "Closed. 7 readings, 2 events, America/Chicago", "Replay it with O", set(RecordAct) - {RecordAct.FINISH, RecordAct.UNDO}),
        (OPEN, False, "This session is being recorded.", "This session is being recorded; end it", {RecordAct.RENAME, RecordAct.REMARK, RecordAct.VISIT, RecordAct.FIND}),
        (CUT, True, "This session ended without close", "Replay it with O", set(RecordAct) - {RecordAct.UNDO}),
        (CUT, False, "This session ended without close", "Replay it with O", set(RecordAct) - {RecordAct.FINISH, RecordAct.UNDO}),
    ],
)  # fmt: skip
def test_each_state_of_a_session(
    session: SessionSummary, unfinished: bool, about: str, said: str, acts: set[RecordAct]
) -> None:
    scene = shown(session, unfinished={session.id} if unfinished else ())
    assert scene.about.startswith(about) and scene.next_step.startswith(said)
    assert scene.cautious is (session.state is SessionState.CUT_OFF)
    assert offered(scene) == acts
    assert scene.remark == "came back twice"


def test_what_is_being_recorded_says_why_it_is_not_replayed() -> None:
    assert shown(OPEN).actions[RecordAct.REPLAY].why_not == "This session is being recorded."


def test_the_lines_are_in_the_time_of_the_place() -> None:
    ended, cut = (line.words for line in shown(ENDED, CUT).lines)
    assert ended.startswith("2026-03-01  11:05   ·   2:05 min   ·   without a name   ·   ")
    assert "cut off" in cut and "Almond Row" in cut
    assert shown(OPEN).lines[0].words.endswith("no verdict")


def test_the_verdicts_are_told_one_a_line() -> None:
    assert shown(ENDED).findings.splitlines() == [
        "old part: fail",
        "new part: no verdict yet",
        "recovery: settled, usual",
        "R45: meter agrees",
    ]


def test_the_chosen_session_stays_chosen_while_it_is_there() -> None:
    assert shown(ENDED, CUT, chosen="0194").chosen == "0194"
    assert shown(ENDED, chosen="0194").chosen == "0192"


@pytest.mark.parametrize(
    ("act", "kind", "text", "file"),
    [
        (RecordAct.RENAME, LineKind.RENAME, "", False),
        (RecordAct.REMARK, LineKind.REMARK, "came back twice", False),
        (RecordAct.REPORT, LineKind.REPORT, "benchmeter-2026-03-01-1105.pdf", True),
        (RecordAct.TAGS, LineKind.TAGS, "benchmeter-2026-03-01-1105-tags.pdf", True),
    ],
)
def test_what_is_asked_for_first(act: RecordAct, kind: LineKind, text: str, file: bool) -> None:
    asked = shown(ENDED).actions[act].ask
    assert asked is not None
    assert (asked.kind, asked.text, asked.subject, asked.file) == (kind, text, "0192", file)


def test_an_edit_can_be_undone() -> None:
    assert shown(ENDED, can_undo=True).actions[RecordAct.UNDO].offered


def test_the_latest_session_that_was_cut_off_is_told() -> None:
    later = replace(CUT, id="0195", started=CUT.started + timedelta(days=1))
    assert cut_off_words((), TELL) == ("", "")
    session_id, words = cut_off_words((later, CUT), TELL)
    assert session_id == "0195" and "2026-03-02 11:05" in words
