"""The promise of the house: a session judged today is judged the same in replay and recheck."""

import sqlite3
from pathlib import Path

import msgspec
import pytest

from benchmeter.errors import StoreDamaged
from benchmeter.files.folders import Folders
from benchmeter.readings.inputs import Chunk, Mark
from benchmeter.record.store import Store
from benchmeter.record.stored_stream import body_of, inputs_in, line_of
from benchmeter.session.outcome import Outcome
from benchmeter.tasks.opening import open_replay
from benchmeter.tasks.recheck import recheck
from tests.fakes.refusals import said
from tests.session.conftest import Played, play


def test_a_replayed_session_gives_the_same_outcomes_bit_for_bit(played: Played):
    again: list[Outcome] = []
    replay = open_replay(played.folders, played.store, played.session_id, again.append, pace=None)
    replay.start()
    assert replay.wait(60)
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
    assert "replay" in outcomes[0].notices[0].text


@pytest.fixture
def small(tmp_path: Path) -> tuple[Folders, str]:
    made = play(tmp_path / "data", "short-visit")
    made.store.close()
    return made.folders, made.session_id


def altered(folders: Folders, statement: str, change) -> None:
    with sqlite3.connect(folders.database) as connection:
        connection.create_function("altered", 1, change)
        connection.execute(statement)
    connection.close()


def found(folders: Folders, session_id: str) -> str:
    with Store.open(folders, write=False) as store:
        try:
            return str(recheck(store, session_id).differences)
        except StoreDamaged as error:
            return said(error)


def test_a_byte_changed_in_the_raw_record_is_found(small: tuple[Folders, str]):
    folders, session_id = small

    def change(body: bytes) -> bytes:
        inputs = list(inputs_in(body))
        at = next(
            i
            for i, x in enumerate(inputs)
            if isinstance(x, Chunk) and not x.sent and b"3" in x.data
        )
        inputs[at] = msgspec.structs.replace(inputs[at], data=inputs[at].data.replace(b"3", b"4"))
        return body_of(line_of(item) for item in inputs)

    altered(folders, "UPDATE raw_pack SET body = altered(body) WHERE first_input = 0", change)
    assert found(folders, session_id) != "()"


def test_a_stored_verdict_that_was_changed_is_found(small: tuple[Folders, str]):
    folders, session_id = small

    def change(body: bytes) -> bytes:
        part = msgspec.msgpack.decode(body)
        part["verdict"]["sections"][0]["verdict"] = "fail"
        return msgspec.msgpack.encode(part)

    altered(folders, "UPDATE verdict SET body = altered(body) WHERE kind = 'part'", change)
    assert found(folders, session_id) != "()"


def test_a_stored_sample_that_was_changed_is_found(small: tuple[Folders, str]):
    folders, session_id = small
    with sqlite3.connect(folders.database) as connection:
        name, body = connection.execute(
            "SELECT channel, body FROM sample_block WHERE channel = 'discharge'"
        ).fetchone()
        changed = bytes([*body[:-9], body[-9] ^ 1, *body[-8:]])
        connection.execute("UPDATE sample_block SET body = ? WHERE channel = ?", (changed, name))
    connection.close()
    assert found(folders, session_id) != "()"
