"""What is said to instruments, and when. No input or output, no clock: links ask and tell."""

from collections import Counter
from collections.abc import Generator
from dataclasses import dataclass

from benchmeter.links.decoders.lines import LineSplitter
from benchmeter.links.decoders.modbus import words_of
from benchmeter.links.decoders.modbus_frames import MOST_REGISTERS, ModbusReplies, Request
from benchmeter.links.decoders.scpi_dialogue import ScpiDialogue
from benchmeter.links.instruments.profile import LineSettings, ModbusFormat, ScpiFormat, TextFormat
from benchmeter.links.ports.source import SILENCE_NS

__all__ = [
    "Listening",
    "ModbusConversation",
    "ScpiConversation",
    "TextConversation",
    "frame_gap_ns",
    "requests_for",
]

_MS = 1_000_000
_SHORTEST_PAUSE_NS = 250 * _MS
_LONGEST_PAUSE_NS = 2_000 * _MS
_COMMAND_GAP_NS = 50 * _MS  # slow instruments lose what comes right behind a command
_REST_NS = 5_000 * _MS
_TEXT_TIMEOUT_NS = 2_000 * _MS


@dataclass(frozen=True, slots=True)
class _Ask:
    """Send, and wait for an answer or the time-out."""

    data: bytes
    timeout_ns: int


@dataclass(frozen=True, slots=True)
class _Say:
    """Send."""

    data: bytes


@dataclass(frozen=True, slots=True)
class _Pause:
    until_ns: int


_Script = Generator[_Ask | _Say | _Pause, bool | None, None]
"""A talk, step by step. An `_Ask` yields whether the answer is of use; None after the time-out."""


class Listening:
    """Never says a word: the instrument sends by itself."""

    def due(self, now_ns: int) -> bytes:
        return b""

    def wake_ns(self) -> int | None:
        return None

    def received(self, data: bytes, now_ns: int) -> None:
        pass

    def restarted(self, now_ns: int) -> None:
        pass

    def farewell(self) -> bytes:
        return b""


class _Talk:
    """Follows a script: one question at a time."""

    _now_ns: int
    _heard_ns: int
    _steps: _Script
    _step: _Ask | _Say | _Pause
    _asked: bool
    _asked_ns: int

    def __init__(self) -> None:
        self.restarted(0)

    def _script(self) -> _Script:
        """The talk from the opening of the link on; it has no end."""
        raise NotImplementedError

    def _forget(self) -> None:
        """The link was opened: begin anew."""

    def _said(self, data: bytes) -> None:
        """This is being sent."""

    def _answers(self, data: bytes) -> list[bool]:
        """Whether each answer to the open question that ends in `data` is of use; b"": silence."""
        raise NotImplementedError

    def due(self, now_ns: int) -> bytes:
        self._now_ns = now_ns
        self._notice_silence()
        if self._asked and now_ns >= self.wake_ns():
            self._go_on(None)
        while isinstance(self._step, _Pause) and now_ns >= self._step.until_ns:
            self._go_on(None)
        step = self._step
        if self._asked or isinstance(step, _Pause):
            return b""
        self._said(step.data)
        if isinstance(step, _Ask):
            self._asked, self._asked_ns = True, now_ns
        else:
            self._go_on(None)
        return step.data

    def wake_ns(self) -> int:
        if isinstance(self._step, _Pause):
            return self._step.until_ns
        if isinstance(self._step, _Ask) and self._asked:
            return self._asked_ns + self._step.timeout_ns
        return self._now_ns

    def received(self, data: bytes, now_ns: int) -> None:
        self._now_ns = now_ns
        self._notice_silence()
        self._heard_ns = now_ns
        for of_use in self._answers(data):
            if self._asked:
                self._go_on(of_use)

    def restarted(self, now_ns: int) -> None:
        self._now_ns = self._heard_ns = now_ns
        self._forget()
        self._steps = self._script()
        self._asked, self._asked_ns = False, 0
        self._step = next(self._steps)

    def farewell(self) -> bytes:
        return b""

    def _notice_silence(self) -> None:
        """As the link's own empty chunks tell it to the decoder."""
        if self._now_ns - self._heard_ns >= SILENCE_NS:
            self._answers(b"")

    def _go_on(self, answer: bool | None) -> None:
        self._asked = False
        self._step = self._steps.send(answer)


class ScpiConversation(_Talk):
    """Identity, start commands, then rounds of function and value.

    The function is asked in every round, since the knob may be turned, and again behind the value
    where the profile says so. When an answer is late,
    missing or does not fit, the identity is asked to find step again: all before its answer is
    late. An instrument that never tells its identity or its function is asked without them.
    """

    def __init__(self, scpi: ScpiFormat) -> None:
        self._scpi = scpi
        self._timeout_ns = scpi.timeout_ms * _MS
        self._read_timeout_ns = (scpi.read_timeout_ms or scpi.timeout_ms) * _MS
        super().__init__()

    def farewell(self) -> bytes:
        return b"".join(self._message(command) for command in self._scpi.farewell)

    def _forget(self) -> None:
        self._dialogue = ScpiDialogue(self._scpi.identify, self._scpi.ask_function, self._scpi.read)
        self._identifies = False
        self._names_function = False
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

    def _ask(self, text: str) -> _Ask:
        return _Ask(self._message(text), self._timeout_ns)

    def _script(self) -> _Script:
        if not self._scpi.identify:
            # What an earlier user's question has left must not pass for the first answer.
            yield _Pause(self._now_ns + SILENCE_NS + _COMMAND_GAP_NS)
        while True:
            yield from self._find_step()
            for command in self._scpi.start:
                yield _Say(self._message(command))
                yield _Pause(self._now_ns + _COMMAND_GAP_NS)
            step_kept = True
            while step_kept:
                begun_ns = self._now_ns
                step_kept = yield from self._round()
                if step_kept:
                    yield _Pause(begun_ns + self._scpi.period_ms * _MS)
            self._losses += 1
            if self._losses > 1:
                yield _Pause(self._now_ns + _growing(self._losses - 2))

    def _find_step(self) -> _Script:
        if not self._scpi.identify:
            if self._losses:
                yield _Pause(self._now_ns + self._timeout_ns)  # a late answer comes now
            return
        tries = 0
        while (yield self._ask(self._scpi.identify)) is None:
            if not self._identifies:
                return
            yield _Pause(self._now_ns + _growing(tries))
            tries += 1
        self._identifies = True
        self._is_there()

    def _round(self) -> Generator[_Ask, bool | None, bool]:
        """One value. Whether question and answer still keep step."""
        if self._scpi.ask_function and self._function_misses < 2 and not self._function_missed:
            answer = yield self._ask(self._scpi.ask_function)
            refused = answer is not None and self._refused
            if (answer is None or refused) and not self._names_function:
                self._function_missed = True
            if answer:
                self._names_function = True
            elif not refused:
                return False
        answer = yield _Ask(self._message(self._scpi.read), self._read_timeout_ns)
        if not answer:
            return False
        self._is_there()
        self._losses = 0
        if self._scpi.confirm_function and self._names_function:
            return bool((yield self._ask(self._scpi.ask_function)))
        return True

    def _is_there(self) -> None:
        """The instrument has answered: what it did not answer before, it does not know."""
        if self._function_missed:
            self._function_missed = False
            self._function_misses += 1


class TextConversation(_Talk):
    """Asks for a line, again and again."""

    def __init__(self, text: TextFormat) -> None:
        self._text = text
        super().__init__()

    def _forget(self) -> None:
        self._lines = LineSplitter(b"\r\n", self._text.longest)

    def _answers(self, data: bytes) -> list[bool]:
        return [True for line in self._lines.feed(data) if not line.blank]

    def _script(self) -> _Script:
        question = (self._text.ask + self._text.terminator).encode("ascii")
        while True:
            begun_ns = self._now_ns
            yield _Ask(question, _TEXT_TIMEOUT_NS)
            yield _Pause(begun_ns + self._text.period_ms * _MS)


class ModbusConversation(_Talk):
    """Reads all registers in rounds, with the silence between frames that the guide asks for.

    A device that has been silent twice is asked every 5 s only, so that it does not hold up the
    others on its line.
    """

    def __init__(self, modbus: ModbusFormat, line: LineSettings) -> None:
        self._modbus = modbus
        self._gap_ns = frame_gap_ns(line)
        self._requests = requests_for(modbus)
        super().__init__()

    def _forget(self) -> None:
        self._replies = ModbusReplies()

    def _said(self, data: bytes) -> None:
        self._replies.sent(data)

    def _answers(self, data: bytes) -> list[bool]:
        return [True for reply in self._replies.feed(data) if reply.request is not None]

    def _script(self) -> _Script:
        timeout_ns = self._modbus.timeout_ms * _MS
        several = len({request.device for request in self._requests}) > 1
        silences: Counter[int] = Counter()
        rests_until_ns: dict[int, int] = {}
        while True:
            begun_ns = self._now_ns
            for request in self._requests:
                device = request.device
                if self._now_ns < rests_until_ns.get(device, 0):
                    continue
                yield _Pause(self._heard_ns + self._gap_ns)
                answer = yield _Ask(request.frame, timeout_ns)
                silences[device] = silences[device] + 1 if answer is None else 0
                if several and silences[device] > 1:
                    rests_until_ns[device] = self._now_ns + _REST_NS
                if answer is None and len(self._requests) > 1:
                    # A reply does not tell its registers: a late one must not answer the next.
                    yield _Pause(self._now_ns + timeout_ns)
            yield _Pause(begun_ns + self._modbus.period_ms * _MS)


def requests_for(modbus: ModbusFormat) -> tuple[Request, ...]:
    """One request for each run of neighbouring registers of a device, 125 at most."""
    requests: list[Request] = []
    for device, register in sorted(
        ((modbus.device if r.device is None else r.device, r) for r in modbus.registers),
        key=lambda one: (one[0], one[1].function, one[1].address),
    ):
        end = register.address + words_of(register.type)
        last = requests[-1] if requests else None
        if (
            last is not None
            and (last.device, last.function) == (device, register.function)
            and register.address <= last.address + last.count
            and end - last.address <= MOST_REGISTERS
        ):
            count = max(last.count, end - last.address)
            requests[-1] = Request(device, last.function, last.address, count)
        else:
            requests.append(
                Request(device, register.function, register.address, words_of(register.type))
            )
    return tuple(requests)


def frame_gap_ns(line: LineSettings) -> int:
    """Silence between frames: 3.5 characters, above 19200 bit/s 1.75 ms (guide, 2.5.1.1)."""
    if line.baud > 19_200:
        return 1_750_000
    # The guide's character has 11 bits: the parity bit or a second stop bit takes the last place.
    return round(3.5 * 11 * 1e9 / line.baud)


def _growing(tries: int) -> int:
    return min(_SHORTEST_PAUSE_NS << min(tries, 8), _LONGEST_PAUSE_NS)
