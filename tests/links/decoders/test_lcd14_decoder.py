"""The 14-byte display frame.

The frames follow from the layout of segments, which is from memory of a data sheet; segment order
e f a, d c g b. They prove that layout and decoder agree, not that a real meter sends it.
"""

import pytest

from benchmeter.links.decoders.lcd14 import Lcd14Decoder
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.gate import ShownField
from benchmeter.readings.reading import Garbled, Indication
from benchmeter.readings.status import Status
from tests.fakes.readings import InSi
from tests.fakes.refusals import said

CAPACITANCE = "13 22 37 42 57 68 75 87 9D A8 B0 C8 D0 E0"
TEMPERATURE = "13 27 3D 45 5B 63 7E 8A 97 A0 B0 C0 D0 E1"
AC_VOLTS = "1B 25 3B 41 5F 67 7D 8B 9E A0 B0 C0 D4 E0"
DC_VOLTS = "15 28 35 4D 5B 61 7F 82 97 A0 B0 C0 D4 E0"
OVERLOAD = "13 20 30 47 5D 6E 78 80 90 A8 B0 C8 D0 E0"


def meter(field: ShownField | None = None) -> Lcd14Decoder:
    return Lcd14Decoder(field or ShownField(), {0: "°C"})


def with_bits(frame: str, place: int, bits: int) -> str:
    """The frame with more segments on in the byte at `place`, counted from 1."""
    data = bytearray.fromhex(frame)
    data[place - 1] |= bits
    return data.hex(" ")


def without_bits(frame: str, place: int, bits: int) -> str:
    data = bytearray.fromhex(frame)
    data[place - 1] &= ~bits & 0xFF
    return data.hex(" ")


def one(frame: str, field: ShownField | None = None) -> Indication | Garbled:
    found = meter(field).feed(bytes.fromhex(frame))
    assert len(found) == 1
    return found[0]


@pytest.mark.parametrize(
    ("frame", "quantity", "value", "resolution", "text"),
    [
        (CAPACITANCE, Quantity.CAPACITANCE, 44.10e-6, 1e-8, "44.10 µF"),
        (TEMPERATURE, Quantity.TEMPERATURE, 298.55, 0.1, "025.4 °C"),
        (AC_VOLTS, Quantity.VOLTAGE_AC, 230.5, 0.1, "230.5 V AC"),
        (DC_VOLTS, Quantity.VOLTAGE_DC, -1.234, 0.001, "-1.234 V DC"),
    ],
)
def test_the_display_is_read(three_ways, frame, quantity, value, resolution, text) -> None:
    found = three_ways(meter, bytes.fromhex(frame), bytes.fromhex(frame)[:13])
    assert found == [InSi("", quantity, value, Status.OK, resolution, text)]


def test_overload_is_no_value(three_ways) -> None:
    found = three_ways(meter, bytes.fromhex(OVERLOAD), b"\x13")
    assert found == [InSi("", Quantity.CAPACITANCE, None, Status.OVERLOAD, None, "0.L µF")]


# Segments of the digits, derived from the order e f a d c g b.
DIGITS = {"0": 0x7D, "1": 0x05, "2": 0x5B, "3": 0x1F, "4": 0x27, "5": 0x3E, "6": 0x7E,
          "7": 0x15, "8": 0x7F, "9": 0x3F, "L": 0x68, " ": 0x00, "-": 0x02}  # fmt: skip


def display(text: str, frame: str = CAPACITANCE) -> str:
    """`frame` with other digits: four signs, a point before any but the first."""
    data = bytearray.fromhex(frame)
    place = 1
    for sign in text:
        if sign == ".":
            data[place] |= 8
            continue
        code = DIGITS[sign]
        data[place] = (place + 1) << 4 | code >> 4 | (data[place] & 8 if sign != text[0] else 0)
        data[place + 1] = (place + 2) << 4 | code & 15
        place += 2
    return data.hex(" ")


def cleared(frame: str) -> str:
    for place in (2, 4, 6, 8):
        frame = without_bits(frame, place, 8)
    return frame


@pytest.mark.parametrize(
    ("shown", "micro"), [("1234", 1234.0), (" 5.67", 5.67), ("890.2", 890.2), ("  42", 42.0)]
)
def test_every_digit_is_read(shown: str, micro: float) -> None:
    found = one(display(shown, cleared(CAPACITANCE)))
    assert isinstance(found, Indication)
    assert found.value == pytest.approx(micro * 1e-6, rel=1e-15)


@pytest.mark.parametrize("shown", ["    ", "----"])
def test_a_display_without_digits_is_no_value(shown: str) -> None:
    found = one(display(shown, cleared(CAPACITANCE)))
    assert isinstance(found, Indication)
    assert found.status is Status.NO_VALUE


@pytest.mark.parametrize("shown", ["1 23", "12  ", "L123", "1-23", "1.2.34", "   L", "0L12"])
def test_digits_that_make_no_number_are_garbled(shown: str) -> None:
    assert isinstance(one(display(shown, cleared(CAPACITANCE))), Garbled)


def test_an_unknown_digit_is_not_guessed() -> None:
    # One segment more in the first digit: 4 (27) becomes 37, which is no digit.
    found = one(with_bits(CAPACITANCE, 2, 1))
    assert isinstance(found, Garbled)
    assert "digit" in said(found.reason)


@pytest.mark.parametrize(
    "frame",
    [
        with_bits(CAPACITANCE, 13, 4),  # F and V
        with_bits(CAPACITANCE, 10, 4),  # µ and n
        with_bits(AC_VOLTS, 1, 4),  # AC and DC
        with_bits(CAPACITANCE, 1, 4),  # DC and F
        with_bits(without_bits(CAPACITANCE, 10, 8), 10, 2),  # kF
        with_bits(TEMPERATURE, 13, 4),  # °C and V
        without_bits(CAPACITANCE, 12, 8),  # no unit
        with_bits(CAPACITANCE, 10, 1),  # diode without volts
    ],
)
def test_symbols_that_contradict_each_other_are_garbled(frame: str) -> None:
    assert isinstance(one(frame), Garbled)


@pytest.mark.parametrize(
    ("frame", "quantity"),
    [
        (with_bits(without_bits(AC_VOLTS, 13, 4), 13, 2), Quantity.FREQUENCY),  # Hz
        (with_bits(without_bits(DC_VOLTS, 13, 4), 11, 4), Quantity.DUTY),  # %
        (with_bits(without_bits(DC_VOLTS, 13, 4), 13, 8), Quantity.CURRENT_DC),  # A
        (with_bits(DC_VOLTS, 10, 1), Quantity.DIODE),
        (with_bits(without_bits(TEMPERATURE, 14, 1), 12, 4), Quantity.RESISTANCE),  # ohm
        (
            with_bits(with_bits(without_bits(TEMPERATURE, 14, 1), 12, 4), 11, 1),
            Quantity.CONTINUITY,
        ),
    ],
)
def test_the_symbols_tell_what_is_measured(frame: str, quantity: Quantity) -> None:
    found = one(frame)
    assert isinstance(found, Indication)
    assert (found.quantity, found.status) == (quantity, Status.OK)


def test_volts_of_no_kind_are_not_guessed() -> None:
    found = one(without_bits(AC_VOLTS, 1, 8))
    assert isinstance(found, Indication)
    assert (found.quantity, found.value, found.status) == (None, None, Status.WRONG_FUNCTION)


def test_another_function_than_the_channels_is_no_value() -> None:
    found = one(AC_VOLTS, ShownField(quantity=Quantity.CAPACITANCE))
    assert isinstance(found, Indication)
    assert (found.quantity, found.value) == (Quantity.VOLTAGE_AC, None)
    assert found.status is Status.WRONG_FUNCTION


def test_a_held_display_is_an_old_reading() -> None:
    found = one(with_bits(CAPACITANCE, 12, 1))
    assert isinstance(found, Indication)
    assert (found.value, found.status, found.text) == (None, Status.NO_VALUE, "44.10 µF HOLD")


def test_a_relative_value_says_so() -> None:
    found = one(with_bits(CAPACITANCE, 12, 2))
    assert isinstance(found, Indication)
    assert (found.value, found.text) == (44.10e-6, "44.10 µF REL")


def test_a_relative_temperature_is_a_difference_and_no_temperature() -> None:
    found = one(with_bits(TEMPERATURE, 12, 2))
    assert isinstance(found, Indication)
    assert found.status is Status.NO_VALUE


def test_a_low_battery_says_so() -> None:
    found = one(with_bits(CAPACITANCE, 13, 1))
    assert isinstance(found, Indication)
    assert found.text == "44.10 µF battery low"


def test_reading_begins_at_the_next_frame(three_ways) -> None:
    data = bytes.fromhex(CAPACITANCE)[5:] + bytes.fromhex(AC_VOLTS)
    found = three_ways(meter, data, b"")
    assert [type(f) for f in found] == [Garbled, Indication]
    assert found[1].quantity is Quantity.VOLTAGE_AC


@pytest.mark.parametrize("lost", range(14))
def test_a_frame_with_a_missing_byte_is_dropped(three_ways, lost: int) -> None:
    data = bytearray.fromhex(CAPACITANCE)
    del data[lost]
    found = three_ways(meter, bytes(data) + bytes.fromhex(AC_VOLTS), b"")
    assert [type(f) for f in found] == [Garbled, Indication]
    assert found[1].quantity is Quantity.VOLTAGE_AC


@pytest.mark.parametrize("doubled", range(1, 13))
def test_a_frame_with_a_doubled_byte_is_dropped(three_ways, doubled: int) -> None:
    """The first and the last byte leave a whole frame when they are doubled."""
    data = bytearray.fromhex(CAPACITANCE)
    data.insert(doubled, data[doubled])
    found = three_ways(meter, bytes(data) + bytes.fromhex(AC_VOLTS), b"")
    assert [f.quantity for f in found if isinstance(f, Indication)] == [Quantity.VOLTAGE_AC]
    assert any(isinstance(f, Garbled) for f in found)


def test_halves_of_two_frames_are_not_joined_over_a_silence() -> None:
    decoder = meter()
    assert decoder.feed(bytes.fromhex(CAPACITANCE)[:7]) == []
    found = decoder.feed(b"") + decoder.feed(bytes.fromhex(AC_VOLTS)[7:]) + decoder.feed(b"")
    assert all(isinstance(f, Garbled) for f in found)


def test_a_restart_forgets_the_half_frame() -> None:
    decoder = meter()
    decoder.feed(bytes.fromhex(CAPACITANCE)[:7])
    decoder.restart()
    assert all(
        isinstance(f, Garbled) for f in decoder.feed(bytes.fromhex(CAPACITANCE)[7:] + b"\x13")
    )
