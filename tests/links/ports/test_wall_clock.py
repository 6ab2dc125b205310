"""When the wall clock is told (our own rule)."""

from benchmeter.links.ports.typed_source import TypedSource
from benchmeter.links.ports.wall_clock import WallClock

SECOND_NS = 1_000_000_000


class Clocks:
    """Two clocks that a test sets."""

    def __init__(self) -> None:
        self.now_ns = 0
        self.utc_us = 1_700_000_000_000_000

    def run(self, seconds: float) -> None:
        self.now_ns += round(seconds * 1e9)
        self.utc_us += round(seconds * 1e6)


def made() -> tuple[Clocks, WallClock]:
    clocks = Clocks()
    return clocks, WallClock(lambda: clocks.now_ns, lambda: clocks.utc_us)


def test_the_first_is_due_at_once_and_the_next_after_a_minute():
    clocks, wall = made()
    assert wall.due(0) is not None
    clocks.run(59.9)
    assert wall.due(clocks.now_ns) is None
    clocks.run(0.2)
    assert wall.due(clocks.now_ns) is not None


def test_a_sleep_is_told_at_once():
    clocks, wall = made()
    wall.due(0)
    clocks.run(10)
    clocks.utc_us += 3600 * 1_000_000
    anchor = wall.due(clocks.now_ns)
    assert anchor is not None
    assert anchor.utc_us == clocks.utc_us


def test_what_waited_in_the_queue_is_no_clock_step():
    clocks, wall = made()
    wall.due(0)
    clocks.run(5)
    arrived_ns = clocks.now_ns
    clocks.run(3)  # the stream is read late
    assert wall.due(arrived_ns) is None


def test_an_anchor_for_the_past_is_wound_back():
    clocks, wall = made()
    start_us = clocks.utc_us
    clocks.run(3)
    assert wall.anchor_at(SECOND_NS).utc_us == start_us + 1_000_000


def test_time_passes_in_a_session_of_typed_readings():
    source = TypedSource()
    stream = source.inputs()
    times = [next(stream).time_ns for _ in range(3)]
    source.close()
    assert times == sorted(times)
    assert 0.2e9 < times[1] - times[0] < 2e9
    assert list(stream) == []
