"""What a meter sends by itself is stored as it was sent, or not at all. The rules are our own.

A display frame has no check sum, and neither has a line: bytes that are lost without a pause, and
leave something that looks whole, cannot be told from it. So what is lost here leaves a gap in the
numbering of a frame, a pause, or the beginning of the first line.
"""

from dataclasses import dataclass

from hypothesis import given, settings
from hypothesis import strategies as st

from benchmeter.files.resources import resource
from benchmeter.links.instruments.profile import Profile
from benchmeter.links.instruments.profiles import read_profile
from benchmeter.links.instruments.setup import BenchSetup, ChannelSetup, LinkSetup, Role
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.inputs import Chunk
from benchmeter.session.acquisition.acquisition import Acquisition

MS = 1_000_000
SILENCE = b""
Shown = tuple[Quantity, str]

FRAMES: dict[bytes, Shown] = {
    bytes.fromhex(frame): shown
    for frame, shown in {
        # From the layout of segments, as in test_lcd14_decoder.py.
        "13 22 37 42 57 68 75 87 9D A8 B0 C8 D0 E0": (Quantity.CAPACITANCE, "44.10 µF"),
        "13 27 3D 45 5B 63 7E 8A 97 A0 B0 C0 D0 E1": (Quantity.TEMPERATURE, "025.4 °C"),
        "1B 25 3B 41 5F 67 7D 8B 9E A0 B0 C0 D4 E0": (Quantity.VOLTAGE_AC, "230.5 V AC"),
        "15 28 35 4D 5B 61 7F 82 97 A0 B0 C0 D4 E0": (Quantity.VOLTAGE_DC, "-1.234 V DC"),
    }.items()
}
SUFFIXES = {
    "uF": Quantity.CAPACITANCE,
    "VDC": Quantity.VOLTAGE_DC,
    "VAC": Quantity.VOLTAGE_AC,
    "kOhm": Quantity.RESISTANCE,
    "C": Quantity.TEMPERATURE,
}


@dataclass(frozen=True)
class Sent:
    """What comes of one frame or line: pieces, SILENCE between them, and what is whole in it."""

    pieces: tuple[bytes, ...]
    shown: tuple[Shown, ...]


@st.composite
def frames(draw: st.DrawFn) -> Sent:
    frame, shown = draw(st.sampled_from(list(FRAMES.items())))
    place = draw(st.integers(1, 13))
    noise = draw(st.binary(max_size=13))
    return draw(
        st.sampled_from(
            [
                Sent((frame,), (shown,)),
                Sent((SILENCE, frame), (shown,)),
                Sent((frame, frame, frame), (shown,) * 3),
                Sent((frame[:place], SILENCE, frame[place:]), ()),
                Sent((frame[:place],), ()),
                Sent((SILENCE, frame[place:]), ()),
                Sent((SILENCE, noise, frame), (shown,)),
            ]
        )
    )


@st.composite
def lines(draw: st.DrawFn) -> Sent:
    suffix = draw(st.sampled_from(list(SUFFIXES)))
    text = f"{draw(st.integers(0, 9999)) / 100:.2f} {suffix}"
    line, shown = text.encode() + b"\r\n", (SUFFIXES[suffix], text)
    place = draw(st.integers(1, len(text)))
    unasked = draw(st.sampled_from([b"READY\r\n", b"\r\n", b'-222,"no"\r\n', b"\xff\xfe\r\n"]))
    return draw(
        st.sampled_from(
            [
                Sent((line,), (shown,)),
                Sent((SILENCE, line), (shown,)),
                Sent((line, line, line), (shown,) * 3),
                Sent((line[:place], SILENCE, line[place:]), ()),
                Sent((line[:place], SILENCE), ()),
                Sent((unasked, line), (shown,)),
            ]
        )
    )


def stored(profile: str, pieces: list[bytes], cut: int) -> list[Shown]:
    """What a session stores, where each piece comes in chunks of `cut` bytes."""
    link = LinkSetup(name="link", address="simulated:meter", profile=_profile(profile))
    channel = ChannelSetup(name="meter", link="link", field="", role=Role.METER)
    acquisition = Acquisition(BenchSetup(origin="simulated", links=(link,), channels=(channel,)))
    found, now_ns = [], 0
    for piece in pieces:
        for start in range(0, max(len(piece), 1), cut):
            now_ns += (20 if piece else 250) * MS
            chunk = Chunk(time_ns=now_ns, link="link", data=piece[start : start + cut])
            found += acquisition.take(chunk).readings
    assert all(reading.channel == "meter" for reading in found)
    return [(r.shown.quantity, r.text) for r in found if r.shown.number is not None]


def _profile(name: str) -> Profile:
    return read_profile(resource(f"instruments/{name}.toml"))


def assert_in_order(part: list[Shown], whole: list[Shown]) -> None:
    rest = iter(whole)
    assert all(shown in rest for shown in part), "stored, and never shown"


@settings(max_examples=60)
@given(sent=st.lists(frames(), max_size=12), cut=st.integers(1, 20))
def test_a_display_is_stored_as_it_was_shown(sent: list[Sent], cut: int) -> None:
    found = stored("lcd-handheld", [piece for one in sent for piece in one.pieces], cut)
    assert_in_order(found, [shown for one in sent for shown in one.shown])
    last = next(iter(FRAMES))
    assert stored("lcd-handheld", [*(p for s in sent for p in s.pieces), SILENCE, last], cut)


@settings(max_examples=60)
@given(start=st.integers(0, 8), sent=st.lists(lines(), max_size=12), cut=st.integers(1, 20))
def test_a_line_is_stored_as_it_was_sent(start: int, sent: list[Sent], cut: int) -> None:
    """The port is opened in the middle of a line."""
    pieces = [b"44.10 uF\r\n"[start:], *(piece for one in sent for piece in one.pieces)]
    truth = [(Quantity.CAPACITANCE, "44.10 uF"), *(shown for one in sent for shown in one.shown)]
    assert_in_order(stored("text-value-unit", pieces, cut), truth)
    assert stored("text-value-unit", [*pieces, b"\r\n", b"1.00 uF\r\n"], cut)
