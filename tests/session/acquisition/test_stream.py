"""Gaps, staleness and clock steps of a channel. The rules are our own (design: never a joined line).

A reading is stale after 3 s, or after 4 of the channel's own intervals, 30 s at most.
"""

from pathlib import Path

import pytest

from benchmeter.errors import Message
from benchmeter.files.folders import Folders
from benchmeter.links.instruments.profiles import load_profile
from benchmeter.links.instruments.setup import BenchSetup, ChannelSetup, LinkSetup, Role
from benchmeter.readings.channel_status import ChannelStatus
from benchmeter.readings.events import Event, EventKind
from benchmeter.readings.inputs import Chunk, ClockAnchor, Input, LinkChange
from benchmeter.readings.status import Status
from benchmeter.session.acquisition.acquisition import Acquisition
from benchmeter.session.acquisition.channel_state import Batch

SECOND = 1_000_000_000
LINE = b"T1=20.0C T2=20.0C\r\n"


def ns(seconds: float) -> int:
    return round(seconds * SECOND)


def line(seconds: float, data: bytes = LINE) -> Chunk:
    return Chunk(time_ns=ns(seconds), link="probe", data=data)


def silence(seconds: float) -> Chunk:
    return line(seconds, b"")


class Channel:
    """The channel "outdoor" of a text probe, silent at first so that its first line is whole."""

    def __init__(self) -> None:
        profile = load_profile("text-two-probes", Folders(Path("no such folder")))
        links = (LinkSetup(name="probe", address="serial:probe", profile=profile),)
        channel = ChannelSetup(name="outdoor", role=Role.OUTDOOR, link="probe", field="T1")
        self._acquisition = Acquisition(
            BenchSetup(origin="serial", links=links, channels=(channel,))
        )
        self.take(silence(0))

    def take(self, item: Input) -> Batch:
        return self._acquisition.take(item)

    def gaps(self, *items: Input) -> list[tuple[float, float]]:
        """Gaps that these give, from and until in seconds."""
        events: list[Event] = [e for item in items for e in self.take(item).events]
        return [
            (e.time_ns / SECOND, e.until_ns / SECOND)
            for e in events
            if e.kind is EventKind.GAP and e.until_ns is not None
        ]

    @property
    def state(self) -> ChannelStatus:
        return self._acquisition.states()[0].state


def test_three_seconds_are_no_gap_and_a_little_more_is_one() -> None:
    assert Channel().gaps(line(1), line(4)) == []
    assert Channel().gaps(line(1), line(4.1)) == [(1, 4.1)]


def test_a_reading_is_stale_after_three_seconds_of_silence() -> None:
    channel = Channel()
    channel.take(line(1))
    channel.take(silence(4))
    assert channel.state is ChannelStatus.MOVING
    pulses = channel.take(silence(4.1)).states
    assert [p.state for p in pulses] == [ChannelStatus.STALE]
    assert channel.take(silence(5)).states == ()  # told once


def test_a_slow_channel_has_no_gap_between_its_readings_once_its_pace_is_known() -> None:
    assert Channel().gaps(*(line(10 * n) for n in range(1, 8))) == [(10, 20)]


def test_one_hole_does_not_hide_the_next() -> None:
    lines = [line(n) for n in range(1, 6)]
    assert Channel().gaps(*lines, line(65), line(80)) == [(5, 65), (65, 80)]


def test_a_lost_link_tells_nothing_of_the_pace() -> None:
    channel = Channel()
    lost = LinkChange(
        time_ns=ns(2), link="probe", up=False, reason=Message("links.lost", {"port": "x"})
    )
    found = LinkChange(time_ns=ns(59), link="probe", up=True)
    gaps = channel.gaps(line(1), lost, found, silence(59.5), line(60), line(70))
    assert gaps == [(1, 60), (60, 70)]


def test_a_lost_link_found_again_within_a_second_is_a_gap_all_the_same() -> None:
    channel = Channel()
    channel.take(line(1))
    channel.take(
        LinkChange(
            time_ns=ns(1.2), link="probe", up=False, reason=Message("links.lost", {"port": "x"})
        )
    )
    assert channel.state is ChannelStatus.LOST
    channel.take(LinkChange(time_ns=ns(1.5), link="probe", up=True))
    assert channel.state is ChannelStatus.STALE
    assert channel.gaps(silence(1.8), line(2)) == [(1, 2)]


@pytest.mark.parametrize("jump_s", [-3600, 3600])
def test_after_a_clock_step_what_was_settled_is_stale_and_nothing_is_joined(jump_s: int) -> None:
    channel = Channel()
    channel.take(ClockAnchor(time_ns=0, utc_us=0))
    for n in range(1, 30):
        channel.take(line(n))
    assert channel.state is ChannelStatus.SETTLED
    step = channel.take(ClockAnchor(time_ns=ns(29.5), utc_us=29_500_000 + jump_s * 1_000_000))
    assert [(e.kind, e.number) for e in step.events] == [(EventKind.CLOCK_STEP, jump_s)]
    (pulse,) = step.states
    assert (pulse.state, pulse.window) == (ChannelStatus.STALE, ())
    assert channel.gaps(line(30)) == [(29, 30)]
    assert channel.state is ChannelStatus.MOVING


def test_clocks_that_part_by_less_than_two_seconds_are_no_step() -> None:
    channel = Channel()
    channel.take(ClockAnchor(time_ns=0, utc_us=0))
    channel.take(line(1))
    assert channel.take(ClockAnchor(time_ns=ns(2), utc_us=3_900_000)).events == ()
    assert channel.gaps(line(2)) == []


def test_two_readings_of_one_chunk_keep_their_order() -> None:
    batch = Channel().take(line(1, LINE + b"T1=21.0C T2=20.0C\r\n"))
    assert [(r.time_ns - SECOND, r.status) for r in batch.readings] == [
        (0, Status.OK),
        (1, Status.OK),
    ]
    assert [r.text.split()[0] for r in batch.readings] == ["20.0", "21.0"]


def test_dropped_bytes_are_told_at_once_and_then_counted_for_ten_seconds() -> None:
    channel = Channel()
    told = [[e.number for e in channel.take(line(n, b"nonsense\r\n")).events] for n in range(1, 13)]
    assert told == [[1.0], *[[]] * 9, [10.0], []]
