"""Serial links as a source, on real ptys: what comes, what does not, and what a pull does."""

import os
import threading
import time
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

import pytest
from serial.tools.list_ports_common import ListPortInfo

from benchmeter.errors import InputError
from benchmeter.links.ports.serial_port import PortSettings, SerialPort
from benchmeter.links.ports.serial_source import SerialLink, SerialSource
from benchmeter.links.ports.source import SILENCE_NS, Conversation
from benchmeter.readings.inputs import Chunk, ClockAnchor, LinkChange
from tests.fakes.refusals import advised, refused, said
from tests.links.ports.ptys import Listener, PtyInstrument
from tests.links.ports.talks import Asking, Faulty


@pytest.fixture
def line(tmp_path: Path) -> Iterator[PtyInstrument]:
    made = PtyInstrument(tmp_path / "meter")
    yield made
    if made.path.is_symlink():
        made.unplug()


def link(
    line: PtyInstrument, conversation: Conversation | None = None, **settings: int
) -> SerialLink:
    return SerialLink("meter", str(line.path), PortSettings(**settings), conversation)


def usb_port(
    device: str, serial: str | None, location: str = "1-1", product: int = 0x6001
) -> ListPortInfo:
    port = ListPortInfo(device)
    port.vid, port.pid = 0x0403, product
    port.serial_number, port.location = serial, location
    return port


class Ports(list[ListPortInfo]):
    """The ports of a system, and how often it was asked for them."""

    def __init__(self, *ports: ListPortInfo) -> None:
        super().__init__(ports)
        self.asked = 0

    def __call__(self) -> "Ports":
        self.asked += 1
        return self

    def wait_asked(self, heard: Listener, times: int) -> None:
        heard.wait_for(lambda until=self.asked + times: self.asked >= until)


def test_the_stream_begins_with_the_wall_clock_and_the_opened_link(line: PtyInstrument) -> None:
    with Listener(SerialSource([link(line)], utc_us=lambda: 1_800_000_000_000_000)) as heard:
        heard.wait_up()
        line.send(b"44.1 uF\r\n")
        heard.wait_for(lambda: heard.data("meter") == b"44.1 uF\r\n")
    anchor = heard.items[0]
    assert isinstance(anchor, ClockAnchor)
    assert anchor.time_ns == 0
    assert abs(anchor.utc_us - 1_800_000_000_000_000) < 1_000_000
    assert heard.items[1] == LinkChange(time_ns=heard.items[1].time_ns, link="meter", up=True)


def test_bytes_are_stamped_when_they_arrive(line: PtyInstrument) -> None:
    source = SerialSource([link(line)])
    with Listener(source) as heard:
        heard.wait_up()
        before = time.monotonic_ns() - source.start_ns
        line.send(b"x")
        heard.wait_for(lambda: heard.data("meter"))
        after = time.monotonic_ns() - source.start_ns
    stamp = next(i.time_ns for i in heard.items if isinstance(i, Chunk) and i.data)
    assert before <= stamp <= after


def test_half_a_frame_is_handed_on_as_it_came(line: PtyInstrument) -> None:
    """Cutting frames is the decoder's business: the source neither waits nor joins."""
    with Listener(SerialSource([link(line)])) as heard:
        heard.wait_up()
        line.send(b"12.3")
        heard.wait_for(lambda: heard.silences("meter"))
        line.send(b"4\n")
        heard.wait_for(lambda: heard.data("meter") == b"12.34\n")
    with_data = [i.data for i in heard.items if isinstance(i, Chunk) and i.data]
    assert with_data == [b"12.3", b"4\n"]


def test_silence_is_an_empty_chunk_each_quarter_of_a_second(line: PtyInstrument) -> None:
    with Listener(SerialSource([link(line)])) as heard:
        heard.wait_up()
        heard.wait_for(lambda: len(heard.silences("meter")) >= 4)
    for one, next_one in pairwise(heard.silences("meter")):
        assert SILENCE_NS <= next_one.time_ns - one.time_ns < 2 * SILENCE_NS + 500_000_000
    assert all(c.up for c in heard.changes()), "a silent port stays open"


def test_there_is_no_silence_while_bytes_come(line: PtyInstrument) -> None:
    with Listener(SerialSource([link(line)])) as heard:
        heard.wait_up()
        for _ in range(12):
            line.send(b".")
            time.sleep(0.05)
        assert heard.silences("meter") == []


def test_a_pulled_plug_is_told_and_the_link_comes_back_under_its_path(line: PtyInstrument) -> None:
    talk = Asking(b"READ?\n")
    with Listener(SerialSource([link(line, talk)])) as heard:
        heard.wait_up()
        line.send(b"1\n")
        heard.wait_for(lambda: heard.data("meter") == b"1\n")
        line.unplug()
        heard.wait_down()
        line.plug()
        heard.wait_up(2)
        assert line.hear(6) == b"READ?\n", "the talk begins anew"
        line.send(b"2\n")
        heard.wait_for(lambda: heard.data("meter") == b"1\n2\n")
    up, down, again = heard.changes()
    assert (up.up, down.up, again.up) == (True, False, True)
    assert "unplugged, or another program reads it too" in said(down.reason)
    assert "Plug it in again" in advised(down.reason)
    assert len(talk.restarts) == 2


def test_a_link_that_is_not_there_is_told_once_tried_again_and_never_silent(
    line: PtyInstrument, tmp_path: Path
) -> None:
    """A silence on a lost link would make it look connected; another link tells the time."""
    path = tmp_path / "later"
    with Listener(SerialSource([link(line), SerialLink("later", str(path))])) as heard:

        def time_passes() -> None:
            seen = len(heard.silences("meter"))
            heard.wait_for(lambda: len(heard.silences("meter")) >= seen + 3)

        heard.wait_up()
        heard.wait_down()
        time_passes()
        assert len(heard.changes()) == 2
        later = PtyInstrument(path)
        heard.wait_up(2)
        later.unplug()
        heard.wait_down(2)
        time_passes()
        later.plug()
        heard.wait_up(3)
    later.unplug()
    of_it = [i for i in heard.items if getattr(i, "link", "") == "later"]
    at = [n for n, i in enumerate(of_it) if isinstance(i, LinkChange)]
    assert [of_it[n].up for n in at] == [False, True, False, True]
    assert (at[1], at[3]) == (1, at[2] + 1)
    assert "There is no port" in said(of_it[0].reason)


def test_a_busy_port_is_told_and_taken_when_it_is_free(line: PtyInstrument) -> None:
    other = SerialPort(str(line.path), PortSettings())
    with Listener(SerialSource([link(line)])) as heard:
        heard.wait_down()
        other.close()
        heard.wait_up()
    assert "another program" in said(heard.changes()[0].reason)
    assert "Close the other program" in advised(heard.changes()[0].reason)


def test_what_is_sent_is_recorded_before_its_answer(line: PtyInstrument) -> None:
    with Listener(SerialSource([link(line, Asking(b"READ?\n", ends=b"\n"))])) as heard:
        for answer in (b"1\n", b"2\n", b"3\n"):
            assert line.hear(6) == b"READ?\n"
            line.send(answer)
        assert line.hear(6) == b"READ?\n"
    talk = [(i.sent, i.data) for i in heard.items if isinstance(i, Chunk) and i.data]
    assert talk[:6] == [
        (sent, d) for a in (b"1\n", b"2\n", b"3\n") for sent, d in ((True, b"READ?\n"), (False, a))
    ]


def test_closing_says_farewell_and_records_it(line: PtyInstrument) -> None:
    with Listener(SerialSource([link(line, Asking(b"READ?\n"))])) as heard:
        assert line.hear(6) == b"READ?\n"
        heard.source.close()
        assert line.hear(4) == b"BYE\n"
        heard.wait_for(lambda: heard.ended)
    assert heard.data("meter", sent=True) == b"READ?\nBYE\n"
    assert not [c for c in heard.changes() if not c.up], "closing is no loss"


def test_a_flood_is_held_back_and_nothing_of_it_is_lost(line: PtyInstrument) -> None:
    flood = b"".join(b"%07d\n" % n for n in range(250_000))  # 2 MB, each line its own
    with Listener(SerialSource([link(line)])) as heard:
        heard.wait_up()
        heard.hold.clear()  # the consumer stands still, as on a full disk
        writer = threading.Thread(target=line.send, args=(flood,))
        writer.start()
        time.sleep(0.3)
        heard.hold.set()
        heard.wait_for(lambda: len(heard.items) > 100)
        writer.join(20)
        heard.wait_for(
            lambda: (
                sum(len(i.data) for i in tuple(heard.items) if isinstance(i, Chunk)) >= len(flood)
            )
        )
    assert heard.data("meter") == flood
    assert max(len(i.data) for i in heard.items if isinstance(i, Chunk)) <= 4096


def test_the_queue_holds_the_port_back_when_nobody_takes(line: PtyInstrument) -> None:
    source = SerialSource([link(line)])
    stream = source.inputs()
    next(stream)
    os.set_blocking(line.master, False)
    pushed, until = 0, time.monotonic() + 10
    while time.monotonic() < until:
        try:
            pushed += os.write(line.master, b"x")
            time.sleep(0)
        except BlockingIOError:
            time.sleep(0.2)  # is it only slow, or is it held back?
            try:
                pushed += os.write(line.master, b"x")
            except BlockingIOError:
                break
    else:
        pytest.fail(f"{pushed} bytes were taken and nobody consumed any")
    begin = time.monotonic()
    source.close()
    assert time.monotonic() - begin < 0.5
    assert sum(1 for _ in stream) <= 1100


def test_closing_ends_the_stream_within_half_a_second(line: PtyInstrument) -> None:
    with Listener(SerialSource([link(line, settle_ms=60_000)])) as heard:
        heard.wait_for(lambda: heard.items)
        begin = time.monotonic()
        heard.source.close()
        heard.wait_for(lambda: heard.ended)
        assert time.monotonic() - begin < 0.5
    assert not [t for t in threading.enumerate() if t.name.startswith("serial")]


def test_closing_does_not_wait_for_an_instrument_that_takes_nothing(line: PtyInstrument) -> None:
    with Listener(SerialSource([link(line, Asking(bytes(200_000)))])) as heard:
        heard.wait_for(lambda: heard.items)
        begin = time.monotonic()
        heard.source.close()
        heard.wait_for(lambda: heard.ended)
        assert time.monotonic() - begin < 0.5


def test_a_source_closed_before_it_begins_gives_nothing(line: PtyInstrument) -> None:
    source = SerialSource([link(line)])
    source.close()
    assert list(source.inputs()) == []


def test_leaving_the_stream_half_way_ends_the_threads(line: PtyInstrument) -> None:
    for item in SerialSource([link(line)]).inputs():
        if isinstance(item, LinkChange):
            break
    deadline = time.monotonic() + 1
    while [t for t in threading.enumerate() if t.name.startswith("serial")]:
        assert time.monotonic() < deadline
        time.sleep(0.01)


def test_the_wall_clock_is_anchored_once_a_minute(line: PtyInstrument) -> None:
    """On clocks that run 600 times as fast; the wall clock is an hour ahead from the start."""
    begin = time.monotonic_ns()

    def fast_ns() -> int:
        return (time.monotonic_ns() - begin) * 600

    source = SerialSource(
        [link(line)], monotonic_ns=fast_ns, utc_us=lambda: fast_ns() // 1000 + 3_600_000_000
    )
    with Listener(source) as heard:
        heard.wait_for(lambda: sum(isinstance(i, ClockAnchor) for i in tuple(heard.items)) >= 5)
    anchors = [i for i in heard.items if isinstance(i, ClockAnchor)]
    for number, anchor in enumerate(anchors):
        assert abs(anchor.time_ns - number * 60e9) < 30e9
        ahead_us = anchor.utc_us - (anchor.time_ns + source.start_ns) // 1000
        assert abs(ahead_us - 3_600_000_000) < 6_000_000


def test_times_never_decrease_over_several_links(tmp_path: Path) -> None:
    lines = [PtyInstrument(tmp_path / f"port{n}") for n in range(3)]
    links = [SerialLink(f"link {n}", str(line.path)) for n, line in enumerate(lines)]
    with Listener(SerialSource(links)) as heard:
        heard.wait_up(3)
        for number in range(200):
            for line in lines:
                line.send(b"%d\n" % number)
        expected = b"".join(b"%d\n" % number for number in range(200))
        for each in links:
            heard.wait_for(lambda name=each.name: heard.data(name) == expected)
    times = [i.time_ns for i in heard.items]
    assert times == sorted(times)
    for line in lines:
        line.unplug()


def test_one_lost_link_leaves_the_others_alone(tmp_path: Path) -> None:
    one, other = PtyInstrument(tmp_path / "one"), PtyInstrument(tmp_path / "other")
    links = [SerialLink("one", str(one.path)), SerialLink("other", str(other.path))]
    with Listener(SerialSource(links)) as heard:
        heard.wait_up(2)
        one.unplug()
        heard.wait_down()
        other.send(b"still here")
        heard.wait_for(lambda: heard.data("other") == b"still here")
    other.unplug()


def test_a_fault_of_ours_in_a_link_is_told_and_stops_no_other_one(
    line: PtyInstrument, tmp_path: Path
) -> None:
    """What came before the fault is recorded, and the link is opened anew."""
    other = PtyInstrument(tmp_path / "other")
    links = [link(line, Faulty(b"")), SerialLink("other", str(other.path))]
    with Listener(SerialSource(links)) as heard:
        heard.wait_for(lambda: len([c for c in heard.changes() if c.up]) == 2)
        line.send(b"x")
        heard.wait_down()
        other.send(b"still here")
        heard.wait_for(lambda: heard.data("other") == b"still here")
        heard.wait_for(lambda: len([c for c in heard.changes() if c.up]) == 3)
        line.send(b"y")
        heard.wait_for(lambda: heard.data("meter") == b"xy")
    [down, *_] = [c for c in heard.changes() if not c.up]
    assert down.link == "meter"
    assert down.reason is not None
    assert (down.reason.code, down.reason.parameters["fault"]) == (
        "links.fault_of_ours",
        "ZeroDivisionError",
    )
    other.unplug()


def test_an_adapter_is_found_again_under_another_name(line: PtyInstrument, tmp_path: Path) -> None:
    """ttyUSB0 pulled and plugged in again may be ttyUSB1."""
    listed = Ports(usb_port(line.device, "A50285BI"))
    given = SerialLink("meter", line.device)
    with Listener(SerialSource([given], ports=listed)) as heard:
        heard.wait_up()
        line.unplug()
        listed.clear()
        heard.wait_down()
        listed.wait_asked(heard, 1)
        moved = PtyInstrument(tmp_path / "moved")
        stranger = PtyInstrument(tmp_path / "stranger")
        listed[:] = [usb_port(stranger.device, "OTHER"), usb_port(moved.device, "A50285BI", "1-4")]
        heard.wait_up(2)
        moved.send(b"mine")
        heard.wait_for(lambda: heard.data("meter") == b"mine")
    assert {c.identity for c in heard.changes()} == {"0403:6001:A50285BI"}
    assert [c.up for c in heard.changes()] == [True, False, True], "a loss is told once"
    moved.unplug()
    stranger.unplug()


def test_another_adapter_on_the_old_path_is_not_recorded(line: PtyInstrument) -> None:
    """Its readings would stand under the wrong instrument's name."""
    listed = Ports(usb_port(line.device, "A50285BI"))
    with Listener(SerialSource([SerialLink("meter", line.device)], ports=listed)) as heard:
        heard.wait_up()
        listed[:] = [usb_port(line.device, "OTHER")]
        line.unplug()
        line.plug()  # the kernel gives the lowest free number again
        listed[:] = [usb_port(line.device, "OTHER")]
        heard.wait_down()
        line.send(b"someone else's")
        listed.wait_asked(heard, 3)
        assert heard.data("meter") == b""


def test_adapters_without_a_serial_number_are_told_apart_by_their_socket(
    line: PtyInstrument, tmp_path: Path
) -> None:
    listed = [usb_port(line.device, None, "1-1")]
    with Listener(SerialSource([SerialLink("meter", line.device)], ports=lambda: listed)) as heard:
        heard.wait_up()
        listed[:] = [usb_port(line.device, None, "1-2")]
        line.unplug()
        heard.wait_down(2)
        assert "another socket" in said(heard.changes()[2].reason)
        again = PtyInstrument(tmp_path / "again")
        listed[:] = [usb_port(again.device, None, "1-1")]
        heard.wait_up(2)
    again.unplug()


def test_a_link_in_the_file_system_is_followed_whatever_it_points_to(line: PtyInstrument) -> None:
    """/dev/serial/by-path names a socket on purpose; the identity told is what is in it now."""
    listed = [usb_port(line.device, "FIRST")]
    with Listener(SerialSource([link(line)], ports=lambda: listed)) as heard:
        heard.wait_up()
        line.unplug()
        heard.wait_down()
        keep, spare = os.openpty()  # so that the next pty has another name
        line.plug()
        listed[:] = [usb_port(line.device, "SECOND")]
        heard.wait_up(2)
        os.close(keep)
        os.close(spare)
    assert [c.identity for c in heard.changes() if c.up] == ["0403:6001:FIRST", "0403:6001:SECOND"]


def test_two_links_on_one_port_are_refused_at_once(line: PtyInstrument) -> None:
    with refused(InputError, match="both use the port"):
        SerialSource([SerialLink("a", str(line.path)), SerialLink("b", line.device)])
    with refused(InputError, match="called"):
        SerialSource([SerialLink("a", "/dev/ttyUSB0"), SerialLink("a", "/dev/ttyUSB1")])
