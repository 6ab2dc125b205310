"""IEEE 488.2 messages over a serial line: table, conversation, checks."""

import re
from collections.abc import Generator, Iterator

import msgspec

from benchmeter.errors import Message
from benchmeter.links.decoders.decoder import Decoder
from benchmeter.links.decoders.open_questions import quiet_silences
from benchmeter.links.decoders.scpi import ScpiDecoder
from benchmeter.links.decoders.scpi_dialogue import Question, ScpiDialogue
from benchmeter.links.instruments.formats.wire_format import (
    ChannelOfProfile,
    LineSettings,
    ProfileTable,
    WireFormat,
    asking_faults,
    field_of,
    message_fault,
)
from benchmeter.links.instruments.talk import MS, Ask, Pause, Say, Script, Talk
from benchmeter.links.ports.source import SILENCE_NS
from benchmeter.quantities.quantity import Quantity

__all__ = ["FORMAT", "ScpiConversation", "ScpiFormat"]

_SHORTEST_PAUSE_NS = 250 * MS
_LONGEST_PAUSE_NS = 2_000 * MS
_COMMAND_GAP_NS = 50 * MS  # slow instruments lose what comes right behind a command


class ScpiFormat(ProfileTable, frozen=True, tag="scpi", tag_field="kind", kw_only=True):
    """IEEE 488.2 messages over a serial line.

    Attributes:
        identify: asks for the identity, once after opening and to find step again; "" for none.
        start: sent once after identification, without reply.
        ask_function: asks what the meter is set to ("FUNC?"); "" where the channel fixes it.
        functions: reply of `ask_function` (quotes removed, upper case) -> quantity, besides the
            standard's own names, which are built in.
        confirm_function: the function is asked once more behind each value, and only a value
            between two like answers counts: the knob may be turned while the meter measures.
        read: asks for the value(s): "READ?".
        terminator: ends what we send.
        period_ms: from one question to the next round.
        timeout_ms: how long a reply may take.
        read_timeout_ms: how long a value may take, which must be measured first; absent: as long
            as any reply.
        farewell: sent before closing ("SYST:LOC").
    """

    identify: str = "*IDN?"
    start: tuple[str, ...] = ()
    ask_function: str = ""
    functions: dict[str, Quantity] = msgspec.field(default_factory=dict)
    confirm_function: bool = False
    read: str = "READ?"
    terminator: str = "\n"
    period_ms: int = 250
    timeout_ms: int = 2000
    read_timeout_ms: int | None = None
    farewell: tuple[str, ...] = ()


class ScpiConversation(Talk):
    """Identity, start commands, then rounds of function and value.

    The function is asked in every round, since the knob may be turned, and again behind the value
    where the profile says so. When an answer is late,
    missing or does not fit, the identity is asked to find step again: all before its answer is
    late. An instrument that never tells its identity or its function is asked without them: after a
    missing answer the line is silent for 5 s, or for twice the time-out, before it is asked again.
    """

    def __init__(self, scpi: ScpiFormat) -> None:
        self._scpi = scpi
        self._timeout_ns = scpi.timeout_ms * MS
        self._read_timeout_ns = (scpi.read_timeout_ms or scpi.timeout_ms) * MS
        super().__init__()

    def farewell(self) -> bytes:
        return b"".join(self._message(command) for command in self._scpi.farewell)

    def _forget(self) -> None:
        scpi = self._scpi
        self._dialogue = ScpiDialogue(
            scpi.identify, scpi.ask_function, scpi.read, _quiet(scpi), asks=True
        )
        self._identifies = False
        self._function_missed = False  # not answered, and nothing has been heard since
        self._function_misses = 0
        self._refused = False
        self._losses = 0

    def _said(self, data: bytes) -> None:
        self._dialogue.sent(data)

    def _answers(self, data: bytes) -> list[bool]:
        replies = [r for r in self._dialogue.feed(data) if r.question is not None]
        if replies:
            self._refused = replies[0].refused
        return [r.fault is None for r in replies]

    def _message(self, text: str) -> bytes:
        return (text + self._scpi.terminator).encode("ascii")

    def _ask(self, text: str) -> Ask:
        return Ask(self._message(text), self._timeout_ns)

    def _script(self) -> Script:
        if not self._scpi.identify:
            # What an earlier user's question has left must not pass for the first answer.
            yield Pause(self._now_ns + SILENCE_NS + _COMMAND_GAP_NS)
        while True:
            yield from self._find_step()
            for command in self._scpi.start:
                yield Say(self._message(command))
                yield Pause(self._now_ns + _COMMAND_GAP_NS)
            step_kept = True
            while step_kept:
                begun_ns = self._now_ns
                step_kept = yield from self._round()
                if step_kept:
                    yield Pause(begun_ns + self._scpi.period_ms * MS)
            self._losses += 1
            if self._losses > 1:
                yield Pause(self._now_ns + _growing(self._losses - 2))

    def _find_step(self) -> Script:
        if not self._scpi.identify:
            if self._losses:
                yield Pause(self._now_ns + self._timeout_ns)  # a late answer comes now
            while not self._told_apart():
                yield Pause(self._now_ns + SILENCE_NS)
            return
        tries = 0
        while True:
            if (yield self._ask(self._scpi.identify)) is not None:
                self._identifies = True
                self._is_there()
                if self._told_apart():
                    return
            elif not self._identifies and self._told_apart():
                return
            else:
                yield Pause(self._now_ns + _growing(tries))
                tries += 1

    def _told_apart(self) -> bool:
        """Whether the answers of the next round will be its own."""
        if self._asks_function():
            return self._dialogue.told_apart(Question.FUNCTION, Question.VALUE)
        return self._dialogue.told_apart(Question.VALUE)

    def _asks_function(self) -> bool:
        knows = self._function_misses < 2 and not self._function_missed
        return bool(self._scpi.ask_function) and (knows or self._dialogue.names_function)

    def _round(self) -> Generator[Ask, bool | None, bool]:
        """One value. Whether question and answer still keep step."""
        if self._asks_function():
            answer = yield self._ask(self._scpi.ask_function)
            refused = answer is not None and self._refused
            if (answer is None or refused) and not self._dialogue.names_function:
                self._function_missed = True
            if not (answer or refused):
                return False
        answer = yield Ask(self._message(self._scpi.read), self._read_timeout_ns)
        if not answer:
            return False
        self._is_there()
        self._losses = 0
        if self._scpi.confirm_function and self._dialogue.names_function:
            return bool((yield self._ask(self._scpi.ask_function)))
        return True

    def _is_there(self) -> None:
        """The instrument has answered: what it did not answer before, it does not know."""
        if self._function_missed:
            self._function_missed = False
            self._function_misses += 1


def _quiet(scpi: ScpiFormat) -> int:
    return quiet_silences(max(scpi.timeout_ms, scpi.read_timeout_ms or 0))


def _growing(tries: int) -> int:
    return min(_SHORTEST_PAUSE_NS << min(tries, 8), _LONGEST_PAUSE_NS)


def _faults(scpi: ScpiFormat, channels: tuple[ChannelOfProfile, ...]) -> Iterator[Message]:
    yield from asking_faults(scpi.period_ms, scpi.timeout_ms)
    if scpi.read_timeout_ms is not None and not 0 < scpi.read_timeout_ms <= 60_000:
        yield Message(
            "instruments.between", {"field": "format.read_timeout_ms", "low": 1, "high": 60_000}
        )
    questions = {"identify": scpi.identify, "ask_function": scpi.ask_function, "read": scpi.read}
    for name, question in questions.items():
        yield from message_fault(name, question)
        if "?" not in question and (question or name == "read"):
            yield Message("instruments.question", {"field": f"format.{name}"})
    asked = [question.strip() for question in questions.values() if question]
    if len(set(asked)) < len(asked):
        yield Message("instruments.questions_differ", {"field": "format.identify"})
    for name, messages in (("start", scpi.start), ("farewell", scpi.farewell)):
        for message in messages:
            yield from message_fault(name, message)
            if "?" in message:
                yield Message("instruments.command", {"field": f"format.{name}"})
    if scpi.confirm_function and not scpi.ask_function:
        yield Message("instruments.ask_function_needed", {"field": "format.confirm_function"})
    if not re.fullmatch(r"[\r\n]+", scpi.terminator):
        yield Message("instruments.line_end", {"field": "format.terminator"})
    for i, channel in enumerate(channels):
        if channel.quantity is None and (i or not scpi.ask_function):
            field = {"field": f"channels[{i}].quantity"}
            if i:
                yield Message("instruments.only_first_asked", field)
            else:
                yield Message("instruments.quantity_not_asked", field)


def _decoder(scpi: ScpiFormat, channels: tuple[ChannelOfProfile, ...]) -> Decoder:
    return ScpiDecoder(
        [field_of(channel) for channel in channels],
        identify=scpi.identify,
        ask_function=scpi.ask_function,
        read=scpi.read,
        functions=scpi.functions,
        confirm_function=scpi.confirm_function,
        quiet=_quiet(scpi),
    )


def _conversation(scpi: ScpiFormat, line: LineSettings) -> ScpiConversation:
    return ScpiConversation(scpi)


def _untold_conversion_ms(scpi: ScpiFormat) -> int:
    """READ? and MEASure? start a measurement, FETCh? tells the last one again (SCPI-1999 volume 2,
    3, from memory). Not every meter keeps to it, so some of that doubt is left.
    """
    return 600 if scpi.read.upper().lstrip(" :").startswith(("READ", "MEAS")) else 1_000


FORMAT = WireFormat(
    ScpiFormat,
    _decoder,
    _conversation,
    _faults,
    as_text=True,
    untold_conversion_ms=_untold_conversion_ms,
)
