"""Conversations, held with small instruments over a line without any device or clock."""

import itertools
from collections.abc import Callable
from dataclasses import dataclass, field

import pytest

from benchmeter.links.decoders.decoder import Decoder
from benchmeter.links.decoders.modbus_frames import with_crc
from benchmeter.links.instruments.building import conversation_for, decoder_for
from benchmeter.links.instruments.formats.modbus_format import (
    ModbusConversation,
    ModbusFormat,
    Register,
    frame_gap_ns,
    requests_for,
)
from benchmeter.links.instruments.formats.scpi_format import ScpiConversation, ScpiFormat
from benchmeter.links.instruments.formats.text_format import TextFormat
from benchmeter.links.instruments.profile import ChannelOfProfile, LineSettings, Profile
from benchmeter.links.instruments.talk import Listening
from benchmeter.links.ports.source import SILENCE_NS, Conversation
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.reading import Garbled, Indication

MS = 1_000_000
S = 1_000 * MS


@dataclass
class Line:
    """A line in its own time: an instrument answers each message after a delay, or never.

    `answer(message, number)` gives (delay in ms, bytes) pairs for the message of that number.
    """

    conversation: Conversation
    answer: Callable[[bytes, int], list[tuple[int, bytes]]]
    decoder: Decoder | None = None
    now_ns: int = 5 * S
    sent: list[tuple[int, bytes]] = field(default_factory=list)
    found: list[Indication | Garbled] = field(default_factory=list)

    def run(self, ms: int) -> "Line":
        begun = self.now_ns
        self.conversation.restarted(begun)
        coming: list[tuple[int, bytes]] = []
        heard_ns = begun
        while self.now_ns < begun + ms * MS:
            for item in [c for c in coming if c[0] <= self.now_ns]:
                coming.remove(item)
                heard_ns = self.now_ns
                if self.decoder:
                    self.found += self.decoder.feed(item[1])
                self.conversation.received(item[1], self.now_ns)
            if self.now_ns - heard_ns >= SILENCE_NS:
                heard_ns = self.now_ns
                if self.decoder:
                    self.found += self.decoder.feed(b"")
                self.conversation.received(b"", self.now_ns)
            while message := self.conversation.due(self.now_ns):
                self.sent.append(((self.now_ns - begun) // MS, message))
                if self.decoder:
                    self.decoder.sent(message)
                for delay, data in self.answer(message, len(self.sent)):
                    coming.append((self.now_ns + delay * MS, data))
            wake = self.conversation.wake_ns()
            assert wake is not None
            assert wake > self.now_ns
            times = [wake, heard_ns + SILENCE_NS, *(t for t, _ in coming)]
            self.now_ns = max(self.now_ns + 1, min(times))
        return self

    @property
    def messages(self) -> list[bytes]:
        return [message for _, message in self.sent]

    @property
    def values(self) -> list[float | None]:
        return [f.value for f in self.found if isinstance(f, Indication)]


IDENTITY = b"ACME,M1,0,1.0\r\n"


def scpi(*, fixed: bool = False, **options: object) -> Profile:
    settings = {"ask_function": "FUNC?", "start": ("SYST:REM",), "farewell": ("SYST:LOC",)}
    channel = ChannelOfProfile(quantity=Quantity.CAPACITANCE if fixed else None)
    return Profile(
        title="Meter",
        format=ScpiFormat(**(settings | options)),  # type: ignore[arg-type]
        channels=(channel,),
    )


def meter(
    *, deaf: tuple[bytes, ...] = (), delay: int = 20
) -> Callable[[bytes, int], list[tuple[int, bytes]]]:
    """An instrument that knows no answer to `deaf`; its values count its questions."""
    values = iter(range(1, 1000))

    def answer(message: bytes, number: int) -> list[tuple[int, bytes]]:
        if message in deaf or b"?" not in message:
            return []
        if message == b"*IDN?\n":
            return [(delay, IDENTITY)]
        if message == b"FUNC?\n":
            return [(delay, b'"CAP"\r\n')]
        return [(delay, f"{next(values)}E-6\r\n".encode())]

    return answer


def talk(profile: Profile, answer: Callable[[bytes, int], list[tuple[int, bytes]]]) -> Line:
    return Line(conversation_for(profile), answer, decoder_for(profile))


def test_the_instrument_is_greeted_and_then_asked_in_rounds() -> None:
    line = talk(scpi(), meter()).run(1000)
    assert line.messages[:6] == [
        b"*IDN?\n",
        b"SYST:REM\n",
        b"FUNC?\n",
        b"READ?\n",
        b"FUNC?\n",
        b"READ?\n",
    ]
    rounds = [t for t, message in line.sent if message == b"FUNC?\n"]
    assert [b - a for a, b in itertools.pairwise(rounds)] == [250] * (len(rounds) - 1)
    assert line.values == [float(f"{n}E-6") for n in range(1, len(line.values) + 1)]
    assert len(line.values) >= 3


def test_the_function_is_asked_again_behind_each_value_where_the_profile_says_so() -> None:
    line = talk(scpi(confirm_function=True), meter()).run(5000)
    assert line.messages[2:8] == [b"FUNC?\n", b"READ?\n", b"FUNC?\n"] * 2
    assert line.values == [float(f"{n}E-6") for n in range(1, len(line.values) + 1)]
    assert len(line.values) >= 15

    line = talk(scpi(fixed=True, confirm_function=True), meter(deaf=(b"FUNC?\n",))).run(10_000)
    assert line.messages.count(b"FUNC?\n") == 2
    assert len(line.values) >= 10


@pytest.mark.parametrize("turned_ms", range(0, 600, 23))
def test_no_value_of_one_function_is_ever_taken_for_another(turned_ms: int) -> None:
    def answer(message: bytes, number: int) -> list[tuple[int, bytes]]:
        ohms = line.now_ns - begun_ns >= turned_ms * MS
        if message == b"*IDN?\n":
            return [(20, IDENTITY)]
        if message == b"FUNC?\n":
            return [(20, b'"RES"\r\n' if ohms else b'"CAP"\r\n')]
        return [(90, b"2.6\r\n" if ohms else b"4.4E-5\r\n")] if b"?" in message else []

    line = talk(scpi(confirm_function=True), answer)
    begun_ns = line.now_ns
    line.run(1500)
    read = [f for f in line.found if isinstance(f, Indication)]
    found = {(f.quantity, f.value) for f in read if f.value is not None}
    assert found <= {(Quantity.CAPACITANCE, 4.4e-5), (Quantity.RESISTANCE, 2.6)}
    assert (Quantity.RESISTANCE, 2.6) in found


def test_one_question_at_a_time() -> None:
    line = talk(scpi(), meter(delay=700)).run(10_000)
    asked = [t for t, message in line.sent if b"?" in message]
    assert all(b - a >= 700 for a, b in itertools.pairwise(asked))
    assert len(line.values) >= 5


def test_the_instrument_is_given_back_to_its_keys() -> None:
    assert conversation_for(scpi()).farewell() == b"SYST:LOC\n"


def test_an_instrument_without_identity_is_asked_all_the_same() -> None:
    line = talk(scpi(), meter(deaf=(b"*IDN?\n",))).run(5000)
    assert line.messages[:4] == [b"*IDN?\n", b"SYST:REM\n", b"FUNC?\n", b"READ?\n"]
    assert line.messages.count(b"*IDN?\n") == 1
    assert len(line.values) >= 5


def test_an_instrument_that_does_not_tell_its_function_is_soon_asked_for_values_only() -> None:
    line = talk(scpi(fixed=True), meter(deaf=(b"FUNC?\n",))).run(10_000)
    assert line.messages.count(b"FUNC?\n") == 2
    assert len(line.values) >= 10

    line = talk(scpi(fixed=True), meter(deaf=(b"FUNC?\n", b"*IDN?\n"))).run(20_000)
    assert line.messages.count(b"FUNC?\n") == 2
    assert len(line.values) >= 10


def test_an_instrument_that_refuses_to_tell_its_function_is_soon_asked_for_values_only() -> None:
    plain = meter()

    def refuses(message: bytes, number: int) -> list[tuple[int, bytes]]:
        # SCPI-1999 volume 2, 21.8, from memory.
        refused = message == b"FUNC?\n"
        return [(20, b'-113,"Undefined header"\r\n')] if refused else plain(message, number)

    line = talk(scpi(fixed=True), refuses).run(5000)
    assert line.messages.count(b"FUNC?\n") == 2
    assert line.values == [float(f"{n}E-6") for n in range(1, len(line.values) + 1)]
    assert len(line.values) >= 15


def test_an_instrument_that_repeats_what_it_hears_is_asked_all_the_same() -> None:
    plain = meter()

    def repeats(message: bytes, number: int) -> list[tuple[int, bytes]]:
        return [(5, message), *plain(message, number)]

    line = talk(scpi(), repeats).run(3000)
    assert len(line.values) >= 10
    assert not any(isinstance(f, Garbled) for f in line.found)


def test_without_function_and_fixed_quantity_nothing_is_guessed() -> None:
    line = talk(scpi(), meter(deaf=(b"FUNC?\n",))).run(10_000)
    assert line.values == []
    reasons = {f.reason.code for f in line.found if isinstance(f, Garbled)}
    assert reasons == {"decoders.function_unknown"}


def test_a_meter_that_is_switched_on_later_is_asked_for_its_function() -> None:
    plain = meter()

    def asleep(message: bytes, number: int) -> list[tuple[int, bytes]]:
        return plain(message, number) if line.now_ns > 33 * S else []

    line = talk(scpi(), asleep)
    line.run(40_000)
    assert len(line.values) >= 5
    assert not any(isinstance(f, Garbled) for f in line.found)


def test_step_is_found_again_after_a_late_reply() -> None:
    """Every value is that of its own question, although one answer came after the time-out."""
    plain = meter()

    def slow_once(message: bytes, number: int) -> list[tuple[int, bytes]]:
        # The meter answers in order: while it measures for 3 s, all that follows waits too.
        answers = plain(message, number)
        if number < 8:
            return answers
        busy_until = slow.setdefault("until", line.now_ns + 3 * S)
        wait = max(0, busy_until - line.now_ns) // MS
        return [(wait + delay, data) for delay, data in answers]

    slow: dict[str, int] = {}
    line = talk(scpi(), slow_once)
    line.run(10_000)
    assert line.messages.count(b"*IDN?\n") >= 2
    values = [v for v in line.values if v is not None]
    assert len(values) >= 10
    lost = [f for f in line.found if isinstance(f, Garbled)]
    assert lost  # the late value is dropped, and counted
    assert values == sorted(set(values))
    # The last value is the answer to the last question that was answered.
    assert values[-1] == pytest.approx(line.messages.count(b"READ?\n") * 1e-6, abs=1.5e-6)


def test_a_value_may_take_longer_than_other_replies() -> None:
    """A large capacitance is charged first, while the identity is at hand."""
    plain = meter()

    def slow(message: bytes, number: int) -> list[tuple[int, bytes]]:
        wait = 3000 if message == b"READ?\n" else 0
        return [(delay + wait, data) for delay, data in plain(message, number)]

    line = talk(scpi(timeout_ms=1000, read_timeout_ms=6000), slow).run(20_000)
    assert line.values == [float(f"{n}E-6") for n in range(1, len(line.values) + 1)]
    assert len(line.values) >= 5
    assert not any(isinstance(f, Garbled) for f in line.found)


def test_an_instrument_that_has_fallen_silent_is_looked_for_with_growing_pauses() -> None:
    plain = meter()

    def dying(message: bytes, number: int) -> list[tuple[int, bytes]]:
        return plain(message, number) if number < 6 else []

    line = talk(scpi(timeout_ms=1000), dying).run(20_000)
    asked = [t for t, message in line.sent if message == b"*IDN?\n"][1:]
    pauses = [b - a - 1000 for a, b in itertools.pairwise(asked)]
    assert pauses[:4] == [250, 500, 1000, 2000]
    assert set(pauses[4:]) == {2000}


def test_an_instrument_that_tells_its_name_and_no_value_is_asked_with_growing_pauses() -> None:
    plain = meter()

    def dumb(message: bytes, number: int) -> list[tuple[int, bytes]]:
        return [] if message == b"READ?\n" else plain(message, number)

    line = talk(scpi(timeout_ms=1000), dumb).run(30_000)
    named = [t for t, message in line.sent if message == b"*IDN?\n"]
    rounds = [b - a for a, b in itertools.pairwise(named)]
    assert [lasted - rounds[0] for lasted in rounds[:6]] == [0, 250, 500, 1000, 2000, 2000]


def test_an_answer_that_does_not_fit_makes_the_conversation_find_step() -> None:
    def shifted(message: bytes, number: int) -> list[tuple[int, bytes]]:
        if message == b"FUNC?\n" and number == 3:
            return [(20, b"1E-6\r\n"), (30, b'"CAP"\r\n')]
        return plain(message, number)

    plain = meter()
    line = talk(scpi(), shifted).run(3000)
    assert line.messages[2:4] == [b"FUNC?\n", b"*IDN?\n"]
    assert len(line.values) >= 5


def test_senseless_answers_do_not_flood_the_line() -> None:
    def senseless(message: bytes, number: int) -> list[tuple[int, bytes]]:
        return [(5, IDENTITY if message == b"*IDN?\n" else b"?\r\n")] if b"?" in message else []

    line = talk(scpi(ask_function=""), senseless).run(60_000)
    assert line.values == []
    assert len(line.sent) < 150


def test_without_an_identity_a_late_answer_is_waited_for() -> None:
    profile = scpi(identify="", ask_function="", fixed=True, timeout_ms=500)
    line = talk(profile, meter(delay=700)).run(10_000)
    assert line.sent[0][0] >= 250  # what is left of an earlier talk comes before our question
    asked = [t for t, message in line.sent if message == b"READ?\n"]
    assert all(b - a >= 1000 for a, b in itertools.pairwise(asked))
    assert line.values == [float(f"{n}E-6") for n in range(1, len(line.values) + 1)]


def test_a_reopened_link_is_greeted_from_the_beginning() -> None:
    conversation = ScpiConversation(ScpiFormat())
    conversation.restarted(0)
    assert conversation.due(0) == b"*IDN?\n"
    assert conversation.due(1 * MS) == b""
    conversation.restarted(10 * MS)
    assert conversation.due(10 * MS) == b"*IDN?\n"


def test_the_terminator_is_the_profiles() -> None:
    conversation = ScpiConversation(ScpiFormat(terminator="\r\n"))
    assert conversation.due(0) == b"*IDN?\r\n"


def modbus(*registers: Register, **options: object) -> ModbusFormat:
    return ModbusFormat(registers=registers, **options)  # type: ignore[arg-type]


def reg(
    address: int, kind: str = "int16", function: int = 4, device: int | None = None
) -> Register:
    return Register(
        device=device,
        field=f"{function}/{address}" + (f"/{device}" if device else ""),
        address=address,
        type=kind,  # type: ignore[arg-type]
        function=function,  # type: ignore[arg-type]
    )


def test_neighbouring_registers_are_read_together() -> None:
    def runs(*registers: Register) -> list[tuple[int, int, int]]:
        return [(r.function, r.address, r.count) for r in requests_for(modbus(*registers))]

    assert runs(reg(1), reg(0)) == [(4, 0, 2)]
    assert runs(reg(0, "float32"), reg(2)) == [(4, 0, 3)]
    assert runs(reg(0), reg(2)) == [(4, 0, 1), (4, 2, 1)]
    assert runs(reg(0), reg(1, function=3)) == [(3, 1, 1), (4, 0, 1)]
    # Application protocol V1.1b3, 6.3 and 6.4: at most 125 registers.
    assert runs(*(reg(a) for a in range(130))) == [(4, 0, 125), (4, 125, 5)]
    assert runs(*(reg(a, "int32") for a in range(0, 130, 2))) == [(4, 0, 124), (4, 124, 6)]


@pytest.mark.parametrize(
    ("baud", "gap_ns"),
    [
        # Serial line guide V1.02, 2.5.1.1: 3.5 characters of 11 bits; fixed above 19200 bit/s.
        (1200, 32_083_333),
        (2400, 16_041_667),
        (4800, 8_020_833),
        (9600, 4_010_417),
        (19_200, 2_005_208),
        (38_400, 1_750_000),
        (115_200, 1_750_000),
    ],
)
def test_the_silence_between_frames(baud: int, gap_ns: int) -> None:
    assert frame_gap_ns(LineSettings(baud=baud)) == gap_ns


TEMPERATURE = {"quantity": Quantity.TEMPERATURE, "unit": "°C"}


def device(message: bytes, number: int) -> list[tuple[int, bytes]]:
    """Every register holds its address; other functions are refused (V1.1b3, 7: exception 1)."""
    if message[1] not in (3, 4):
        return [(30, with_crc(bytes([message[0], message[1] | 0x80, 1])))]
    address, count = message[3], message[5]
    body = bytes([message[0], message[1], 2 * count])
    body += b"".join(a.to_bytes(2, "big") for a in range(address, address + count))
    frame = with_crc(body)
    return [(30, frame[:3]), (32, frame[3:])]  # in two pieces


def two_runs(**options: object) -> Profile:
    registers = (reg(0), reg(10))
    channels = tuple(ChannelOfProfile(field=r.field, **TEMPERATURE) for r in registers)  # type: ignore[arg-type]
    return Profile(title="Module", format=modbus(*registers, **options), channels=channels)


DIVIDER = with_crc(bytes.fromhex("01 08 00 0B 00 00"))
"""Return the count of messages (application protocol V1.1b3, 6.8.1)."""


def test_registers_are_read_in_rounds() -> None:
    line = talk(two_runs(), device).run(1400)
    assert line.messages[:4] == [
        with_crc(bytes.fromhex("01 04 00 00 00 01")),
        DIVIDER,
        with_crc(bytes.fromhex("01 04 00 0A 00 01")),
        DIVIDER,
    ]
    assert [t for t, _ in line.sent][3::4] == [500, 1000]
    # 0 °C = 273.15 K by definition.
    assert line.values == [273.15, 283.15] * 3


def test_several_devices_on_one_line_are_each_asked_for_their_own() -> None:
    """The devices of the serial line guide (V1.02, 2.2) share one line."""
    registers = (reg(0), reg(5, device=247), reg(1, device=7), reg(6, device=247), reg(0, device=7))
    channels = tuple(ChannelOfProfile(field=r.field, **TEMPERATURE) for r in registers)  # type: ignore[arg-type]
    profile = Profile(title="Two", format=modbus(*registers), channels=channels)

    def of_its_own(message: bytes, number: int) -> list[tuple[int, bytes]]:
        """Every register holds its address and ten times its device."""
        count = message[5]
        words = [10 * message[0] + message[3] + i for i in range(count)]
        body = bytes([message[0], message[1], 2 * count])
        return [(30, with_crc(body + b"".join(w.to_bytes(2, "big") for w in words)))]

    line = talk(profile, of_its_own).run(450)
    assert [(m[0], m[3], m[5]) for m in line.messages] == [(1, 0, 1), (7, 0, 2), (247, 5, 2)]
    found = {f.field: f.text for f in line.found if isinstance(f, Indication)}
    assert found == {
        "4/0": "10 °C",
        "4/0/7": "70 °C",
        "4/1/7": "71 °C",
        "4/5/247": "2475 °C",
        "4/6/247": "2476 °C",
    }


def test_a_dead_device_does_not_hold_up_the_others_on_its_line() -> None:
    registers = (reg(0), reg(0, device=7), reg(5, device=7))
    channels = tuple(ChannelOfProfile(field=r.field, **TEMPERATURE) for r in registers)  # type: ignore[arg-type]
    profile = Profile(title="Two", format=modbus(*registers), channels=channels)
    alive_from_ns = 0

    def answer(message: bytes, number: int) -> list[tuple[int, bytes]]:
        dead = message[0] == 7 and line.now_ns < alive_from_ns
        return [] if dead else device(message, number)

    line = talk(profile, answer)
    alive_from_ns = line.now_ns + 30 * S
    line.run(40_000)
    fields = [f.field for f in line.found if isinstance(f, Indication)]
    assert fields.count("4/0") >= 40  # of 80 rounds, while each miss takes 2 s and each rest 5 s
    assert fields.count("4/5/7") >= 10  # asked in each round again once it has answered


def test_the_next_request_waits_for_the_silence() -> None:
    conversation = ModbusConversation(modbus(reg(0), reg(10)), LineSettings(baud=9600))
    conversation.restarted(0)
    assert conversation.due(4_010_416) == b""
    assert conversation.due(4_010_417) != b""
    conversation.received(with_crc(bytes.fromhex("01 04 02 00 00")), 40 * MS)
    assert conversation.due(40 * MS) == b""
    assert conversation.wake_ns() == 44_010_417
    assert conversation.due(44_010_417) == DIVIDER


def test_a_late_reply_never_answers_for_other_registers() -> None:
    """An RTU reply does not say which registers it holds."""

    def late(message: bytes, number: int) -> list[tuple[int, bytes]]:
        return [(d + 1500, data) for d, data in device(message, number)]

    line = talk(two_runs(timeout_ms=1000), late).run(20_000)
    found = [f for f in line.found if isinstance(f, Indication)]
    assert found
    assert {(f.field, f.value) for f in found} == {("4/0", 273.15), ("4/10", 283.15)}


def test_a_silent_device_is_asked_again() -> None:
    line = talk(two_runs(timeout_ms=300), lambda message, number: []).run(5000)
    assert len(line.sent) >= 6
    assert line.values == []


def test_an_exception_ends_the_waiting() -> None:
    def refuses(message: bytes, number: int) -> list[tuple[int, bytes]]:
        return [(20, with_crc(bytes([message[0], message[1] | 0x80, 2])))]

    line = talk(two_runs(), refuses).run(1400)
    assert len([message for message in line.messages if message != DIVIDER]) == 6
    assert all(isinstance(f, Garbled) for f in line.found)


def test_text_that_must_be_asked_for_is_asked_for() -> None:
    profile = Profile(
        title="Thermometer",
        format=TextFormat(pattern="(?P<value>[0-9.]+)", ask="T", terminator="\r", period_ms=400),
        channels=(ChannelOfProfile(**TEMPERATURE),),  # type: ignore[arg-type]
    )
    line = talk(profile, lambda message, number: [(30, b"20.0\r\n")]).run(2000)
    assert line.sent == [(t, b"T\r") for t in (0, 400, 800, 1200, 1600)]
    assert line.values == [293.15] * 5
    silent = talk(profile, lambda message, number: []).run(11_000)
    assert [t for t, _ in silent.sent] == [0, 5000, 10_000]  # a late line comes in between


def test_one_who_listens_never_sends() -> None:
    conversation = Listening()
    conversation.restarted(0)
    conversation.received(b"44.10 uF\r\n", 10)
    assert conversation.due(10 * S) == b""
    assert conversation.wake_ns() is None
    assert conversation.farewell() == b""
    unasked = TextFormat(pattern="(?P<value>.*)(?P<value_unit>.*)")
    profile = Profile(title="Meter", format=unasked, channels=(ChannelOfProfile(),))
    assert isinstance(conversation_for(profile), Listening)
