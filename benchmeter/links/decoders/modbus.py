"""Registers of Modbus RTU devices, as replies to the last request."""

import math
import struct
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from benchmeter.errors import InputError, Message
from benchmeter.links.decoders.modbus_frames import ModbusReplies, Request, RtuReply
from benchmeter.links.decoders.open_questions import QUIET_SILENCES
from benchmeter.links.decoders.shown_number import base_unit, indicated
from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.gate import ShownField, WrittenUnit
from benchmeter.readings.reading import Garbled, Indication
from benchmeter.readings.status import Status

__all__ = ["ModbusDecoder", "RegisterField", "RegisterType", "float32_number", "words_of"]

RegisterType = Literal["int16", "uint16", "int32", "uint32", "float32"]

_EXCEPTIONS = {
    1: Message("decoders.exception_function"),
    2: Message("decoders.exception_address"),
    3: Message("decoders.exception_count"),
    4: Message("decoders.exception_failed"),
}
"""Application protocol V1.1b3, 7."""


def words_of(kind: RegisterType) -> int:
    """How many registers a value takes."""
    return 1 if kind in ("int16", "uint16") else 2


@dataclass(frozen=True, slots=True)
class RegisterField:
    """A value in registers: raw × scale + offset, in the field's unit.

    Attributes:
        field: with its quantity, which a register cannot tell.
        words: order of the two words of 32-bit values.
        overload, open_probe: raw numbers that are no value but say why there is none.
        device: that holds it; None: whichever was asked.
    """

    field: ShownField
    quantity: Quantity
    function: Literal[3, 4]
    address: int
    kind: RegisterType
    words: Literal["big", "little"] = "big"
    scale: Decimal = Decimal(1)
    offset: Decimal = Decimal(0)
    overload: frozenset[int] = frozenset()
    open_probe: frozenset[int] = frozenset()
    device: int | None = None


def float32_number(data: bytes) -> Decimal | None:
    """The shortest decimal that is this float32 (4 bytes, big-endian); None if not finite.

    >>> float32_number(bytes.fromhex("C18E3D71"))
    Decimal('-17.78')
    """
    (value,) = struct.unpack(">f", data)
    if not math.isfinite(value):
        return None
    for digits in range(1, 9):
        short = f"{value:.{digits}g}"
        try:
            if struct.pack(">f", float(short)) == data:
                return Decimal(short)
        except OverflowError:  # rounded up beyond the largest float32
            continue
    return Decimal(f"{value:.9g}")


class ModbusDecoder:
    """Reads the registers in each reply; see ModbusReplies, also for `quiet`."""

    def __init__(self, registers: Sequence[RegisterField], quiet: int = QUIET_SILENCES) -> None:
        self._registers = tuple(registers)
        self._replies = ModbusReplies(quiet)

    def sent(self, data: bytes) -> None:
        self._replies.sent(data)

    def restart(self) -> None:
        self._replies.restart()

    def feed(self, data: bytes) -> list[Indication | Garbled]:
        found: list[Indication | Garbled] = []
        for reply in self._replies.feed(data):
            found += self._read(reply)
        return found

    def _read(self, reply: RtuReply) -> list[Indication | Garbled]:
        request = reply.request
        if reply.fault is not None:
            return [Garbled(reply.fault, reply.frame)]
        assert request is not None, "what answers nothing has a fault"
        if reply.exception:
            unnamed = Message("decoders.exception", {"number": reply.exception})
            return [Garbled(_EXCEPTIONS.get(reply.exception, unnamed), reply.frame)]
        read: list[Indication | Garbled] = []
        for register in self._registers:
            raw = _raw(register, request, reply.data)
            if raw is not None:
                one = _indication(register, raw)
                read.append(Garbled(one.reason, reply.frame) if isinstance(one, Garbled) else one)
        return read


def _raw(register: RegisterField, request: Request, data: bytes) -> bytes | None:
    """The bytes of a value, big-endian; None if the reply does not hold all of them."""
    words = words_of(register.kind)
    first = register.address - request.address
    if register.function != request.function or first < 0 or first + words > request.count:
        return None
    if register.device not in (None, request.device):
        return None
    raw = data[2 * first : 2 * (first + words)]
    return raw if register.words == "big" else raw[2:] + raw[:2]


def _indication(register: RegisterField, raw: bytes) -> Indication | Garbled:
    field, unit = register.field, base_unit(register.quantity, register.field)
    number: Decimal | None = None
    step: Decimal | None = None
    status = Status.OK
    if register.kind == "float32":  # carries no digits that were shown
        number = float32_number(raw)
        if number is None:
            status = Status.NO_VALUE if math.isnan(struct.unpack(">f", raw)[0]) else Status.OVERLOAD
            text = raw.hex(" ").upper()
    else:
        number = Decimal(int.from_bytes(raw, "big", signed=register.kind.startswith("int")))
        step = abs(register.scale)
    if number is not None and number in register.overload | register.open_probe:
        status = Status.OVERLOAD if number in register.overload else Status.NO_CONTACT
        text = f"{number:f}"
    elif number is not None:
        number = number * register.scale + register.offset
        text = f"{number:f} {unit.symbol}"
    try:
        return indicated(
            field, text, number, WrittenUnit(unit), told=register.quantity, status=status, step=step
        )
    except InputError as refused:
        return Garbled(refused.message, b"")
