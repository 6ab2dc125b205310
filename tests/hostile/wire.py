"""Decoders under attack: what goes over the line between a program and each kind of meter."""

import itertools
import math
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from random import Random

from pymodbus.framer.rtu import FramerRTU

from benchmeter.files.folders import Folders
from benchmeter.links.decoders.decoder import Decoder
from benchmeter.links.instruments.building import decoder_for
from benchmeter.links.instruments.profile import Profile
from benchmeter.links.instruments.profiles import load_profile
from benchmeter.readings.reading import Garbled, Indication
from tests.hostile.mutation import spoiled

__all__ = ["WIRES", "Wire", "decoded", "pieces_of", "with_check_sum"]

Exchange = tuple[bytes, bytes]
"""A question (b"" if nothing was asked) and what came."""
Found = list[Indication | Garbled]


@dataclass(frozen=True, slots=True)
class Wire:
    """A wire format.

    Attributes:
        talks: valid talks, each of some exchanges.
        proof: whether bytes hold a frame that may give a value, found without our decoder.
    """

    name: str
    profile: str
    talks: tuple[tuple[Exchange, ...], ...]
    proof: Callable[[bytes], bool]

    def decoder(self) -> Decoder:
        return decoder_for(_profile(self.profile))

    def attack(self, chance: Random) -> bool:
        """One spoiled talk; whether a value came of it that the meter had never sent.

        Raises:
            Exception: whatever a decoder lets out.
            AssertionError: a promise is broken.
        """
        talk = chance.choice(self.talks)
        answers = [answer for talk in self.talks for _, answer in talk]
        at = chance.randrange(len(talk))
        broken = [*talk]
        broken[at] = (talk[at][0], spoiled(talk[at][1], answers, chance))
        return self.judge(broken, chance)

    def judge(self, broken: Sequence[Exchange], chance: Random) -> bool:
        """As `attack`, on a given spoiled talk."""
        whole = decoded(self.decoder(), broken)
        _assert_sound(whole)
        cut = decoded(self.decoder(), broken, chance)
        assert whole == cut, f"cut elsewhere, other readings: {broken}"
        shown = values(whole)
        assert not shown or self.proof(b"".join(came for _, came in broken)), broken
        paused = decoded(self.decoder(), broken, chance, pauses=True)
        _assert_sound(paused)
        return not values(paused) | shown <= self.sent()

    def sent(self) -> set[tuple[object, ...]]:
        """The values of all valid talks: a piece of another one is no mis-decode."""
        if self.name not in _SENT:
            _SENT[self.name] = set().union(
                *(values(decoded(self.decoder(), t)) for t in self.talks)
            )
        return _SENT[self.name]


def decoded(
    decoder: Decoder,
    talk: Sequence[Exchange],
    chance: Random | None = None,
    *,
    pauses: bool = False,
) -> Found:
    """What a decoder finds in a talk; cut at random where `chance` is given."""
    found = decoder.feed(b"")
    for asked, came in talk:
        if asked:
            decoder.sent(asked)
        for piece in [came] if chance is None else pieces_of(came, chance):
            if piece:
                found += decoder.feed(piece)
            if pauses and chance is not None and chance.random() < 0.3:
                found += decoder.feed(b"")
    return found + decoder.feed(b"")


def pieces_of(data: bytes, chance: Random) -> list[bytes]:
    """`data` cut at up to six places."""
    places = sorted({0, len(data), *(chance.randint(0, len(data)) for _ in range(6))})
    return [data[a:b] for a, b in itertools.pairwise(places)]


def values(found: Found) -> set[tuple[object, ...]]:
    """The values in it, with what tells one from another."""
    return {
        (one.field, one.quantity, one.value)
        for one in found
        if isinstance(one, Indication) and one.value is not None
    }


def _assert_sound(found: Found) -> None:
    for one in found:
        if isinstance(one, Garbled):
            assert one.reason
            continue
        assert (one.value is not None) == one.status.has_value, one
        assert one.value is None or math.isfinite(one.value), one
        assert one.resolution is None or (one.resolution > 0 and math.isfinite(one.resolution)), one


_SENT: dict[str, set[tuple[object, ...]]] = {}
_PROFILES: dict[str, Profile] = {}


def _profile(name: str) -> Profile:
    if name not in _PROFILES:
        _PROFILES[name] = load_profile(name, Folders(Path("no such folder")))
    return _PROFILES[name]


def with_check_sum(body: bytes) -> bytes:
    """A Modbus frame, its check sum by pymodbus."""
    return body + FramerRTU.compute_CRC(body).to_bytes(2, "big")


def _numbered(data: bytes) -> bool:
    """Fourteen bytes in a row whose high nibbles count from 1 to 14."""
    run = 0
    for byte in data:
        run = run + 1 if byte >> 4 == run + 1 else int(byte >> 4 == 1)
        if run == 14:
            return True
    return False


def _has_check_sum(data: bytes) -> bool:
    """Somewhere a reply with two registers of device 1 whose check sum is right."""
    return any(
        FramerRTU.compute_CRC(data[i : i + 7]).to_bytes(2, "big") == data[i + 7 : i + 9]
        for i in range(len(data) - 8)
        if data[i : i + 3] == b"\x01\x04\x04"
    )


_LINE_WITH_NUMBER = re.compile(rb"[^\r\n]*\d[^\r\n]*[\r\n]")
_TWO_PROBES = re.compile(rb"T1=[^\r\n]*T2=[^\r\n]*[\r\n]")

_ASKED = with_check_sum(bytes.fromhex("01 04 00 00 00 02"))

WIRES = (
    Wire(
        "scpi",
        "scpi-meter",
        (
            (
                (b"*IDN?\n", b"MAKER,METER,0,1.0\r\n"),
                (b"FUNC?\n", b'"CAP"\r\n'),
                (b"READ?\n", b"+4.410E-05\r\n"),
                (b"FUNC?\n", b'"CAP"\r\n'),
                (b"READ?\n", b"+4.412E-05\r\n"),
            ),
            ((b"FUNC?\n", b'"VOLT"\n'), (b"READ?\n", b"-1.2E-03\n")),
            ((b"FUNC?\n", b'"RES"\n'), (b"READ?\n", b"+9.90000000E+37\n")),
            ((b"FUNC?\n", b'"SENS:TEMP"\n'), (b"READ?\n", b"23.45\n")),
            ((b"FUNC?\n", b'"CAP"\n'), (b"READ?\n", b"#15HELLO\n")),
        ),
        lambda data: _LINE_WITH_NUMBER.search(data) is not None,
    ),
    Wire(
        "lcd14",
        "lcd-handheld",
        (
            # Composed from the layout of segments, which is from memory of a data sheet.
            ((b"", 2 * bytes.fromhex("13 22 37 42 57 68 75 87 9D A8 B0 C8 D0 E0")),),
            ((b"", bytes.fromhex("1B 25 3B 41 5F 67 7D 8B 9E A0 B0 C0 D4 E0")),),
            ((b"", bytes.fromhex("13 22 37 42 57 68 75 87 9D A0 B0 C0 D0 E1")),),
            ((b"", bytes.fromhex("13 20 30 47 5D 6E 78 80 90 A0 B2 C4 D0 E0")),),
        ),
        _numbered,
    ),
    Wire(
        "text",
        "text-value-unit",
        (
            ((b"", b"44.10 uF\r\n44.12 uF\r\n"),),
            ((b"", b"OL\r\n0.3 VDC\r\n"),),
            ((b"", b"4.700 k\xce\xa9\n230.5 VAC\n"),),
            ((b"", b"25.0 \xb0C\r44.1 \xb5F\r"),),
        ),
        lambda data: _LINE_WITH_NUMBER.search(data) is not None,
    ),
    Wire(
        "text, two probes",
        "text-two-probes",
        (
            ((b"", b"T1=23.4C T2=35.0C\r\nT1=23.5C T2=35.1C\r\n"),),
            ((b"", b"T1=OPEN T2=95.0F\r\n"),),
        ),
        lambda data: _TWO_PROBES.search(data) is not None,
    ),
    Wire(
        "modbus",
        "modbus-two-probes",
        (
            ((_ASKED, with_check_sum(bytes.fromhex("01 04 04 00 EA 01 5E"))),) * 2,
            ((_ASKED, with_check_sum(bytes.fromhex("01 04 04 FF 38 80 00"))),),
            ((_ASKED, with_check_sum(bytes.fromhex("01 84 02"))),),
        ),
        _has_check_sum,
    ),
)
