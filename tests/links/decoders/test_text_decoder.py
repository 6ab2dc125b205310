"""Lines of text: the format is our own, the units are SI."""

import pytest

from benchmeter.links.decoders import text_lines
from benchmeter.links.decoders.text_lines import TextDecoder
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.units import UNITS
from benchmeter.readings.gate import ShownField
from benchmeter.readings.reading import Garbled, Indication
from benchmeter.readings.status import Status
from tests.fakes.readings import InSi

TWO = r"T1=(?P<T1>\S+?)(?P<T1_unit>[CF]?) T2=(?P<T2>\S+?)(?P<T2_unit>[CF]?)"
PROBES = [
    ShownField(name, Quantity.TEMPERATURE, UNITS["°C"], 213.15, 473.15) for name in ("T1", "T2")
]
WORDS = {"overload": ["OL"], "no_value": ["---"], "open_probe": ["OPEN"]}
VALUE = r"(?P<value>\S+)(?: (?P<value_unit>.+))?"


def listening(pattern: str = TWO, *fields: ShownField) -> TextDecoder:
    """A decoder that has heard a silence: what comes now begins with a whole line."""
    decoder = TextDecoder(pattern, fields or PROBES, **WORDS)
    decoder.feed(b"")
    return decoder


def one(line: str, field: ShownField | None = None) -> Indication | Garbled:
    found = listening(VALUE, field or ShownField()).feed(line.encode() + b"\r\n")
    assert len(found) == 1
    return found[0]


@pytest.mark.parametrize("end", [b"\n", b"\r", b"\r\n"])
def test_several_values_of_a_line_are_read(three_ways, end: bytes) -> None:
    found = three_ways(listening, b"T1=23.4C T2=35.0C" + end, b"T1=24.0")
    # 0 °C = 273.15 K by definition.
    assert found == [
        InSi("T1", Quantity.TEMPERATURE, 296.55, Status.OK, 0.1, "23.4 C"),
        InSi("T2", Quantity.TEMPERATURE, 308.15, Status.OK, 0.1, "35.0 C"),
    ]


def test_the_unit_in_the_line_counts_more_than_the_profiles() -> None:
    found = listening().feed(b"T1=32.0F T2=95.0\n")
    # 32 °F = 0 °C by definition; the second has no unit, and °C by the profile.
    assert [f.value for f in found if isinstance(f, Indication)] == [273.15, 368.15]


def test_words_say_why_there_is_no_value() -> None:
    found = listening().feed(b"T1=OPEN T2=OL\nT1=--- T2=ol\n")
    assert [f.status for f in found if isinstance(f, Indication)] == [
        Status.NO_CONTACT,
        Status.OVERLOAD,
        Status.NO_VALUE,
        Status.OVERLOAD,
    ]
    assert all(f.value is None for f in found if isinstance(f, Indication))


@pytest.mark.parametrize(
    ("line", "quantity", "value"),
    [
        ("44.10 uF", Quantity.CAPACITANCE, 44.1e-6),
        ("44,10 µF", Quantity.CAPACITANCE, 44.1e-6),
        ("4.700 kΩ", Quantity.RESISTANCE, 4700.0),
        ("60.01 Hz", Quantity.FREQUENCY, 60.01),
        ("230.5 VAC", Quantity.VOLTAGE_AC, 230.5),
        ("-1.2 mV DC", Quantity.VOLTAGE_DC, -0.0012),
        ("3.5 A AC", Quantity.CURRENT_AC, 3.5),
        ("95.0 °F", Quantity.TEMPERATURE, 308.15),
    ],
)
def test_the_unit_tells_what_is_measured(line: str, quantity: Quantity, value: float) -> None:
    found = one(line)
    assert isinstance(found, Indication)
    assert (found.quantity, found.value, found.status) == (quantity, value, Status.OK)


@pytest.mark.parametrize("line", ["230.5 V", "3.5 A", "45 %"])
def test_a_unit_that_leaves_the_quantity_open_is_not_guessed(line: str) -> None:
    found = one(line)
    assert isinstance(found, Indication)
    assert (found.quantity, found.value, found.status) == (None, None, Status.WRONG_FUNCTION)


def test_the_profile_settles_what_a_unit_leaves_open() -> None:
    found = one("230.5 V", ShownField(quantity=Quantity.VOLTAGE_AC))
    assert isinstance(found, Indication)
    assert (found.quantity, found.value) == (Quantity.VOLTAGE_AC, 230.5)


@pytest.mark.parametrize("line", ["230.5 VAC", "4.7 kΩ", "OL MΩ", "23 °C", "230.5 V"])
def test_a_unit_of_another_quantity_is_the_wrong_function(line: str) -> None:
    found = one(line, ShownField(quantity=Quantity.CAPACITANCE, unit=UNITS["F"]))
    assert isinstance(found, Indication)
    assert (found.value, found.status) == (None, Status.WRONG_FUNCTION)


def test_alternating_volts_are_no_residual_voltage() -> None:
    found = one("0.3 VAC", ShownField(quantity=Quantity.VOLTAGE_DC))
    assert isinstance(found, Indication)
    assert found.status is Status.WRONG_FUNCTION


@pytest.mark.parametrize(
    "line",
    ["44.10 mF", "44.10 F", "44.10 furlong", "44.10", "1,234.5 uF", "1'234 uF", "nan uF", "٤٤ uF"],
)
def test_what_cannot_be_read_surely_is_garbled(line: str) -> None:
    # "F" may be Fahrenheit, "mF" microfarad, a number without unit anything.
    assert isinstance(one(line), Garbled)


def test_a_bare_number_has_the_profiles_unit_or_none() -> None:
    assert isinstance(one("44.10", ShownField(quantity=Quantity.CAPACITANCE)), Garbled)
    field = ShownField(quantity=Quantity.CAPACITANCE, unit=UNITS["µF"])
    found = one("44.10", field)
    assert isinstance(found, Indication)
    assert found.value == 44.1e-6


def test_signs_of_one_byte_are_read() -> None:
    # ISO 8859-1: ° is B0, µ is B5.
    decoder = listening(VALUE, ShownField())
    found = decoder.feed(b"25.0 \xb0C\r\n44.1 \xb5F\r\n")
    assert [f.quantity for f in found if isinstance(f, Indication)] == [
        Quantity.TEMPERATURE,
        Quantity.CAPACITANCE,
    ]


def test_an_implausible_value_is_suspect_and_kept() -> None:
    found = listening().feed(b"T1=850.0C T2=20.0C\n")
    assert [f.status for f in found if isinstance(f, Indication)] == [Status.SUSPECT, Status.OK]
    assert isinstance(found[0], Indication)
    assert found[0].value == 1123.15


def test_a_line_of_another_form_is_garbled(three_ways) -> None:
    (found,) = three_ways(listening, b"T1=23.4C\r\n", b"")
    assert isinstance(found, Garbled)
    assert found.data == b"T1=23.4C"


def test_the_first_line_may_have_lost_its_beginning() -> None:
    """ "44.10" may come as "4.10": a whole line, and a wrong value."""
    decoder = TextDecoder(VALUE, [ShownField()])
    found = decoder.feed(b"4.10 uF\r\n44.10 uF\r\n")
    assert isinstance(found[0], Garbled)
    assert isinstance(found[1], Indication)
    decoder.restart()
    assert isinstance(decoder.feed(b"4.10 uF\r\n")[0], Garbled)


def test_a_line_after_a_question_or_a_silence_is_whole() -> None:
    decoder = TextDecoder(VALUE, [ShownField()])
    decoder.sent(b"?\r\n")
    assert isinstance(decoder.feed(b"44.10 uF\r\n")[0], Indication)
    assert isinstance(listening(VALUE, ShownField()).feed(b"44.10 uF\r\n")[0], Indication)


def test_a_line_with_a_pause_in_it_is_never_joined() -> None:
    decoder = listening(VALUE, ShownField())
    decoder.feed(b"12.3")
    decoder.feed(b"")
    found = decoder.feed(b"4 uF\r\n44.10 uF\r\n")
    assert [type(f) for f in found] == [Garbled, Indication]


def test_what_began_before_the_question_is_not_its_answer() -> None:
    decoder = listening(VALUE, ShownField())
    decoder.feed(b"12")
    decoder.sent(b"?\r\n")
    assert isinstance(decoder.feed(b"3.4 uF\r\n")[0], Garbled)


def test_a_line_that_is_too_long_is_dropped_to_its_end() -> None:
    decoder = listening(VALUE, ShownField())
    found = decoder.feed(b"1" * 10_000 + b" uF\r\n44.10 uF\r\n")
    assert [type(f) for f in found] == [Garbled, Indication]
    assert len(found[0].data) <= 256  # type: ignore[union-attr]


def test_a_value_that_the_pattern_leaves_out_is_no_fault() -> None:
    decoder = listening(r"A(?P<T1>[0-9.]+)?(?: B(?P<T2>[0-9.]+))?")
    (found,) = decoder.feed(b"A20.0\n")
    assert isinstance(found, Indication)
    assert found.field == "T1"
    (nothing,) = decoder.feed(b"A\n")
    assert isinstance(nothing, Garbled)


def test_a_number_that_no_float_can_hold_is_garbled() -> None:
    for line in ("1e999 Hz", "1e-999 Hz"):
        assert isinstance(one(line), Garbled)


def test_direct_current_of_a_unit_that_has_none_is_garbled() -> None:
    assert isinstance(one("44.1 uF DC"), Garbled)


def test_the_power_up_value_of_a_digital_probe_is_suspect() -> None:
    """85 °C: Linux kernel documentation of w1_therm."""
    celsius = UNITS["°C"]
    field = ShownField("T1", Quantity.TEMPERATURE, celsius, doubtful=(358.15,))
    decoder = TextDecoder(r"T1=(?P<T1>[\d.]+)", [field])
    decoder.sent(b"?")
    found = decoder.feed(b"T1=85.0\nT1=85.1\n")
    assert [f.status for f in found if isinstance(f, Indication)] == [Status.SUSPECT, Status.OK]


@pytest.mark.timeout(20)
@pytest.mark.parametrize(
    "pattern", [r"(?P<value>(([a-z])+.)+[A-Z]([a-z])+)", r"(?P<value>(.*a){20}b)"]
)
def test_a_pattern_that_tries_every_way_is_given_up(
    monkeypatch: pytest.MonkeyPatch, pattern: str
) -> None:
    """Such patterns take exponential time, or the twentieth power (common practice, no source)."""
    monkeypatch.setattr(text_lines, "_LONGEST_MATCH_S", 0.02)
    decoder = TextDecoder(pattern, [ShownField(quantity=Quantity.CAPACITANCE)])
    decoder.feed(b"")
    with pytest.raises(TimeoutError):
        decoder.feed(b"a" * 250 + b"\r\n")
