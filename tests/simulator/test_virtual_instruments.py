"""Virtual instruments put on the wire what a meter of that kind would show."""

import random
from collections.abc import Callable
from decimal import Decimal

import pytest
from pymodbus.framer import FramerRTU
from pymodbus.pdu.register_message import ReadInputRegistersResponse

from benchmeter.files.folders import Folders
from benchmeter.links.decoders.lcd14 import Lcd14Decoder
from benchmeter.links.decoders.modbus_frames import Request, with_crc
from benchmeter.links.instruments.building import decoder_for
from benchmeter.links.instruments.formats.modbus_format import ModbusFormat, Register
from benchmeter.links.instruments.profiles import load_profile
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.gate import ShownField
from benchmeter.readings.reading import Indication
from benchmeter.readings.status import Status
from benchmeter.simulator.air import Air
from benchmeter.simulator.display import COUNTS, Display, Ranges
from benchmeter.simulator.lcd_meter import LcdMeter, lcd_frame
from benchmeter.simulator.line_faults import (
    FaultKind,
    Span,
    TroubledMeter,
    TroubledProbe,
    TroubledWire,
)
from benchmeter.simulator.modbus_probes import ModbusProbes
from benchmeter.simulator.probes import AirProbe
from benchmeter.simulator.scpi_meter import ScpiMeter, nr3
from benchmeter.simulator.text_probes import TextProbes
from benchmeter.simulator.virtual_meter import (
    CapacitanceMeasuring,
    ResistanceMeasuring,
    VoltageMeasuring,
)
from benchmeter.simulator.virtual_parts import Part, Truth
from benchmeter.simulator.world import OutdoorUnit, World
from tests.simulator.meters import ask, hear_all

SECOND = 1_000_000_000


def world_with(section: Truth) -> World:
    unit = OutdoorUnit(Air(20.0, 0.0), 0.0, 0.0, 100.0, 100.0, 12.0, 60.0, 20e-6, 18e3)
    return World([Part("part", "", {"single": section})], unit)


def on_part(capacitance_f: float = 0.0, *, open: bool = False, shorted: bool = False) -> World:
    """A world whose leads have been on the part for long."""
    world = world_with(Truth(capacitance_f, open, shorted))
    world.do("leads: single", 0)
    return world


def scpi(world: World) -> ScpiMeter:
    return ScpiMeter(CapacitanceMeasuring(world, "seed"), "BENCHMETER,VIRTUAL-CAPACITANCE,0,1")


# ---- digits ----


@pytest.mark.parametrize(
    ("counts", "exponent", "text"),
    [
        (5512, -8, "+5.512E-05"),
        (893, -8, "+0.893E-05"),
        (6, -12, "+0.006E-09"),
        (-3, -12, "-0.003E-09"),
        (1203, -1, "+1.203E+02"),
        (None, -6, "+9.90000000E+37"),  # SCPI-1999 vol. 1 cl. 7.2.1.4, from memory
    ],
)
def test_scpi_digits_carry_the_resolution_of_the_display(
    counts: int | None, exponent: int, text: str
) -> None:
    assert nr3(Display(Quantity.CAPACITANCE, counts, exponent)) == text
    if counts is not None:
        assert Decimal(text) == Decimal(counts).scaleb(exponent)
        assert Decimal(text).as_tuple().exponent == exponent


@pytest.mark.parametrize(
    ("display", "frame"),
    # Computed from the segment order of the data sheet, which is from memory.
    [
        (
            Display(Quantity.CAPACITANCE, 4410, -8),
            "13 22 37 42 57 68 75 87 9D A8 B0 C8 D0 E0",
        ),
        (
            Display(Quantity.CAPACITANCE, None, -6),
            "13 20 30 47 5D 6E 78 80 90 A0 B8 C8 D0 E0",
        ),
    ],
)
def test_lcd_frames_show_the_digits(display: Display, frame: str) -> None:
    # The overload frame of the table shows µF; the top range of this meter is in mF (byte 10, 11).
    assert lcd_frame(display) == bytes.fromhex(frame)


@pytest.mark.parametrize("quantity", [Quantity.CAPACITANCE, Quantity.VOLTAGE_DC])
def test_every_lcd_frame_reads_as_what_it_shows(quantity: Quantity) -> None:
    chance = random.Random(7)
    for exponent in range(-12, -4) if quantity is Quantity.CAPACITANCE else (-2, -1):
        for counts in (0, 1, -1, 10, 999, 1000, COUNTS, chance.randint(0, COUNTS)):
            frame = lcd_frame(Display(quantity, counts, exponent))
            (found,) = Lcd14Decoder(ShownField("", None, None, None, None), {}).feed(frame)
            assert isinstance(found, Indication), (counts, exponent, found)
            assert found.quantity is quantity
            assert found.value == float(Decimal(counts).scaleb(exponent))
            assert found.resolution == pytest.approx(10.0**exponent)


def test_a_range_ends_after_6000_counts() -> None:
    ranges = Ranges(Quantity.CAPACITANCE, (-9, -8))
    assert ranges.index_for(6.0e-6) == 0
    assert ranges.index_for(6.1e-6) == 1
    assert ranges.show(6.1e-6, 0).counts is None
    assert ranges.show(float("inf"), 1).counts is None


# ---- the capacitance meter ----


@pytest.mark.parametrize("true_uf", [0.047, 2.214, 5.6, 8.93, 12.5, 55.83, 117.4, 590.0, 2200.0])
def test_a_settled_reading_is_true_within_noise_and_resolution(true_uf: float) -> None:
    meter = scpi(on_part(true_uf * 1e-6))
    now_ns = 10 * SECOND
    for _ in range(20):
        text, now_ns = ask(meter, "READ?", now_ns)
        resolution_f = 10.0 ** int(Decimal(text).as_tuple().exponent)
        assert abs(float(text) - true_uf * 1e-6) < 2 * resolution_f
        assert 600 <= round(float(text) / resolution_f) <= COUNTS or true_uf < 6


def test_the_first_reading_comes_late_and_creeps_up_to_the_true_value() -> None:
    world = world_with(Truth(55.83e-6))
    meter = scpi(world)
    for at_s in range(3):
        ask(meter, "READ?", at_s * SECOND)
    world.do("leads: single", 3 * SECOND)
    first, first_ns = ask(meter, "READ?", 3 * SECOND)
    later, later_ns = ask(meter, "READ?", 10 * SECOND)
    assert first_ns - 3 * SECOND > 0.5e9 > later_ns - 10 * SECOND
    assert abs(float(first) - 55.83e-6) > 0.5e-6
    assert abs(float(later) - 55.83e-6) < 0.02e-6


def test_leads_that_move_while_a_reading_is_made_delay_it() -> None:
    world = world_with(Truth(55.83e-6))
    meter = scpi(world)
    meter.hear(b"READ?\n", SECOND)
    assert meter.wake_ns() == SECOND + 90_000_000
    world.do("leads: single", SECOND + 50_000_000)
    wake_ns = meter.wake_ns()
    assert wake_ns is not None and wake_ns > SECOND + 500_000_000
    assert meter.speak(SECOND + 90_000_000) == b""


@pytest.mark.parametrize("open_part", [False, True])
def test_leads_in_the_air_and_an_open_part_both_show_stray_picofarads(open_part: bool) -> None:
    world = on_part(open=True) if open_part else world_with(Truth(1e-6))
    text, _ = ask(scpi(world), "READ?", 10 * SECOND)
    assert abs(float(text)) < 0.1e-9


@pytest.mark.parametrize("world", [on_part(shorted=True), on_part(7e-3)])
def test_a_shorted_part_and_one_beyond_the_top_range_are_overload(world: World) -> None:
    text, _ = ask(scpi(world), "READ?", 10 * SECOND)
    assert Decimal(text) == Decimal("9.9E37")  # SCPI-1999 vol. 1 cl. 7.2.1.4, from memory


def test_the_same_seed_gives_the_same_digits() -> None:
    def digits(seed: str) -> list[str]:
        meter = ScpiMeter(CapacitanceMeasuring(on_part(55e-6), seed), "")
        return [ask(meter, "READ?", at_s * SECOND)[0] for at_s in range(1, 30)]

    assert digits("a") == digits("a")
    assert digits("a") != digits("b")


# ---- SCPI ----


def test_the_meter_names_itself_in_four_fields() -> None:
    # IEEE 488.2 cl. 10.14, from memory: maker, model, serial or 0, firmware or 0.
    identity, _ = ask(scpi(on_part(1e-6)), "*idn?", 0)
    assert identity == "BENCHMETER,VIRTUAL-CAPACITANCE,0,1"


def test_the_meter_says_what_it_measures() -> None:
    assert ask(scpi(on_part(1e-6)), "FUNC?", 0)[0] == '"CAP"'
    volts = ScpiMeter(VoltageMeasuring(on_part(1e-6), "seed"), "")
    assert ask(volts, "FUNC?", 0)[0] == '"VOLT"'


def test_what_the_meter_does_not_know_goes_into_its_error_queue() -> None:
    # SCPI-1999 vol. 2 cl. 21.8, from memory: -113 undefined header, 0 no error.
    meter = scpi(on_part(1e-6))
    meter.hear(b"SYST:REM\nCONF:VOLT:DC\n", 0)
    assert ask(meter, "SYST:ERR?", 0)[0] == '-113,"Undefined header"'
    assert ask(meter, "SYST:ERR?", 0)[0] == '+0,"No error"'
    meter.hear(b"BLAH\n*CLS\nCONF:CAP\n", 0)
    assert ask(meter, "SYST:ERR?", 0)[0] == '+0,"No error"'


def test_questions_may_come_in_pieces_and_in_a_heap() -> None:
    meter = scpi(on_part(55e-6))
    for piece in (b"*ID", b"N?\r\nFU", b"NC?\n", b"\n"):
        meter.hear(piece, 10 * SECOND)
    said = meter.speak(11 * SECOND)
    assert said.split(b"\r\n") == [b"BENCHMETER,VIRTUAL-CAPACITANCE,0,1", b'"CAP"', b""]


def test_the_voltmeter_shows_volts_only_at_the_terminals() -> None:
    world = world_with(Truth(1e-6))
    meter = ScpiMeter(VoltageMeasuring(world, "seed"), "")
    assert abs(float(ask(meter, "READ?", SECOND)[0])) < 0.02
    world.do("leads: terminals", 2 * SECOND)
    assert float(ask(meter, "READ?", 3 * SECOND)[0]) == pytest.approx(60, abs=1.5)
    world.do("resistor: on", 4 * SECOND)
    assert abs(float(ask(meter, "READ?", 10 * SECOND)[0])) < 0.02


# ---- the handheld ----


def test_the_handheld_sends_frames_by_itself_the_first_one_cut() -> None:
    meter = LcdMeter(CapacitanceMeasuring(on_part(18.06e-6), "seed"))
    said = hear_all(meter, 0, 20 * SECOND)
    assert len(said) % 14 == 5
    last = Lcd14Decoder(ShownField("", None, None, None, None), {}).feed(said[-14:])
    assert isinstance(last[0], Indication) and last[0].value is not None
    assert last[0].value == pytest.approx(18.06e-6, abs=0.02e-6)
    assert last[0].resolution == pytest.approx(0.01e-6)


# ---- probes ----


def probe(celsius: Callable[[float], float], lag_s: float = 4.0, noise_k: float = 0.0) -> AirProbe:
    return AirProbe(lambda now_ns: 273.15 + celsius(now_ns / 1e9), "seed", lag_s, noise_k)


def test_on_a_ramp_a_probe_is_rate_times_lag_behind() -> None:
    # 0.05 K/s × 30 s = 1.5 K (first-order lag on a ramp, arithmetic).
    it = probe(lambda t: 20 + 0.05 * t, lag_s=30)
    for at_s in range(1, 400):
        felt = it.celsius(at_s * SECOND)
    assert felt == pytest.approx(20 + 0.05 * 399 - 1.5, abs=1e-4)


def test_text_lines_carry_tenths_in_the_chosen_unit(folders: Folders) -> None:
    # 21.3 °C = 70.34 °F, -6.7 °C = 19.94 °F (definition of the scales).
    probes = {"T1": probe(lambda t: 21.3), "T2": probe(lambda t: -6.7)}
    assert hear_all(TextProbes(probes, "C"), 0, SECOND) == b"T1=21.3C T2=-6.7C\r\n"
    lines = hear_all(TextProbes(probes, "F"), 0, 2 * SECOND)
    assert lines == b"T1=70.3F T2=19.9F\r\n" * 2
    decoder = decoder_for(load_profile("text-two-probes", folders))
    decoder.feed(b"")
    first, second, *_ = decoder.feed(lines)
    assert isinstance(first, Indication) and isinstance(second, Indication)
    assert first.value == pytest.approx(273.15 + 21.3, abs=0.05)
    assert second.value == pytest.approx(273.15 - 6.7, abs=0.05)


def modbus(format: ModbusFormat, **probes: AirProbe) -> Callable[[bytes], bytes]:
    module = ModbusProbes(format, probes)
    now = [0]

    def exchange(frame: bytes) -> bytes:
        now[0] += SECOND
        module.hear(frame, now[0])
        return module.speak(now[0] + SECOND // 10)

    return exchange


def test_a_modbus_reply_is_what_a_foreign_library_reads(folders: Folders) -> None:
    profile = load_profile("modbus-two-probes", folders)
    assert isinstance(profile.format, ModbusFormat)
    exchange = modbus(profile.format, T1=probe(lambda t: 34.2), T2=probe(lambda t: -6.7))
    reply = exchange(Request(1, 4, 0, 2).frame)
    # The check sum and the layout as pymodbus sees them.
    assert int.from_bytes(reply[-2:], "big") == FramerRTU.compute_CRC(reply[:-2])
    pdu = ReadInputRegistersResponse()
    pdu.decode(reply[2:-2])
    assert pdu.registers == [342, 0x10000 - 67]


def test_a_module_answers_only_its_own_whole_frames() -> None:
    format = ModbusFormat(device=7, registers=(Register(field="T", address=3),))
    exchange = modbus(format, T=probe(lambda t: 20.0))
    good = Request(7, 3, 3, 1).frame
    assert exchange(good) == with_crc(bytes([7, 3, 2, 0, 20]))
    assert exchange(Request(8, 3, 3, 1).frame) == b""
    assert exchange(good[:-1] + bytes([good[-1] ^ 1])) == b""
    assert exchange(good) != b""


@pytest.mark.parametrize(
    ("body", "code"),
    # Application protocol V1.1b3, section 7: 1 illegal function, 2 address, 3 value.
    [
        (bytes([7, 6, 0, 3, 0, 1]), 1),
        (bytes([7, 3, 0, 9, 0, 1]), 2),
        (bytes([7, 4, 0, 3, 0, 1]), 2),
        (bytes([7, 3, 0, 3, 0, 0]), 3),
        (bytes([7, 3, 0, 3, 0, 126]), 3),
        (bytes([7, 3, 0, 3]), 3),
    ],
)
def test_a_wrong_question_gets_its_exception(body: bytes, code: int) -> None:
    format = ModbusFormat(device=7, registers=(Register(field="T", address=3),))
    reply = modbus(format, T=probe(lambda t: 20.0))(with_crc(body))
    assert reply == with_crc(bytes([7, body[1] | 0x80, code]))


@pytest.mark.parametrize(
    ("type", "words", "data"),
    # IEEE 754: 23.5 = 41BC0000; two's complement of 235 at a scale of 0.1.
    [
        ("float32", "big", "41BC0000"),
        ("float32", "little", "000041BC"),
        ("int32", "big", "000000EB"),
        ("uint32", "little", "00EB0000"),
        ("uint16", "big", "00EB"),
    ],
)
def test_registers_are_laid_out_as_the_profile_says(type: str, words: str, data: str) -> None:
    scale = "1" if type == "float32" else "0.1"
    register = Register(field="T", address=0, type=type, words=words, scale=scale)  # type: ignore[arg-type]
    exchange = modbus(ModbusFormat(registers=(register,)), T=probe(lambda t: 23.5))
    reply = exchange(Request(1, 3, 0, len(data) // 4).frame)
    assert reply[3:-2] == bytes.fromhex(data)


# ---- faults ----


def during(kind: FaultKind, field: str = "") -> list[Span]:
    return [Span(kind, 10 * SECOND, 20 * SECOND, field)]


def test_a_stuck_meter_shows_the_same_digits_and_then_goes_on() -> None:
    world = world_with(Truth(55e-6))
    meter = TroubledMeter(
        CapacitanceMeasuring(world, "seed"), ResistanceMeasuring(world), during(FaultKind.STUCK)
    )
    air = meter.show(9 * SECOND)
    world.do("leads: single", 11 * SECOND)
    assert meter.show(15 * SECOND) == air
    assert meter.show(25 * SECOND) != air


def test_a_knob_on_ohms_is_told_and_reads_no_capacitance() -> None:
    world = on_part(55e-6)
    troubled = TroubledMeter(
        CapacitanceMeasuring(world, "seed"),
        ResistanceMeasuring(world),
        during(FaultKind.WRONG_FUNCTION),
    )
    meter = ScpiMeter(troubled, "")
    functions = [ask(meter, "FUNC?", at_s * SECOND)[0] for at_s in (9, 10, 20)]
    assert functions == ['"CAP"', '"RES"', '"CAP"']
    assert troubled.show(15 * SECOND).quantity is Quantity.RESISTANCE


def test_a_probe_that_wakes_up_says_85_and_an_open_one_nothing() -> None:
    # 85.00 °C is the power-up value of a usual sensor chip (Linux kernel, w1_therm.rst).
    waking = TroubledProbe(probe(lambda t: 20.0), during(FaultKind.POWER_UP_VALUE))
    assert [waking.celsius(s * SECOND) for s in (9, 10, 20)] == pytest.approx([20.0, 85.0, 20.0])
    gone = TroubledProbe(probe(lambda t: 20.0), during(FaultKind.OPEN_PROBE))
    assert gone.celsius(15 * SECOND) is None
    assert b"T1=OPEN" in hear_all(TextProbes({"T1": gone}, "C"), 15 * SECOND, 16 * SECOND)


def test_a_stuck_probe_keeps_its_value() -> None:
    stuck = TroubledProbe(probe(lambda t: 20 + t, lag_s=0.1), during(FaultKind.STUCK))
    kept = stuck.celsius(9 * SECOND)
    assert stuck.celsius(19 * SECOND) == kept
    assert stuck.celsius(21 * SECOND) != kept


@pytest.mark.parametrize("kind", [FaultKind.GARBLED, FaultKind.HALF_FRAMES, FaultKind.SILENT])
def test_a_troubled_line_never_makes_a_value(kind: FaultKind, folders: Folders) -> None:
    probes = {"T1": probe(lambda t: 21.3), "T2": probe(lambda t: 18.0)}
    wire = TroubledWire(TextProbes(probes, "C"), during(kind), "seed")
    decoder = decoder_for(load_profile("text-two-probes", folders))
    decoder.feed(b"")
    found = decoder.feed(hear_all(wire, 10 * SECOND, 19 * SECOND))
    assert not [f for f in found if isinstance(f, Indication) and f.status is Status.OK]
    assert hear_all(wire, 20 * SECOND, 21 * SECOND).startswith(b"T1=21.3C")
