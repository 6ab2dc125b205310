"""The promise of the house: a session judged today is judged the same in replay and recheck."""

from benchmeter.checking.commands import Mark
from benchmeter.session.outcome import Outcome
from benchmeter.tasks.opening import open_replay
from benchmeter.tasks.recheck import recheck
from tests.fakes.outcomes import notices_in
from tests.fakes.played import Played


def test_a_replayed_session_gives_the_same_outcomes_bit_for_bit(played: Played):
    again: list[Outcome] = []
    replay = open_replay(played.folders, played.store, played.session_id, again.append, pace=None)
    replay.start()
    assert replay.wait(170)
    assert again == played.outcomes


def test_a_recheck_finds_nothing_to_differ(played: Played):
    result = recheck(played.store, played.session_id)
    assert result.differences == ()
    assert result.readings == sum(len(o.readings) for o in played.outcomes)
    assert result.verdicts == sum(len(o.verdicts) for o in played.outcomes) > 0


def test_what_is_stored_is_what_was_read(played: Played):
    by_channel: dict[str, list[float]] = {}
    for outcome in played.outcomes:
        for reading in outcome.readings:
            if reading.value is not None:
                by_channel.setdefault(reading.channel, []).append(reading.value)
    for channel, values in by_channel.items():
        stored = played.store.samples(played.session_id, channel).value
        assert stored[stored == stored].tolist() == values


def test_a_replay_refuses_commands_with_a_notice(played: Played):
    outcomes: list[Outcome] = []
    replay = open_replay(
        played.folders, played.store, played.session_id, outcomes.append, pace=None
    )
    replay.send(Mark(time_ns=0, text="too late"))
    assert "replay" in notices_in(outcomes[0])[0]
