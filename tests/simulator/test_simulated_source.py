"""The simulated source itself: time, pieces, silence, plugs, hands. Its instruments are plain."""

import itertools
import threading
import time
from collections.abc import Sequence

import pytest

from benchmeter.checking.commands import Command, Mark
from benchmeter.errors import InputError
from benchmeter.links.ports.source import SILENCE_NS, Conversation, HandChoice, Hands, Source
from benchmeter.readings.inputs import Chunk, ClockAnchor, Input, LinkChange
from benchmeter.simulator.simulated_line import SimulatedLine, Unplugged
from benchmeter.simulator.simulated_source import HandStep, SimulatedSource
from tests.fakes.refusals import advised, refused
from tests.links.ports.talks import Asking

SECOND = 1_000_000_000
BYTE_NS = 10 * SECOND // 9600


class Lamp:
    """A world with one lamp."""

    def __init__(self) -> None:
        self.on = False
        self.switched: list[tuple[str, int]] = []

    def choices(self) -> tuple[HandChoice, ...]:
        return (
            HandChoice("lamp: on", "lamp", "Lamp on", self.on),
            HandChoice("lamp: off", "lamp", "Lamp off", not self.on),
        )

    def do(self, name: str, now_ns: int) -> None:
        self.on = name == "lamp: on"
        self.switched.append((name, now_ns))


class Teller:
    """Tells each second, by itself, whether the lamp is on."""

    def __init__(self, lamp: Lamp, words: bytes = b"the lamp is ") -> None:
        self._lamp = lamp
        self._words = words
        self._next_ns = SECOND // 2

    def hear(self, data: bytes, now_ns: int) -> None:
        pass

    def speak(self, now_ns: int) -> bytes:
        if now_ns < self._next_ns:
            return b""
        self._next_ns += SECOND
        return self._words + (b"on\n" if self._lamp.on else b"off\n")

    def wake_ns(self) -> int:
        return self._next_ns


class Answerer:
    """Answers each question after 20 ms."""

    def __init__(self) -> None:
        self.heard: list[tuple[int, bytes]] = []
        self._due_ns: int | None = None

    def hear(self, data: bytes, now_ns: int) -> None:
        self.heard.append((now_ns, data))
        self._due_ns = now_ns + SECOND // 50

    def speak(self, now_ns: int) -> bytes:
        if self._due_ns is None or now_ns < self._due_ns:
            return b""
        self._due_ns = None
        return b"answer\n"

    def wake_ns(self) -> int | None:
        return self._due_ns


class Quiet(Asking):
    """Asks nothing."""

    def __init__(self) -> None:
        super().__init__(b"")

    def due(self, now_ns: int) -> bytes:
        return b""

    def wake_ns(self) -> int | None:
        return None


def bench(
    lamp: Lamp | None = None,
    story: Sequence[HandStep | Command] | None = (),
    *,
    talk: Conversation | None = None,
    unplugged: tuple[Unplugged, ...] = (),
    words: bytes = b"the lamp is ",
    length_ns: int = 10 * SECOND,
    seed: int = 1,
    pace: float | None = None,
) -> SimulatedSource:
    lamp = lamp or Lamp()
    line = SimulatedLine("lamp", talk or Quiet(), Teller(lamp, words), BYTE_NS, "a lamp", unplugged)
    return SimulatedSource(
        [line],
        lamp,
        story,
        length_ns=length_ns,
        start_utc_us=1_700_000_000_000_000,
        seed=seed,
        pace=pace,
    )


def received(items: Sequence[Input]) -> list[Chunk]:
    return [i for i in items if isinstance(i, Chunk) and not i.sent]


def test_it_is_a_source_with_hands() -> None:
    source: Source = bench()
    hands: Hands = bench()
    assert source and hands


def test_times_never_fall_and_the_stream_ends_with_the_story() -> None:
    times = [item.time_ns for item in bench().inputs()]
    assert times == sorted(times)
    assert times[-1] <= 10 * SECOND


def test_the_same_seed_gives_the_same_stream_and_another_one_cuts_elsewhere() -> None:
    words = b"a long sentence about a lamp, so that it does not arrive in one piece: "
    first, again, other = (list(bench(words=words, seed=s).inputs()) for s in (1, 1, 2))
    assert first == again
    assert first != other
    assert b"".join(c.data for c in received(first)) == b"".join(c.data for c in received(other))


def test_the_pace_does_not_change_the_stream() -> None:
    story = [HandStep(SECOND, "lamp: on"), Mark(time_ns=2 * SECOND, text="seen")]
    fast = list(bench(story=story, length_ns=3 * SECOND).inputs())
    paced = list(bench(story=story, length_ns=3 * SECOND, pace=20.0).inputs())
    assert fast == paced


def test_bytes_take_the_time_of_the_line_and_come_in_pieces_of_10_to_16_ms() -> None:
    # 10 bits a byte at 9600 bit/s: 1.0417 ms a byte (arithmetic).
    words = b"x" * 60
    chunks = [c for c in received(list(bench(words=words).inputs())) if c.data]
    line = chunks[: next(i for i, c in enumerate(chunks) if c.data.endswith(b"\n")) + 1]
    assert len(line) > 3
    assert all(len(c.data) * BYTE_NS <= 16_000_000 for c in line)
    assert line[-1].time_ns == SECOND // 2 + 64 * BYTE_NS


def test_silence_is_an_empty_chunk_each_quarter_of_a_second() -> None:
    items = received(list(bench(length_ns=3 * SECOND).inputs()))
    for before, after in itertools.pairwise(items):
        assert after.time_ns - before.time_ns <= SILENCE_NS
        if not after.data:
            assert after.time_ns - before.time_ns == SILENCE_NS
    assert items[0] == Chunk(time_ns=SILENCE_NS, link="lamp", data=b"")


def test_the_wall_clock_stands_beside_at_the_start_and_each_minute() -> None:
    items = list(bench(length_ns=150 * SECOND).inputs())
    anchors = [i for i in items if isinstance(i, ClockAnchor)]
    assert [a.time_ns for a in anchors] == [0, 60 * SECOND, 120 * SECOND]
    assert all(a.utc_us - a.time_ns // 1000 == 1_700_000_000_000_000 for a in anchors)
    assert items[0] is anchors[0]


def test_a_question_takes_time_on_the_wire_and_stands_in_the_stream_before_its_answer() -> None:
    answerer = Answerer()
    line = SimulatedLine("meter", Asking(b"READ?\n", ends=b"\n"), answerer, BYTE_NS)
    source = SimulatedSource([line], Lamp(), (), length_ns=SECOND, start_utc_us=0, pace=None)
    chunks = [i for i in source.inputs() if isinstance(i, Chunk)]
    assert chunks[0] == Chunk(time_ns=0, link="meter", data=b"READ?\n", sent=True)
    assert answerer.heard[0] == (6 * BYTE_NS, b"READ?\n")
    assert chunks[1] == Chunk(
        time_ns=6 * BYTE_NS + SECOND // 50 + 7 * BYTE_NS, link="meter", data=b"answer\n"
    )
    assert chunks[-1] == Chunk(time_ns=SECOND, link="meter", data=b"BYE\n", sent=True)


def test_a_pulled_plug_is_told_nothing_comes_and_the_talk_begins_anew() -> None:
    talk = Quiet()
    out = Unplugged(2 * SECOND, 5 * SECOND)
    items = list(bench(talk=talk, unplugged=(out,)).inputs())
    changes = [i for i in items if isinstance(i, LinkChange)]
    assert [(c.time_ns, c.up) for c in changes] == [
        (0, True),
        (2 * SECOND, False),
        (5 * SECOND, True),
    ]
    assert changes[1].reason is not None and advised(changes[1].reason)
    assert not [c for c in received(items) if out.from_ns <= c.time_ns < out.until_ns]
    assert talk.restarts == [0, 5 * SECOND]


def test_what_is_on_the_wire_when_the_plug_goes_in_comes_without_its_beginning() -> None:
    words = b"0123456789" * 10
    replugged = Unplugged(SECOND // 4, SECOND // 2 + 50 * BYTE_NS)
    chunks = received(list(bench(words=words, unplugged=(replugged,)).inputs()))
    heard = b"".join(c.data for c in chunks if c.time_ns < SECOND)
    whole = words + b"off\n"
    assert heard and heard != whole and whole.endswith(heard)


def test_a_link_may_be_out_from_the_start() -> None:
    items = list(bench(unplugged=(Unplugged(0, SECOND),)).inputs())
    changes = [(i.time_ns, i.up) for i in items if isinstance(i, LinkChange)]
    assert changes == [(0, False), (SECOND, True)]


def test_the_story_acts_and_speaks_at_its_times() -> None:
    lamp = Lamp()
    mark = Mark(time_ns=3 * SECOND, text="lamp on")
    items = list(bench(lamp, [HandStep(2 * SECOND, "lamp: on"), mark]).inputs())
    assert lamp.switched == [("lamp: on", 2 * SECOND)]
    assert mark in items
    said = b"".join(c.data for c in received(items)).splitlines()
    assert said[:4] == [b"the lamp is off"] * 2 + [b"the lamp is on"] * 2


def test_hands_end_the_story_and_the_stream_goes_on() -> None:
    lamp = Lamp()
    source = bench(lamp, [HandStep(5 * SECOND, "lamp: off"), Mark(time_ns=6 * SECOND, text="no")])
    items: list[Input] = []
    assert source.story_plays()
    for item in source.inputs():
        items.append(item)
        if item.time_ns >= 2 * SECOND and not lamp.switched:
            source.do("lamp: on")
            assert not source.story_plays()
        if item.time_ns >= 15 * SECOND:
            source.close()
    assert [name for name, _ in lamp.switched] == ["lamp: on"]
    assert not [i for i in items if isinstance(i, Mark)]
    assert items[-1].time_ns >= 15 * SECOND


def test_the_same_hands_at_the_same_times_give_the_same_stream() -> None:
    def run() -> list[Input]:
        lamp, items = Lamp(), list[Input]()
        source = bench(lamp)
        for item in source.inputs():
            items.append(item)
            if len(items) == 25:
                source.do("lamp: on")
            if len(items) == 60:
                source.close()
        return items

    assert run() == run()


def test_without_a_story_the_hands_are_the_users_from_the_start() -> None:
    source = bench(story=None)
    assert not source.story_plays()
    last = 0
    for item in source.inputs():
        last = item.time_ns
        if last > 20 * SECOND:
            source.close()
    assert last > 20 * SECOND


def test_what_hands_cannot_do_is_refused_and_the_story_plays_on() -> None:
    source = bench()
    with refused(InputError, match="lamp: blue"):
        source.do("lamp: blue")
    assert source.story_plays()


def test_hands_take_effect_at_the_current_simulated_time() -> None:
    lamp = Lamp()
    source = bench(lamp, pace=1.0)
    taken: list[Input] = []
    thread = threading.Thread(target=lambda: taken.extend(source.inputs()))
    begun = time.monotonic()
    thread.start()
    time.sleep(0.35)
    asked_s = time.monotonic() - begun
    source.do("lamp: on")
    time.sleep(0.1)
    source.close()
    thread.join(2)
    ((_, done_ns),) = lamp.switched
    assert asked_s - 0.2 < done_ns / 1e9 < asked_s + 0.2


@pytest.mark.parametrize("pace", [0.01, 1.0, None])
def test_close_ends_the_stream_within_half_a_second(pace: float | None) -> None:
    source = bench(story=None, pace=pace)
    thread = threading.Thread(target=lambda: [None for _ in source.inputs()])
    thread.start()
    time.sleep(0.1)
    begun = time.monotonic()
    source.close()
    thread.join(2)
    assert not thread.is_alive()
    assert time.monotonic() - begun < 0.5
    assert not source.story_plays()


def test_a_pace_of_ten_takes_a_tenth_of_the_time() -> None:
    begun = time.monotonic()
    list(bench(length_ns=4 * SECOND, pace=10.0).inputs())
    assert 0.39 < time.monotonic() - begun < 1.0


def test_a_pace_must_be_positive() -> None:
    with pytest.raises(ValueError, match="pace"):
        bench(pace=0.0)


def test_a_source_that_was_closed_before_it_began_says_hello_and_goodbye() -> None:
    source = bench()
    source.close()
    items = list(source.inputs())
    assert [type(item) for item in items] == [ClockAnchor, LinkChange, Chunk]
    assert {item.time_ns for item in items} == {0}
