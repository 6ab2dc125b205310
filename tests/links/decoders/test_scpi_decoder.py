"""IEEE 488.2 and SCPI-1999 replies. Clauses from memory unless another source is named."""

import math

import pytest

from benchmeter.links.decoders.scpi import ScpiDecoder, function_named
from benchmeter.quantities.quantity import Quantity
from benchmeter.quantities.units import UNITS
from benchmeter.readings.gate import ShownField
from benchmeter.readings.reading import Garbled, Indication
from benchmeter.readings.status import Status
from tests.fakes.readings import InSi
from tests.fakes.refusals import said

CAPACITANCE = ShownField(quantity=Quantity.CAPACITANCE, unit=UNITS["F"], lowest=-1e-6, highest=0.1)


def asked(*fields: ShownField, question: bytes = b"READ?\n", **options: object) -> ScpiDecoder:
    """A decoder whose instrument has just been asked."""
    decoder = ScpiDecoder(fields or (CAPACITANCE,), **options)  # type: ignore[arg-type]
    decoder.sent(question)
    return decoder


def value(line: bytes, *fields: ShownField) -> Indication | Garbled:
    found = asked(*fields).feed(line)
    assert len(found) == 1
    return found[0]


@pytest.mark.parametrize(
    ("written", "farads"),
    [
        ("+4.41000E-05", 44.1e-6),  # NR3
        ("4.41E-05", 44.1e-6),
        (".00005", 50e-6),  # NR2 without leading digit
        ("0", 0.0),  # NR1
        ("-1.5E-9", -1.5e-9),
    ],
)
def test_numbers_are_read_in_all_three_forms(three_ways, written: str, farads: float) -> None:
    # IEEE 488.2, 8.7.2 to 8.7.4.
    for end in ("\n", "\r\n"):
        (found,) = three_ways(asked, (written + end).encode(), b"+1.")
        assert found == InSi("", Quantity.CAPACITANCE, farads, Status.OK, found.resolution, written)


def test_plain_numbers_keep_their_value_and_sign() -> None:
    # IEEE 488.2: NR1 "+12", NR2 "4.410" and "-1.5".
    volts = ShownField(quantity=Quantity.VOLTAGE_DC)
    for written, number in (("+12", 12.0), ("-5", -5.0), ("4.410", 4.41), ("-1.5", -1.5)):
        found = value(written.encode() + b"\n", volts)
        assert isinstance(found, Indication)
        assert found.value == number


@pytest.mark.parametrize(
    ("written", "resolution"),
    [("+4.41000E-05", 1e-10), ("4.41E-05", 1e-7), ("12", 1.0), ("4.410", 0.001), ("5E3", 1000.0)],
)
def test_the_resolution_is_the_worth_of_the_last_written_digit(
    written: str, resolution: float
) -> None:
    found = value(written.encode() + b"\n", ShownField(quantity=Quantity.VOLTAGE_DC))
    assert isinstance(found, Indication)
    assert found.resolution == resolution


@pytest.mark.parametrize("written", ["9.9E37", "+9.90000000E+37", "9.8999999E+37", "-9.9E37"])
def test_infinity_is_an_overload(three_ways, written: str) -> None:
    # SCPI-1999 volume 1, 7.2.1.4; single precision prints 9.8999999E+37.
    (found,) = three_ways(asked, written.encode() + b"\n", b"")
    assert found == InSi("", Quantity.CAPACITANCE, None, Status.OVERLOAD, None, written)


@pytest.mark.parametrize("written", ["9.91E37", "9.9100000E+37", "9.9099999E+37"])
def test_not_a_number_is_no_value(written: str) -> None:
    # SCPI-1999 volume 1, 7.2.1.5.
    found = value(written.encode() + b"\n")
    assert found == InSi("", Quantity.CAPACITANCE, None, Status.NO_VALUE, None, written)


def test_several_values_go_to_the_channels_in_their_order(three_ways) -> None:
    fields = (
        ShownField("volts", Quantity.VOLTAGE_AC),
        ShownField("hertz", Quantity.FREQUENCY),
    )
    found = three_ways(lambda: asked(*fields), b"230.5, 60.01\n", b"")
    assert [(f.field, f.value) for f in found] == [("volts", 230.5), ("hertz", 60.01)]


@pytest.mark.parametrize("line", [b"1,2\n", b"1,\n", b",1\n"])
def test_more_or_fewer_values_than_channels_are_garbled(line: bytes) -> None:
    assert isinstance(value(line), Garbled)


@pytest.mark.parametrize(
    "line", [b"ERROR\n", b"4.41E-05 uFx\n", b"--1\n", b"1e\n", b"44,1\n", b"0x12\n", b"4.4\xff\n"]
)
def test_what_is_no_number_is_garbled(line: bytes) -> None:
    assert isinstance(value(line), Garbled)


def test_an_empty_reply_is_garbled() -> None:
    for line in (b"\n", b"\r\n", b"  \r\n"):
        found = value(line)
        assert isinstance(found, Garbled)
        assert "empty" in said(found.reason)


@pytest.mark.parametrize("end", [b"\n", b"\r", b"\r\n", b"\n\r", b"\r\r\n"])
def test_each_line_end_ends_one_reply(end: bytes) -> None:
    # IEEE 488.2, 8.5 asks for LF; serial instruments that send CR are common practice, no source.
    decoder = ScpiDecoder([ShownField()], **ASKING)
    values = []
    for number in range(3):
        decoder.sent(b"FUNC?\n")
        # The first byte of the end is enough; what follows comes after the next question.
        found = decoder.feed(b'"CAP"' + end[:1])
        decoder.sent(b"READ?\n")
        found += decoder.feed(end[1:] + b"%dE-6" % number + end)
        assert [type(f) for f in found] == [Indication]
        values.append(found[0].text)
    assert values == ["0E-6", "1E-6", "2E-6"]


def test_a_line_that_repeats_the_question_is_an_echo_and_no_reply() -> None:
    decoder = ScpiDecoder([ShownField()], **ASKING)
    decoder.sent(b"*IDN?\n")
    assert decoder.feed(b"*IDN?\r\nACME,M1,0,1.0\r\n") == []
    decoder.sent(b"SYST:REM\n")
    assert decoder.feed(b"SYST:REM\r\n") == []
    (found,) = round_of(decoder, b'FUNC?\n"CAP"\n', b"READ?\n4.41E-05\n")
    assert isinstance(found, Indication)
    assert found.value == 44.1e-6


@pytest.mark.parametrize("written", ["INF", "+INF", "-INF", "NINF", "INFinity", "OL", "0L", "OVLD"])
def test_words_for_infinity_are_an_overload(written: str) -> None:
    # SCPI-1999 volume 1, 7.2.1: INFinity and NINFinity; OL: common practice, no source.
    found = value(written.encode() + b"\n")
    assert found == InSi("", Quantity.CAPACITANCE, None, Status.OVERLOAD, None, written)


def test_the_word_for_not_a_number_is_no_value() -> None:
    # SCPI-1999 volume 1, 7.2.1: NAN.
    found = value(b"NAN\n")
    assert found == InSi("", Quantity.CAPACITANCE, None, Status.NO_VALUE, None, "NAN")


@pytest.mark.parametrize("error", [b'-113,"Undefined header"', b'-100,"Command"', b"ERROR: what?"])
def test_an_error_in_place_of_the_function_names_no_function(error: bytes) -> None:
    # SCPI-1999 volume 2, 21.8: number and quoted text.
    decoder = ScpiDecoder([CAPACITANCE], **ASKING)
    refused, found = round_of(decoder, error + b"\n", b"4.41E-05\n")
    assert isinstance(refused, Garbled)
    assert error.decode() in said(refused.reason)
    assert isinstance(found, Indication)  # the profile says what is measured
    assert found.value == 44.1e-6

    decoder = ScpiDecoder([ShownField()], **ASKING)
    found = round_of(decoder, error + b"\n", b"4.41E-05\n")
    assert [type(f) for f in found] == [Garbled, Garbled]


def test_a_reply_that_is_no_number_is_told_in_its_own_words() -> None:
    for line in (b"BUSY\n", b'-113,"Undefined header"\n'):
        found = value(line)
        assert isinstance(found, Garbled)
        assert line.decode().strip() in said(found.reason)


def test_a_unit_behind_the_number_must_fit_the_quantity() -> None:
    farads = value(b"4.41E-05F\n")
    assert isinstance(farads, Indication)
    assert farads.value == 44.1e-6
    micro = value(b"44.1 UF\n")
    assert isinstance(micro, Indication)
    assert micro.value == 44.1e-6
    assert isinstance(value(b"4.41E-05F\n", ShownField(quantity=Quantity.VOLTAGE_DC)), Garbled)
    assert isinstance(value(b"44.1 MF\n"), Garbled)  # micro or milli: not for us to guess


def test_temperatures_become_kelvin_exactly() -> None:
    # 0 °C = 273.15 K and 32 °F = 0 °C: the definitions of the scales.
    found = value(b"35.4\n", ShownField(quantity=Quantity.TEMPERATURE))
    assert isinstance(found, Indication)
    assert (found.value, found.resolution) == (308.55, 0.1)
    field = ShownField(quantity=Quantity.TEMPERATURE, unit=UNITS["°F"])
    found = value(b"95\n", field)
    assert isinstance(found, Indication)
    assert found.value == 308.15
    assert found.resolution is not None
    assert math.isclose(found.resolution, 5 / 9)


def test_an_implausible_value_is_suspect_and_kept() -> None:
    found = value(b"-0.002\n")
    assert isinstance(found, Indication)
    assert (found.value, found.status) == (-0.002, Status.SUSPECT)


@pytest.mark.parametrize(
    ("reply", "quantity"),
    [
        ('"CAP"', Quantity.CAPACITANCE),
        ("CAP", Quantity.CAPACITANCE),
        ("capacitance", Quantity.CAPACITANCE),
        ('"RES"', Quantity.RESISTANCE),
        ("FRES", Quantity.RESISTANCE),
        ("VOLT:AC", Quantity.VOLTAGE_AC),
        ('"VOLT"', Quantity.VOLTAGE_DC),
        ("VOLT:DC", Quantity.VOLTAGE_DC),
        ("CURR", Quantity.CURRENT_DC),
        ("CURRent:AC", Quantity.CURRENT_AC),
        ("TEMP", Quantity.TEMPERATURE),
        ("FREQ", Quantity.FREQUENCY),
        ("DIOD", Quantity.DIODE),
        ("CONT", Quantity.CONTINUITY),
        ('"SENSe:VOLTage:AC"', Quantity.VOLTAGE_AC),
        ("'SENS:FRESistance'", Quantity.RESISTANCE),
        # SCPI-1999 volume 2, CONFigure?: the function, then its parameters. From memory.
        ('"CAP +1.000000E-04,+1.000000E-10"', Quantity.CAPACITANCE),
        ("VOLT:AC DEF,DEF", Quantity.VOLTAGE_AC),
    ],
)
def test_functions_have_short_and_long_names(reply: str, quantity: Quantity) -> None:
    # SCPI-1999 volume 1, 6.2.1: short or long form, letter case without meaning.
    assert function_named(reply) is quantity


@pytest.mark.parametrize("reply", ["CAPA", "VOLTA", "VOLT:ACDC", "PER", "", '"', "AC", "VOLT AC"])
def test_names_between_short_and_long_are_no_names(reply: str) -> None:
    # SCPI-1999 volume 1, 6.2.1: nothing but the short and the long form.
    assert function_named(reply) is None


ASKING = {"ask_function": "FUNC?"}


def round_of(decoder: ScpiDecoder, function: bytes, reply: bytes) -> list[Indication | Garbled]:
    decoder.sent(b"FUNC?\n")
    found = decoder.feed(function)
    decoder.sent(b"READ?\n")
    return found + decoder.feed(reply)


def test_the_meter_says_what_it_measures() -> None:
    decoder = ScpiDecoder([ShownField()], **ASKING)
    (found,) = round_of(decoder, b'"CAP"\n', b"+4.41E-05\n")
    assert found == InSi("", Quantity.CAPACITANCE, 44.1e-6, Status.OK, 1e-7, "+4.41E-05")
    (found,) = round_of(decoder, b'"VOLT:AC"\n', b"230.5\n")
    assert isinstance(found, Indication)
    assert found.quantity is Quantity.VOLTAGE_AC


def test_another_function_than_the_channels_is_no_value() -> None:
    decoder = ScpiDecoder([CAPACITANCE], **ASKING)
    (found,) = round_of(decoder, b'"RES"\n', b"44.1\n")
    assert found == InSi("", Quantity.RESISTANCE, None, Status.WRONG_FUNCTION, None, "44.1")


def test_the_wrong_function_counts_more_than_an_overload() -> None:
    decoder = ScpiDecoder([CAPACITANCE], **ASKING)
    (found,) = round_of(decoder, b'"RES"\n', b"9.9E37\n")
    assert isinstance(found, Indication)
    assert found.status is Status.WRONG_FUNCTION


def test_a_function_that_is_not_known_is_not_guessed() -> None:
    for field in (ShownField(), CAPACITANCE):
        decoder = ScpiDecoder([field], **ASKING)
        (found,) = round_of(decoder, b'"PER"\n', b"0.02\n")
        assert isinstance(found, Indication)
        assert (found.quantity, found.value) == (None, None)
        assert found.status is Status.WRONG_FUNCTION


@pytest.mark.parametrize("noise", [b'\xff"CAP"\n', b'"C\x00P"\n'])
def test_a_name_with_noise_in_it_says_nothing_of_the_knob(noise: bytes) -> None:
    decoder = ScpiDecoder([CAPACITANCE], **ASKING)
    assert [type(f) for f in round_of(decoder, noise, b"4.41E-05\n")] == [Garbled, Garbled]


def test_the_profile_names_more_functions() -> None:
    decoder = ScpiDecoder([ShownField()], functions={"CPAR": Quantity.CAPACITANCE}, **ASKING)
    (found,) = round_of(decoder, b'"CPAR"\n', b"1E-6\n")
    assert isinstance(found, Indication)
    assert found.quantity is Quantity.CAPACITANCE


def test_a_meter_that_never_names_its_function_is_taken_at_the_profiles_word() -> None:
    decoder = ScpiDecoder([CAPACITANCE], **ASKING)
    decoder.sent(b"FUNC?\n")
    decoder.feed(b"")
    decoder.sent(b"READ?\n")
    (found,) = decoder.feed(b"4.41E-05\n")
    assert isinstance(found, Indication)
    assert found.value == 44.1e-6

    decoder = ScpiDecoder([ShownField()], **ASKING)
    decoder.sent(b"READ?\n")
    (found,) = decoder.feed(b"4.41E-05\n")
    assert isinstance(found, Garbled)
    assert said(found.reason).startswith("the meter does not say what it measures")


def test_a_function_holds_for_one_value_only() -> None:
    """The knob may have been turned since."""
    decoder = ScpiDecoder([CAPACITANCE], **ASKING)
    round_of(decoder, b'"CAP"\n', b"4.41E-05\n")
    decoder.sent(b"FUNC?\n")
    decoder.feed(b"")  # no answer this time
    decoder.sent(b"READ?\n")
    (found,) = decoder.feed(b"4.41E-05\n")
    assert isinstance(found, Garbled)


def test_a_function_does_not_outlive_a_lost_value() -> None:
    decoder = ScpiDecoder([CAPACITANCE], **ASKING)
    decoder.sent(b"FUNC?\n")
    decoder.feed(b'"CAP"\n')
    decoder.sent(b"READ?\n")
    decoder.feed(b"")
    decoder.sent(b"READ?\n")
    (found,) = decoder.feed(b"4.41E-05\n")
    assert isinstance(found, Garbled)


def test_limits_of_a_temperature_are_none_of_a_resistance() -> None:
    field = ShownField("", None, UNITS["°C"], 213.15, 473.15, (358.15,))  # -60 to 200 °C, 85 °C
    decoder = ScpiDecoder([field], **ASKING)
    for function, reply, status in [
        (b'"RES"\n', b"12.4\n", Status.OK),
        (b'"RES"\n', b"358.15\n", Status.OK),
        (b'"TEMP"\n', b"21.5\n", Status.OK),
        (b'"TEMP"\n', b"212.0\n", Status.SUSPECT),
        (b'"TEMP"\n', b"85.00\n", Status.SUSPECT),
    ]:
        (found,) = round_of(decoder, function, reply)
        assert isinstance(found, Indication) and found.status is status, (function, reply)


def confirming_round(
    before: bytes, value: bytes, after: bytes, field: ShownField | None = None
) -> list[Indication | Garbled]:
    decoder = ScpiDecoder([field or ShownField()], confirm_function=True, **ASKING)
    assert round_of(decoder, before, value) == []
    decoder.sent(b"FUNC?\n")
    return decoder.feed(after)


def test_a_value_counts_only_between_two_like_answers_where_that_is_asked_for() -> None:
    """The knob may be turned while the meter measures (our own rule)."""
    (found,) = confirming_round(b'"RES"\n', b"2.6\n", b'"RES"\n')
    assert found == InSi("", Quantity.RESISTANCE, 2.6, Status.OK, 0.1, "2.6")
    (found,) = confirming_round(b'"RES"\n', b"4.41E-05\n", b'"CAP"\n')
    assert found == InSi("", None, None, Status.NO_VALUE, None, "4.41E-05")
    (found,) = confirming_round(b'"RES"\n', b"9.9E37\n", b'"CAP"\n')
    assert found == InSi("", None, None, Status.NO_VALUE, None, "9.9E37")
    (found,) = confirming_round(b'"CAP"\n', b"0.1\n", b'"RES"\n', CAPACITANCE)
    assert found == InSi("", None, None, Status.NO_VALUE, None, "0.1")


def test_of_two_numbers_for_one_question_none_is_the_answer(three_ways) -> None:
    """Our own rule: which of them answers cannot be told."""

    def confirming() -> ScpiDecoder:
        decoder = ScpiDecoder([ShownField()], confirm_function=True, **ASKING)
        assert round_of(decoder, b'"RES"\n', b"") == []
        return decoder

    found = three_ways(confirming, b"2.6\n12.0\n", b"")
    assert [f.data for f in found if isinstance(f, Garbled)] == [b"12.0", b"2.6"]
    decoder = confirming()
    decoder.feed(b"2.6\n12.0\n")
    decoder.sent(b"FUNC?\n")
    assert not any(isinstance(f, Indication) for f in decoder.feed(b'"RES"\n'))


def test_an_answer_behind_a_value_does_not_hold_for_the_next() -> None:
    decoder = ScpiDecoder([ShownField()], confirm_function=True, **ASKING)
    round_of(decoder, b'"RES"\n', b"2.6\n")
    decoder.sent(b"FUNC?\n")
    decoder.feed(b'"RES"\n')
    decoder.sent(b"READ?\n")
    (found,) = decoder.feed(b"2.7\n")
    assert isinstance(found, Garbled)


@pytest.mark.parametrize("after", [b"", b'"R\xffS"\n', b'-113,"Undefined header"\n'])
def test_a_value_that_is_not_confirmed_is_told_and_is_none(after: bytes) -> None:
    decoder = ScpiDecoder([ShownField()], confirm_function=True, **ASKING)
    round_of(decoder, b'"RES"\n', b"2.6\n")
    decoder.sent(b"FUNC?\n")
    found = decoder.feed(after)
    decoder.sent(b"*IDN?\n")
    found += decoder.feed(b"")
    assert {type(f) for f in found} == {Garbled}
    assert [f.data for f in found if isinstance(f, Garbled)].count(b"2.6") == 1


def test_replies_that_have_changed_places_give_no_value() -> None:
    decoder = ScpiDecoder([ShownField()], **ASKING)
    found = round_of(decoder, b"4.41E-05\n", b'"CAP"\n')
    assert [type(f) for f in found] == [Garbled, Garbled]


def test_questions_of_one_message_are_answered_in_their_order() -> None:
    decoder = ScpiDecoder([ShownField()], **ASKING)
    decoder.sent(b"FUNC?\nREAD?\n")
    (found,) = decoder.feed(b'"CAP"\n+4.41E-05\n')
    assert isinstance(found, Indication)
    assert found.quantity is Quantity.CAPACITANCE


def test_a_line_that_was_not_asked_for_is_garbled(three_ways) -> None:
    (found,) = three_ways(lambda: ScpiDecoder([CAPACITANCE]), b"4.41E-05\n", b"")
    assert isinstance(found, Garbled)
    decoder = asked()
    found = decoder.feed(b"1E-6\n2E-6\n")
    assert [type(f) for f in found] == [Indication, Garbled]


def test_a_command_without_question_mark_wants_no_reply() -> None:
    decoder = ScpiDecoder([CAPACITANCE])
    decoder.sent(b"SYST:REM\n")
    assert isinstance(decoder.feed(b"1E-6\n")[0], Garbled)


IDENTITY = b"ACME,M1,0,1.0"  # four fields: IEEE 488.2, 10.14


def test_the_identity_is_kept(three_ways) -> None:
    assert three_ways(lambda: asked(question=b"*IDN?\n"), IDENTITY + b"\r\n", b"") == []
    decoder = asked(question=b"*IDN?\n")
    decoder.feed(IDENTITY + b"\r\n")
    assert decoder.identity == "ACME,M1,0,1.0"
    decoder.restart()
    assert decoder.identity == ""


def test_step_is_found_again_by_the_identity() -> None:
    """A reply is late: all before the identity is dropped, what follows is paired again."""
    decoder = asked()
    decoder.feed(b"")
    decoder.sent(b"*IDN?\n")
    found = decoder.feed(b"1E-6\n1,2,3,4\n" + IDENTITY + b"\n")
    assert [type(f) for f in found] == [Garbled, Garbled]
    decoder.sent(b"READ?\n")
    (found,) = decoder.feed(b"2E-6\n")
    assert isinstance(found, Indication)
    assert found.value == 2e-6


def test_a_second_identity_that_comes_late_answers_nothing_else() -> None:
    """The identity was asked for twice since the first answer was late."""
    decoder = asked(question=b"*IDN?\n")
    decoder.sent(b"*IDN?\n")
    decoder.feed(IDENTITY + b"\n")
    decoder.sent(b"READ?\n")
    found = decoder.feed(IDENTITY + b"\n2E-6\n")
    assert [type(f) for f in found] == [Garbled, Indication]


def test_a_question_after_an_unanswered_identity_is_answered() -> None:
    decoder = asked(question=b"*IDN?\n")
    decoder.sent(b"READ?\n")
    assert isinstance(decoder.feed(b"2E-6\n")[0], Indication)


def test_a_number_with_a_pause_in_it_is_never_joined() -> None:
    # A read that times out hands out b"12.3" and later b"4\n": half a frame looks like a value.
    decoder = asked(ShownField(quantity=Quantity.VOLTAGE_DC))
    decoder.feed(b"12.3")
    decoder.feed(b"")
    (found,) = decoder.feed(b"4\n")
    assert isinstance(found, Garbled)


def test_what_began_before_the_question_is_not_its_answer() -> None:
    decoder = ScpiDecoder([ShownField(quantity=Quantity.VOLTAGE_DC)])
    decoder.feed(b"12")
    decoder.sent(b"READ?\n")
    (found,) = decoder.feed(b"3.4\n")
    assert isinstance(found, Garbled)


def test_noise_before_the_first_question_costs_nothing() -> None:
    decoder = ScpiDecoder([CAPACITANCE])
    decoder.feed(b"\xff\x00")
    assert isinstance(decoder.feed(b"")[0], Garbled)
    decoder.sent(b"READ?\n")
    assert isinstance(decoder.feed(b"1E-6\n")[0], Indication)


def test_blocks_of_data_are_swallowed_line_ends_included(three_ways) -> None:
    # IEEE 488.2, 8.7.9: #<digits><length><data>; 8.7.10: #0 ends with the line.
    for block in (b"#15HELLO\n", b"#15\n1E-6\n", b"#0HELLO\n"):
        (found,) = three_ways(asked, block, b"")
        assert isinstance(found, Garbled)


def test_a_block_that_never_ends_does_not_outlive_the_silence() -> None:
    decoder = asked()
    decoder.feed(b"#9999999999")
    decoder.feed(b"")
    decoder.sent(b"READ?\n")
    decoder.feed(b"1E-6\n")
    decoder.sent(b"READ?\n")
    assert isinstance(decoder.feed(b"1E-6\n")[0], Indication)


def test_a_line_without_end_does_not_grow() -> None:
    decoder = asked()
    assert decoder.feed(b"1" * 100_000) == []
    (found,) = decoder.feed(b"\n")
    assert isinstance(found, Garbled)
    assert len(found.data) <= 512


def test_a_restart_forgets_what_was_asked_and_the_tail() -> None:
    decoder = asked()
    decoder.feed(b"1E")
    decoder.restart()
    (found,) = decoder.feed(b"-6\n")
    assert isinstance(found, Garbled)
