"""Modbus RTU: serial line guide V1.02 (G) and application protocol V1.1b3 (P)."""

import struct
from decimal import Decimal

import pytest
from pymodbus.client.mixin import ModbusClientMixin
from pymodbus.framer.rtu import FramerRTU

from benchmeter.links.decoders.modbus import ModbusDecoder, RegisterField, float32_number
from benchmeter.links.decoders.modbus_frames import Request, crc16, with_crc
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.units import UNITS
from benchmeter.readings.gate import ShownField
from benchmeter.readings.reading import Garbled, Indication
from benchmeter.readings.status import Status
from tests.fakes.readings import InSi
from tests.fakes.refusals import said


def celsius(name: str, address: int, **options: object) -> RegisterField:
    settings = {"function": 4, "address": address, "kind": "int16", "scale": Decimal("0.1")}
    field = ShownField(name, Quantity.TEMPERATURE, UNITS["°C"], 213.15, 473.15)
    return RegisterField(field, Quantity.TEMPERATURE, **(settings | options))  # type: ignore[arg-type]


ONE = [celsius("T1", 0, open_probe=frozenset({-32768}), overload=frozenset({32767}))]


def asked(
    registers: list[RegisterField] | None = None, request: str = "01 04 00 00 00 01"
) -> ModbusDecoder:
    decoder = ModbusDecoder(registers or ONE)
    decoder.sent(with_crc(bytes.fromhex(request)))
    return decoder


@pytest.mark.parametrize(
    ("body", "sent"),
    [
        ("11 03 00 6B 00 03", "76 87"),  # P 6.3 with the CRC of G 6.2.2
        ("11 03 06 02 2B 00 00 00 64", "C8 BA"),
        ("11 04 00 08 00 01", "B2 98"),  # P 6.4
        ("11 04 02 00 0A", "F8 F4"),
        ("01 03 00 00 00 0A", "C5 CD"),
        ("01 03 00 00 00 02", "C4 0B"),
        ("01 83 02", "C0 F1"),
        ("01 04 02 FF 38", "F9 12"),
        ("01 03 02 01 0E", "38 10"),
        ("02 07", "41 12"),  # G page 41; its figure 30 has the register 1241
    ],
)
def test_the_check_sum_is_sent_low_byte_first(body: str, sent: str) -> None:
    assert with_crc(bytes.fromhex(body))[-2:] == bytes.fromhex(sent)


def test_the_check_value_of_the_check_sum() -> None:
    # The usual check string of CRC-16/MODBUS (from memory): 4B37.
    assert crc16(b"123456789") == 0x4B37
    assert crc16(bytes.fromhex("02 07")) == 0x1241  # G figure 30


@pytest.mark.parametrize("seed", range(20))
def test_the_check_sum_agrees_with_pymodbus(seed: int) -> None:
    body = bytes((seed * 37 + i * 11) % 256 for i in range(seed + 1))
    assert with_crc(body)[-2:] == FramerRTU.compute_CRC(body).to_bytes(2, "big")


def test_the_registers_of_the_protocols_example_are_read(three_ways) -> None:
    # P 6.3: registers 108 to 110, counted from 0 as 107 to 109: 555, 0, 100.
    registers = [
        RegisterField(
            ShownField(str(address), Quantity.VOLTAGE_AC, UNITS["V"]),
            Quantity.VOLTAGE_AC, 3, address, "uint16",
        )
        for address in (107, 108, 109)
    ]  # fmt: skip
    reply = bytes.fromhex("11 03 06 02 2B 00 00 00 64 C8 BA")
    found = three_ways(lambda: asked(registers, "11 03 00 6B 00 03"), reply, b"\x11\x03")
    assert [(f.field, f.value, f.resolution) for f in found] == [
        ("107", 555.0, 1.0),
        ("108", 0.0, 1.0),
        ("109", 100.0, 1.0),
    ]


def test_the_input_register_of_the_protocols_example_is_read() -> None:
    # P 6.4: input register 9, counted from 0 as 8: 10.
    field = ShownField("", Quantity.VOLTAGE_AC, UNITS["V"])
    decoder = asked([RegisterField(field, Quantity.VOLTAGE_AC, 4, 8, "int16")], "11 04 00 08 00 01")
    (found,) = decoder.feed(bytes.fromhex("11 04 02 00 0A F8 F4"))
    assert isinstance(found, Indication)
    assert found.value == 10.0


def test_a_temperature_below_absolute_zero_is_refused_whatever_the_profile() -> None:
    # 0 K = -273.15 °C by definition: 8000 is -3276.8 °C, F554 is -273.2 °C, F555 is -273.1 °C.
    field = ShownField("T1", Quantity.TEMPERATURE, UNITS["°C"])
    register = RegisterField(field, Quantity.TEMPERATURE, 4, 0, "int16", scale=Decimal("0.1"))
    for word, kind in (("80 00", Garbled), ("F5 54", Garbled), ("F5 55", Indication)):
        (found,) = asked([register]).feed(with_crc(bytes.fromhex(f"01 04 02 {word}")))
        assert isinstance(found, kind)


def test_scale_and_sign_are_exact(three_ways) -> None:
    # FF38 is -200 in two's complement; -20.0 °C = 253.15 K.
    found = three_ways(asked, bytes.fromhex("01 04 02 FF 38 F9 12"), b"\x01")
    assert found == [InSi("T1", Quantity.TEMPERATURE, 253.15, Status.OK, 0.1, "-20.0 °C")]


def test_raw_numbers_can_say_why_there_is_no_value() -> None:
    for raw, status in (("80 00", Status.NO_CONTACT), ("7F FF", Status.OVERLOAD)):
        (found,) = asked().feed(with_crc(bytes.fromhex("01 04 02 " + raw)))
        assert isinstance(found, Indication)
        assert (found.value, found.status) == (None, status)


def test_an_implausible_value_is_suspect_and_kept() -> None:
    (found,) = asked().feed(with_crc(bytes.fromhex("01 04 02 13 88")))  # 5000: 500.0 °C
    assert isinstance(found, Indication)
    assert (found.value, found.status) == (773.15, Status.SUSPECT)


FLOAT = {"kind": "float32", "scale": Decimal(1)}
TWO_WORDS = "01 04 00 00 00 02"


@pytest.mark.parametrize(
    ("words", "raw", "celsius_text"),
    [
        ("big", "41 BC 00 00", "23.5 °C"),  # IEEE 754 single precision
        ("little", "00 00 41 BC", "23.5 °C"),
        ("big", "42 34 00 00", "45 °C"),
        ("big", "C1 8E 3D 71", "-17.78 °C"),
    ],
)
def test_floats_are_read_as_their_shortest_decimal(words: str, raw: str, celsius_text: str) -> None:
    decoder = asked([celsius("T1", 0, words=words, **FLOAT)], TWO_WORDS)
    (found,) = decoder.feed(with_crc(bytes.fromhex("01 04 04 " + raw)))
    assert isinstance(found, Indication)
    assert (found.text, found.resolution) == (celsius_text, None)


@pytest.mark.parametrize(
    "value",
    [0.1, 23.5, -17.78, 3.4028235e38, 1e-45, 44.1e-6, 1 / 3, 0.0, 0.0110045085],
)
def test_floats_agree_with_pymodbus(value: float) -> None:
    registers = ModbusClientMixin.convert_to_registers(value, ModbusClientMixin.DATATYPE.FLOAT32)
    data = struct.pack(">HH", *registers)
    number = float32_number(data)
    assert number is not None
    assert struct.pack(">f", float(number)) == data


def test_floats_that_are_no_numbers_are_no_values() -> None:
    # IEEE 754: exponent all ones.
    for raw, status in (
        ("7F C0 00 00", Status.NO_VALUE),
        ("7F 80 00 00", Status.OVERLOAD),
        ("FF 80 00 00", Status.OVERLOAD),
    ):
        decoder = asked([celsius("T1", 0, **FLOAT)], TWO_WORDS)
        (found,) = decoder.feed(with_crc(bytes.fromhex("01 04 04 " + raw)))
        assert isinstance(found, Indication)
        assert (found.value, found.status) == (None, status)


@pytest.mark.parametrize("kind", ["int32", "uint32"])
@pytest.mark.parametrize("words", ["big", "little"])
def test_long_integers_agree_with_pymodbus(kind: str, words: str) -> None:
    number = -200 if kind == "int32" else 4_000_000_000
    mixin = ModbusClientMixin
    registers = mixin.convert_to_registers(
        number,
        mixin.DATATYPE[kind.upper()],
        word_order=words,  # type: ignore[arg-type]
    )
    field = ShownField("", Quantity.VOLTAGE_DC, UNITS["µV"])
    decoder = asked(
        [RegisterField(field, Quantity.VOLTAGE_DC, 4, 0, kind, words)],  # type: ignore[arg-type]
        TWO_WORDS,
    )
    (found,) = decoder.feed(with_crc(bytes.fromhex("01 04 04") + struct.pack(">HH", *registers)))
    assert isinstance(found, Indication)
    assert found.value == number / 1e6
    assert found.resolution == 1e-6


@pytest.mark.parametrize(
    ("code", "words"), [(1, "function"), (2, "register"), (3, "number"), (4, "failed"), (6, "6")]
)
def test_an_exception_is_told_in_words(code: int, words: str) -> None:
    # P 7: function + 80h, then the exception.
    (found,) = asked().feed(with_crc(bytes([1, 0x84, code])))
    assert isinstance(found, Garbled)
    assert words in said(found.reason)


def test_the_exception_of_the_example(three_ways) -> None:
    (found,) = three_ways(
        lambda: asked(request="01 03 00 00 00 02"), bytes.fromhex("01 83 02 C0 F1"), b""
    )
    assert isinstance(found, Garbled)
    assert "no such register" in said(found.reason)


@pytest.mark.parametrize(
    ("body", "reason"),
    [
        ("02 04 02 FF 38", "device 2"),
        ("02 84 02", "device 2"),  # its exception, the shortest frame there is
        ("01 03 02 FF 38", "not the one"),
        ("01 04 04 FF 38 00 00", "not the one"),
        ("01 04 00 00 00 01", "came back"),
    ],
)
def test_a_reply_to_another_request_is_garbled(body: str, reason: str) -> None:
    decoder = asked()
    assert decoder.feed(with_crc(bytes.fromhex(body))) == []
    (found,) = decoder.feed(b"")
    assert isinstance(found, Garbled)
    assert reason in said(found.reason)


REPLY = with_crc(bytes.fromhex("01 04 02 00 EB"))


@pytest.mark.parametrize("bit", range(8 * len(REPLY)))
def test_a_frame_with_a_wrong_bit_is_never_a_value(bit: int) -> None:
    data = bytearray(REPLY)
    data[bit // 8] ^= 1 << bit % 8
    decoder = asked()
    found = decoder.feed(bytes(data)) + decoder.feed(b"")
    assert found
    assert all(isinstance(f, Garbled) for f in found)


@pytest.mark.parametrize("lost", range(len(REPLY)))
def test_a_frame_with_a_missing_byte_is_never_a_value(lost: int) -> None:
    decoder = asked()
    found = decoder.feed(REPLY[:lost] + REPLY[lost + 1 :]) + decoder.feed(b"")
    assert [type(f) for f in found] == [Garbled]


def test_a_frame_is_found_behind_noise(three_ways) -> None:
    found = three_ways(asked, b"\xff\x00\x01\x04" + REPLY, b"")
    assert [type(f) for f in found] == [Garbled, Indication]


def test_nothing_is_a_reply_without_a_request() -> None:
    decoder = ModbusDecoder(ONE)
    assert decoder.feed(REPLY) == []
    (found,) = decoder.feed(b"")
    assert isinstance(found, Garbled)


def test_a_request_is_answered_once() -> None:
    decoder = asked()
    found = decoder.feed(REPLY + REPLY) + decoder.feed(b"")
    assert [type(f) for f in found] == [Indication, Garbled]


def test_half_a_frame_does_not_join_the_next_reply() -> None:
    decoder = asked()
    decoder.feed(REPLY[:4])
    decoder.sent(Request(1, 4, 0, 1).frame)
    found = decoder.feed(REPLY)
    assert [type(f) for f in found] == [Garbled, Indication]


def test_a_request_for_other_registers_gives_no_value() -> None:
    decoder = asked(request="01 04 00 05 00 01")
    assert decoder.feed(REPLY) == []


def test_a_restart_forgets_the_request() -> None:
    decoder = asked()
    decoder.restart()
    found = decoder.feed(REPLY) + decoder.feed(b"")
    assert all(isinstance(f, Garbled) for f in found)
