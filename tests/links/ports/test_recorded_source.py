"""A recorded session again: same inputs, same order, waits divided by the pace."""

import threading
import time

import pytest

from benchmeter.checking.commands import Mark, TakeReading
from benchmeter.links.ports.recorded import RecordedSource
from benchmeter.readings.inputs import Chunk, ClockAnchor, Input, LinkChange
from tests.links.ports.ptys import Listener

MS = 1_000_000


def chunk(at_ms: int, data: bytes = b"44.1\n", *, sent: bool = False) -> Chunk:
    return Chunk(time_ns=at_ms * MS, link="meter", data=data, sent=sent)


SESSION: list[Input] = [
    ClockAnchor(time_ns=0, utc_us=1),
    LinkChange(time_ns=0, link="meter", up=True),
    chunk(100, b"READ?\n", sent=True),
    chunk(120),
    chunk(370, b""),
    TakeReading(time_ns=400 * MS),
    chunk(500, b"44.2\n"),
    Mark(time_ns=600 * MS, text="fan starts"),
]


def test_every_input_comes_again_as_it_was() -> None:
    assert list(RecordedSource(SESSION, pace=None).inputs()) == SESSION


@pytest.mark.parametrize("pace", [1.0, 3.0, 100.0])
def test_no_input_comes_before_its_time(pace: float) -> None:
    begin = time.monotonic()
    for item in RecordedSource(SESSION, pace=pace).inputs():
        due_s = item.time_ns / 1e9 / pace
        assert time.monotonic() - begin >= due_s - 0.001, "never early"


def test_the_pace_divides_the_waits() -> None:
    """An hour at 36,000 times the pace ends long before the time limit of a test."""
    session = [*SESSION, chunk(3_600_000)]
    assert list(RecordedSource(session, pace=36_000).inputs()) == session


def test_a_pause_stops_the_stream_and_the_position() -> None:
    source = RecordedSource(SESSION, pace=1)
    with Listener(source) as heard:
        heard.wait_for(lambda: len(heard.items) == 4)
        source.pause()
        assert source.paused
        count, position = len(heard.items), source.position_ns
        time.sleep(0.3)
        assert (len(heard.items), source.position_ns) == (count, position)
        source.resume()
        heard.wait_for(lambda: heard.ended)
    assert heard.items == SESSION


def test_a_step_goes_to_the_next_received_data_and_stops_there() -> None:
    source = RecordedSource(SESSION)
    source.pause()
    with Listener(source) as heard:
        heard.wait_for(lambda: len(heard.items) == 2)  # what belongs to time 0
        source.step()
        heard.wait_for(lambda: len(heard.items) == 4)
        assert heard.items[-1] == chunk(120)
        assert source.position_ns == 120 * MS
        source.step()
        heard.wait_for(lambda: len(heard.items) == 7)
        assert heard.items[-1] == chunk(500, b"44.2\n")
        time.sleep(0.2)
        assert len(heard.items) == 7


def test_seeking_forward_gives_everything_up_to_there_at_once() -> None:
    source = RecordedSource([*SESSION, chunk(3_600_000)])
    source.pause()
    source.seek(500 * MS)
    with Listener(source) as heard:
        heard.wait_for(lambda: len(heard.items) == 7, 2)
        assert source.position_ns == 500 * MS
        source.seek(3_600_000 * MS)
        heard.wait_for(lambda: heard.ended, 2)
    assert heard.items == [*SESSION, chunk(3_600_000)]


def test_seeking_back_needs_a_new_source() -> None:
    source = RecordedSource(SESSION, pace=None)
    stream = source.inputs()
    for _ in range(7):
        next(stream)
    assert not source.seek(100 * MS)
    assert source.seek(500 * MS)  # where it is already: no way back
    assert list(stream) == SESSION[7:]


def test_changing_the_pace_does_not_make_the_position_jump() -> None:
    source = RecordedSource([*SESSION, chunk(60_000)], pace=1)
    with Listener(source) as heard:
        heard.wait_for(lambda: len(heard.items) == 8)
        before = source.position_ns
        source.set_pace(2)
        assert source.pace == 2
        assert before <= source.position_ns < before + 200 * MS
        source.set_pace(None)
        heard.wait_for(lambda: heard.ended, 2)


def test_the_position_stays_within_the_session() -> None:
    source = RecordedSource(SESSION, pace=100)
    assert (source.position_ns, source.length_ns) == (0, 600 * MS)
    time.sleep(0.02)
    assert source.position_ns == 0, "it does not begin before it is consumed"
    list(source.inputs())
    time.sleep(0.02)
    assert source.position_ns == 600 * MS


def test_inputs_may_come_from_a_stream_of_known_length() -> None:
    source = RecordedSource(iter(SESSION), pace=None, length_ns=600 * MS)
    assert source.length_ns == 600 * MS
    assert list(source.inputs()) == SESSION


@pytest.mark.parametrize("paused", [True, False])
def test_closing_from_another_thread_ends_the_stream_at_once(paused: bool) -> None:
    source = RecordedSource([chunk(3_600_000)])
    if paused:
        source.pause()
    closer = threading.Timer(0.1, source.close)
    closer.start()
    assert list(source.inputs()) == []  # the chunk is an hour away
    closer.join()


@pytest.mark.parametrize("pace", [0, -1, float("nan"), float("inf")])
def test_a_pace_is_above_zero(pace: float) -> None:
    with pytest.raises(ValueError, match="pace"):
        RecordedSource(SESSION, pace=pace)
    with pytest.raises(ValueError, match="pace"):
        RecordedSource(SESSION).set_pace(pace)


def test_an_empty_record_ends_at_once() -> None:
    source = RecordedSource([])
    assert list(source.inputs()) == []
    assert source.length_ns == 0
