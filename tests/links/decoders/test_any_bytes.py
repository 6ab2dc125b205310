"""What holds for every decoder, whatever comes."""

import itertools
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchmeter.links.decoders.decoder import Decoder
from benchmeter.links.decoders.lcd14 import Lcd14Decoder
from benchmeter.links.decoders.modbus import ModbusDecoder, RegisterField
from benchmeter.links.decoders.modbus_frames import Request, with_crc
from benchmeter.links.decoders.scpi import ScpiDecoder
from benchmeter.links.decoders.text_lines import TextDecoder
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.gate import ShownField
from benchmeter.readings.reading import Indication

VOLTS = ShownField(quantity=Quantity.VOLTAGE_DC)
REQUEST = Request(1, 4, 0, 1).frame


def scpi() -> Decoder:
    decoder = ScpiDecoder([VOLTS])
    decoder.sent(b"READ?\n")
    return decoder


def identifying() -> Decoder:
    decoder = ScpiDecoder([VOLTS])
    decoder.sent(b"*IDN?\n")
    return decoder


def lcd() -> Decoder:
    return Lcd14Decoder(ShownField(), {0: "°C"})


def text() -> Decoder:
    return TextDecoder(r"(?P<value>\S+) ?(?P<value_unit>.*)", [ShownField()], overload=["OL"])


def modbus() -> Decoder:
    field = ShownField("", Quantity.TEMPERATURE)
    decoder = ModbusDecoder([RegisterField(field, Quantity.TEMPERATURE, 4, 0, "int16")])
    decoder.sent(REQUEST)
    return decoder


MAKERS = [scpi, identifying, lcd, text, modbus]

FRAMES = st.sampled_from(
    [
        b"+4.41E-05\r\n", b"1,2\n", b"9.9E37\n", b'"CAP"\n', b"ACME,M1,0,1.0\n", b"#15HELLO\n",
        b"#9", b"44.10 uF\r\n", b"OL\r", b"\n", b"230.5 VAC\n", b"\xb0C\n",
        bytes.fromhex("13 22 37 42 57 68 75 87 9D A8 B0 C8 D0 E0"),
        bytes.fromhex("1B 25 3B 41 5F 67 7D 8B 9E A0 B0 C0 D4 E0"),
        with_crc(bytes.fromhex("01 04 02 FF 38")), with_crc(bytes.fromhex("01 84 02")), REQUEST,
        b"\x01\x04\x02", b"5" * 600,
    ]
)  # fmt: skip
STREAM = st.lists(FRAMES | st.binary(max_size=20), max_size=20).map(b"".join)


@pytest.mark.parametrize("make", MAKERS)
@given(data=STREAM, cuts=st.lists(st.integers(0, 2000), max_size=12))
@settings(max_examples=150, deadline=None)
def test_the_way_a_stream_is_cut_changes_nothing(
    make: Callable[[], Decoder], data: bytes, cuts: list[int]
) -> None:
    places = sorted({0, len(data), *(cut % (len(data) + 1) for cut in cuts)})
    decoder = make()
    pieces = [data[a:b] for a, b in itertools.pairwise(places)]
    found = [item for piece in pieces for item in decoder.feed(piece)]
    whole = make()
    assert found == (whole.feed(data) if data else [])
    assert decoder.feed(b"") == whole.feed(b"")


@pytest.mark.parametrize("make", MAKERS)
@given(steps=st.lists(st.binary(max_size=64) | FRAMES | st.sampled_from(["sent", "restart"])))
@settings(max_examples=150, deadline=None)
def test_nothing_that_comes_raises(make: Callable[[], Decoder], steps: list[bytes | str]) -> None:
    decoder = make()
    for step in steps:
        if step == "sent":
            decoder.sent(b"READ?\n")
            decoder.sent(REQUEST)
        elif step == "restart":
            decoder.restart()
        else:
            for found in decoder.feed(bytes(step)):  # type: ignore[arg-type]
                if isinstance(found, Indication):
                    assert (found.value is not None) == found.status.has_value


@pytest.mark.parametrize("make", [lcd, modbus])
@given(data=st.binary(max_size=600))
@settings(max_examples=200, deadline=None)
def test_random_bytes_are_no_reading(make: Callable[[], Decoder], data: bytes) -> None:
    decoder = make()
    found = decoder.feed(data) + decoder.feed(b"")
    assert not any(isinstance(item, Indication) for item in found)
