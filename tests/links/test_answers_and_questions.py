"""Each answer belongs to its question, whatever happens on the line. The rules are our own.

An instrument answers in the order in which it was asked (a serial line has no other way): late,
twice, cut, or not at all.
"""

import itertools

from hypothesis import given, settings
from hypothesis import strategies as st

from benchmeter.links.instruments.formats.modbus_format import ModbusFormat, Register
from benchmeter.links.instruments.formats.scpi_format import ScpiFormat
from benchmeter.links.instruments.formats.text_format import TextFormat
from benchmeter.links.instruments.profile import ChannelOfProfile, Profile
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.reading import Reading
from tests.links.late_instruments import Fault, ModbusModule, ScpiMeter, TextMeter, readings_of

CELSIUS = {"quantity": Quantity.TEMPERATURE, "unit": "°C"}

REPEATED = st.builds(Fault, copies=st.integers(0, 3), copy_ms=st.integers(0, 140))
"""Dropped, or sent up to three times within a time-out."""
NO_NUMBERS = [b"READY\r\n", b'-222,"no"\r\n', b"\r\n"]
UNASKED = st.sampled_from([*NO_NUMBERS, b"ACME,M9,0,1.0\r\n"])
"""Lines that are no number: one that is none of the answers cannot be told from them."""


def faults_of(most_ms: int, *more: st.SearchStrategy[Fault]) -> st.SearchStrategy[list[Fault]]:
    late = st.builds(Fault, delay_ms=st.integers(0, most_ms))
    return st.lists(st.one_of(st.just(Fault()), late, REPEATED, *more), max_size=8)


FRAMES = (
    st.builds(Fault, cut=st.integers(-9, 9)),
    st.builds(Fault, before=st.binary(max_size=20)),
)
LINES = (st.builds(Fault, cut=st.integers(0, 9)), st.builds(Fault, before=UNASKED))
FAULTS, LESS_LATE = faults_of(30_000, *FRAMES), faults_of(3000, *FRAMES)
LINE_FAULTS, LESS_LATE_LINES = faults_of(30_000, *LINES), faults_of(3000, *LINES)
NAMELESS = st.builds(Fault, before=st.sampled_from(NO_NUMBERS))
LESS_LATE_NAMELESS = faults_of(3000, LINES[0], NAMELESS)
"""Of a meter that tells no identity, unasked neither."""
CLEAN_MS = 15_000
"""So long behind the last fault every value must come again."""


def modbus(*counts: int, timeout_ms: int = 300) -> Profile:
    """A run of that many registers each, ten addresses apart."""
    registers = tuple(
        Register(field=f"{10 * run + i}", function=4, address=10 * run + i, scale="0.01")
        for run, count in enumerate(counts)
        for i in range(count)
    )
    return Profile(
        title="Module",
        format=ModbusFormat(registers=registers, timeout_ms=timeout_ms),
        channels=tuple(ChannelOfProfile(field=r.field, **CELSIUS) for r in registers),
    )


def assert_each_register_is_its_own(readings: list[Reading]) -> None:
    by_channel: dict[str, list[int]] = {}
    for reading in readings:
        number = int(100 * (reading.shown.number or 0))
        assert number % 256 == int(reading.channel)
        by_channel.setdefault(reading.channel, []).append(number // 256)
    for counts in by_channel.values():
        # In the order of the answers, which are counted up to 120; a repeated one may come twice.
        assert all((b - a) % 120 < 60 for a, b in itertools.pairwise(counts))


@settings(max_examples=12)
@given(faults=FAULTS, counts=st.lists(st.integers(1, 3), min_size=1, max_size=4))
def test_a_register_is_never_taken_for_another(faults: list[Fault], counts: list[int]) -> None:
    before, behind = readings_of(modbus(*counts), ModbusModule(faults).instrument, CLEAN_MS)
    assert_each_register_is_its_own(before + behind)
    assert {r.channel for r in behind} == {
        str(10 * run + i) for run, count in enumerate(counts) for i in range(count)
    }


@settings(max_examples=12)
@given(faults=LESS_LATE, counts=st.lists(st.integers(1, 1), min_size=1, max_size=3))
def test_nor_where_the_device_knows_no_diagnosis(faults: list[Fault], counts: list[int]) -> None:
    """Then the silence of the line alone tells that nothing comes any more."""
    module = ModbusModule(faults, knows_divider=False)
    before, behind = readings_of(modbus(*counts), module.instrument, CLEAN_MS)
    assert_each_register_is_its_own(before + behind)
    assert {r.channel for r in behind} == {str(10 * run) for run in range(len(counts))}


def scpi(*, identify: str = "*IDN?") -> Profile:
    return Profile(
        title="Meter",
        format=ScpiFormat(
            identify=identify,
            ask_function="FUNC?",
            confirm_function=True,
            start=("SYST:REM",),
            timeout_ms=300,
        ),
        channels=(ChannelOfProfile(),),
    )


def assert_each_value_is_of_its_function(readings: list[Reading]) -> None:
    counts = []
    for reading in readings:
        if reading.status.has_value:
            count, exponent = reading.text.split("E")
            counts.append(int(count))
            of_it = {"-8": Quantity.CAPACITANCE, "+2": Quantity.RESISTANCE}
            assert reading.shown.quantity is of_it[exponent]
    assert counts == sorted(counts)


GREETING = [Fault()] * 5
"""A meter that does not say in the beginning what it measures is not asked for it again."""
TURNS = st.lists(st.integers(0, 60_000), max_size=6)


@settings(max_examples=12)
@given(faults=LINE_FAULTS, turns=TURNS)
def test_a_value_is_never_taken_for_one_of_another_function(
    faults: list[Fault], turns: list[int]
) -> None:
    meter = ScpiMeter([*GREETING, *faults], turns, b"ACME,M1,0,1.0\r\n")
    before, behind = readings_of(scpi(), meter.instrument, CLEAN_MS)
    assert_each_value_is_of_its_function(before + behind)
    assert any(r.status.has_value for r in behind)


@settings(max_examples=12)
@given(faults=LESS_LATE_NAMELESS, turns=TURNS, identify=st.sampled_from(["", "*IDN?"]))
def test_nor_where_the_meter_tells_no_identity(
    faults: list[Fault], turns: list[int], identify: str
) -> None:
    meter = ScpiMeter([*GREETING, *faults], turns, b"")
    before, behind = readings_of(scpi(identify=identify), meter.instrument, CLEAN_MS)
    assert_each_value_is_of_its_function(before + behind)
    assert any(r.status.has_value for r in behind)


@settings(max_examples=12)
@given(faults=LESS_LATE_LINES)
def test_a_line_of_text_is_stored_in_its_order(faults: list[Fault]) -> None:
    profile = Profile(
        title="Thermometer",
        format=TextFormat(
            pattern=r"(?P<value>\d+\.\d) (?P<value_unit>C)", ask="T", terminator="\r"
        ),
        channels=(ChannelOfProfile(**CELSIUS),),
    )
    before, behind = readings_of(profile, TextMeter(faults).instrument, CLEAN_MS)
    counts = [float(r.text.split()[0]) for r in before + behind]
    assert counts == sorted(counts)
    assert behind
