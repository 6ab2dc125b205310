"""Registers of Modbus RTU devices: table, conversation, checks."""

from collections.abc import Generator, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal, InvalidOperation
from typing import Literal

from benchmeter.errors import Message
from benchmeter.links.decoders.decoder import Decoder
from benchmeter.links.decoders.modbus import ModbusDecoder, RegisterField, words_of
from benchmeter.links.decoders.modbus_frames import (
    DIAGNOSIS,
    MOST_REGISTERS,
    ModbusReplies,
    Request,
)
from benchmeter.links.decoders.open_questions import quiet_silences
from benchmeter.links.instruments.formats.wire_format import (
    ChannelOfProfile,
    LineSettings,
    ProfileTable,
    WireFormat,
    asking_faults,
    field_of,
)
from benchmeter.links.instruments.talk import MS, Ask, Pause, Script, Talk
from benchmeter.links.ports.source import SILENCE_NS
from benchmeter.readings.gate import ShownField

__all__ = [
    "FORMAT",
    "ModbusConversation",
    "ModbusFormat",
    "Register",
    "divider_for",
    "frame_gap_ns",
    "requests_for",
]

_REST_NS, _SHORT_REST_NS = 5_000 * MS, 1_000 * MS
_MOST_MISSES = 2
_MARGIN_NS = 30 * MS  # a port is read every 20 ms
_MESSAGE_COUNT = 11  # never 0 in a reply, so that an adapter's echo is not taken for one
_LEAST_FACTOR, _GREATEST_FACTOR = Decimal("1e-30"), Decimal("1e30")


class Register(ProfileTable, frozen=True, kw_only=True):
    """A value in the registers of a Modbus device. Value = raw × scale + offset, in `unit`.

    Attributes:
        field: name of the value.
        device: that holds it, where several hang on one line; absent: the format's.
        function: 3 holding registers, 4 input registers.
        address: counted from 0, as on the wire.
        type: how the registers are read.
        words: order of the two words of a 32-bit value.
        overload, open_probe: raw numbers that are no value but say why there is none.
    """

    field: str
    device: int | None = None
    function: Literal[3, 4] = 3
    address: int
    type: Literal["int16", "uint16", "int32", "uint32", "float32"] = "int16"
    words: Literal["big", "little"] = "big"
    scale: str = "1"
    offset: str = "0"
    overload: tuple[int, ...] = ()
    open_probe: tuple[int, ...] = ()


class ModbusFormat(ProfileTable, frozen=True, tag="modbus", tag_field="kind", kw_only=True):
    """Modbus RTU (serial line guide V1.02)."""

    device: int = 1
    registers: tuple[Register, ...]
    period_ms: int = 500
    timeout_ms: int = 1000


class ModbusConversation(Talk):
    """Reads all registers in rounds, with the silence between frames that the guide asks for.

    A reply does not tell its registers. Where the reply to another request that looks alike may
    still come, late or once more, a divider goes first: a question whose reply looks otherwise.
    It reads fewer of the registers, or else the device's count of messages (application protocol,
    6.8.1, sub-function 11), which every device that keeps to the protocol answers or refuses. To
    one that does neither the line is silent instead: 0.25 s after a reply; 5 s, or twice the
    time-out, where one is missing.

    A device that has been silent twice is asked every 5 s only, so that it does not hold up the
    others on its line; alone on it, every second.
    """

    def __init__(self, modbus: ModbusFormat, line: LineSettings) -> None:
        self._modbus = modbus
        self._gap_ns = frame_gap_ns(line)
        self._quiet_ns = (quiet_silences(modbus.timeout_ms) + 2) * SILENCE_NS
        self._requests = requests_for(modbus)
        super().__init__()

    def _forget(self) -> None:
        self._replies = ModbusReplies(None, asks=True)
        self._asking: Request | None = None

    def _said(self, data: bytes) -> None:
        self._asking = Request.parse(data)
        self._replies.sent(data)

    def _answers(self, data: bytes) -> list[bool]:
        replies = self._replies.feed(data)
        return [True for r in replies if r.request is not None and r.request == self._asking]

    def _script(self) -> Script:
        dividers = {r.device: divider_for(r.device, self._requests) for r in self._requests}
        devices = {n: _Device(d, d.function != DIAGNOSIS) for n, d in dividers.items()}
        while True:
            begun_ns = self._now_ns
            for request in self._requests:
                device = devices[request.device]
                if self._now_ns < device.rests_until_ns:
                    continue
                if not self._replies.told_apart(request):
                    yield from self._part(request, device)
                if self._replies.told_apart(request):
                    answered = yield from self._ask(request, device)
                    if not answered and len(self._requests) > 1:
                        yield Pause(self._now_ns + self._modbus.timeout_ms * MS)  # it may be late
                if device.silences > 1:
                    rest_ns = _REST_NS if len(devices) > 1 else _SHORT_REST_NS
                    device.rests_until_ns = self._now_ns + rest_ns
            yield Pause(begun_ns + self._modbus.period_ms * MS)

    def _part(self, request: Request, device: "_Device") -> Script:
        """Find out whether anything still comes to what this device was asked before."""
        if device.knows_divider or device.misses < _MOST_MISSES:
            while (yield from self._ask(device.divider, device)):
                device.knows_divider = True
                if self._replies.told_apart(request):
                    return
            device.missed = True
            yield Pause(self._now_ns + self._modbus.timeout_ms * MS)  # it may be late
        if device.knows_divider or self._replies.told_apart(request):
            return
        open_to_it = self._replies.open_to(device.divider.device)
        asked = [question for question in open_to_it if question != device.divider]
        if asked and device.silences:
            # It may be busy or away: another question could be taken for this one.
            yield from self._ask(asked[0], device)
        elif device.misses >= _MOST_MISSES:
            yield Pause(self._heard_ns + SILENCE_NS + _MARGIN_NS)
            if not asked or self._now_ns - device.heard_ns > self._quiet_ns:
                self._replies.forget(device.divider.device)

    def _ask(
        self, request: Request, device: "_Device"
    ) -> Generator[Ask | Pause, bool | None, bool]:
        """Whether a reply has come."""
        yield Pause(self._heard_ns + self._gap_ns)
        if (yield Ask(request.frame, self._modbus.timeout_ms * MS)) is None:
            device.silences += 1
            return False
        device.silences, device.heard_ns = 0, self._now_ns
        if request != device.divider and device.missed:
            device.missed, device.misses = False, device.misses + 1
        return True


@dataclass(slots=True)
class _Device:
    """What is known of a device while it is talked with.

    Attributes:
        divider: a question whose reply looks otherwise than those to all others.
        knows_divider: whether it answers or refuses it: as it does all that only reads registers.
        missed: the divider has not been answered, and nothing else since.
        misses: how often it was not, but the next question was.
        silences: so many questions in a row without a reply.
        heard_ns: when the last reply came.
    """

    divider: Request
    knows_divider: bool
    missed: bool = False
    misses: int = 0
    silences: int = 0
    heard_ns: int = 0
    rests_until_ns: int = 0


def divider_for(device: int, requests: Sequence[Request]) -> Request:
    """Of these registers the first ones, so many as no request reads; else a diagnosis."""
    own = [request for request in requests if request.device == device]
    taken = {(request.function, request.count) for request in own}
    for request in own:
        for count in range(request.count - 1, 0, -1):
            if (request.function, count) not in taken:
                return replace(request, count=count)
    return Request(device, DIAGNOSIS, _MESSAGE_COUNT, 0)


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


def _faults(modbus: ModbusFormat, channels: tuple[ChannelOfProfile, ...]) -> Iterator[Message]:
    yield from asking_faults(modbus.period_ms, modbus.timeout_ms)
    if not 1 <= modbus.device <= 247:
        yield Message("instruments.between", {"field": "format.device", "low": 1, "high": 247})
    fields = [register.field for register in modbus.registers]
    if len(set(fields)) < len(fields):
        yield Message("instruments.fields_differ", {"field": "format.registers"})
    used = {channel.field for channel in channels}
    for i, register in enumerate(modbus.registers):
        where = f"format.registers[{i}]"
        if register.field not in used:
            yield Message(
                "instruments.no_channel", {"field": f"{where}.field", "name": register.field}
            )
        if register.device is not None and not 1 <= register.device <= 247:
            yield Message(
                "instruments.between", {"field": f"{where}.device", "low": 1, "high": 247}
            )
        if not 0 <= register.address <= 0x10000 - words_of(register.type):
            yield Message(
                "instruments.between",
                {"field": f"{where}.address", "low": 0, "high": 0x10000 - words_of(register.type)},
            )
        for name, text in (("scale", register.scale), ("offset", register.offset)):
            try:
                number = Decimal(text)
            except InvalidOperation:
                yield Message("instruments.number_in_quotes", {"field": f"{where}.{name}"})
                continue
            # Within what a float32 can hold, so that no number off the wire grows without bounds.
            least = _LEAST_FACTOR if name == "scale" else Decimal(0)
            if not (number.is_finite() and least <= abs(number) <= _GREATEST_FACTOR):
                field = {"field": f"{where}.{name}"}
                if name == "scale":
                    yield Message("instruments.finite_scale", field)
                else:
                    yield Message("instruments.finite_offset", field)
    for i, channel in enumerate(channels):
        if channel.field not in fields:
            yield Message(
                "instruments.no_register", {"field": f"channels[{i}].field", "name": channel.field}
            )
        if channel.quantity is None:
            yield Message("instruments.register_silent", {"field": f"channels[{i}].quantity"})
        elif not channel.unit:
            yield Message("instruments.register_silent", {"field": f"channels[{i}].unit"})


def _registers(modbus: ModbusFormat, fields: list[ShownField]) -> list[RegisterField]:
    by_name = {field.name: field for field in fields}
    found = []
    for register in modbus.registers:
        field = by_name[register.field]
        assert field.quantity is not None, "the loader has checked it"
        found.append(
            RegisterField(
                field,
                field.quantity,
                register.function,
                register.address,
                register.type,
                register.words,
                Decimal(register.scale),
                Decimal(register.offset),
                frozenset(register.overload),
                frozenset(register.open_probe),
                modbus.device if register.device is None else register.device,
            )
        )
    return found


def _decoder(modbus: ModbusFormat, channels: tuple[ChannelOfProfile, ...]) -> Decoder:
    fields = [field_of(channel) for channel in channels]
    return ModbusDecoder(_registers(modbus, fields), quiet_silences(modbus.timeout_ms))


FORMAT = WireFormat(ModbusFormat, _decoder, ModbusConversation, _faults)
