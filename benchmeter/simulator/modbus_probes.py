"""A thermometer module on Modbus RTU (serial line guide V1.02, application protocol V1.1b3)."""

import struct
from collections.abc import Mapping
from decimal import Decimal

from benchmeter.links.decoders.modbus_frames import LONGEST_FRAME, MOST_REGISTERS, with_crc
from benchmeter.links.instruments.formats.modbus_format import ModbusFormat, Register
from benchmeter.simulator.probes import Probe

__all__ = ["ModbusProbes"]

_CONVERSION_NS = 500_000_000
_TURNAROUND_NS = 6_000_000
_STALE_NS = 100_000_000  # a request that was never finished

_ILLEGAL_FUNCTION, _ILLEGAL_ADDRESS, _ILLEGAL_VALUE = 1, 2, 3
_PACKING = {"int16": ">h", "uint16": ">H", "int32": ">i", "uint32": ">I", "float32": ">f"}


class ModbusProbes:
    """A VirtualInstrument that answers functions 3 and 4, laid out as its profile says.

    Args:
        format: device addresses and registers; several devices are several modules on one line.
        probes: by the field of the register.
    """

    def __init__(self, format: ModbusFormat, probes: Mapping[str, Probe]) -> None:
        self._own = format.device
        self._registers = format.registers
        self._probes = probes
        self._words: dict[tuple[int, int, int], bytes] = {}
        self._next_ns = 0
        self._heard = b""
        self._heard_ns = 0
        self._reply = b""
        self._reply_ns = 0
        self._convert(0)

    def hear(self, data: bytes, now_ns: int) -> None:
        self._convert(now_ns)
        if now_ns - self._heard_ns > _STALE_NS:
            self._heard = b""
        self._heard, self._heard_ns = self._heard + data, now_ns
        frame = self._heard
        if len(frame) >= 4 and with_crc(frame[:-2]) == frame:
            self._heard = b""
            if frame[0] in {device for device, _, _ in self._words}:
                answer = frame[:1] + self._answer(frame[0], frame[1:-2])
                self._reply, self._reply_ns = with_crc(answer), now_ns + _TURNAROUND_NS
        elif len(frame) >= LONGEST_FRAME:
            self._heard = b""

    def speak(self, now_ns: int) -> bytes:
        self._convert(now_ns)
        if not self._reply or now_ns < self._reply_ns:
            return b""
        said, self._reply = self._reply, b""
        return said

    def wake_ns(self) -> int:
        return min(self._next_ns, self._reply_ns) if self._reply else self._next_ns

    def _convert(self, now_ns: int) -> None:
        while self._next_ns <= now_ns:
            for register in self._registers:
                celsius = self._probes[register.field].celsius(self._next_ns)
                words = _words(register, celsius)
                device = self._own if register.device is None else register.device
                for i in range(0, len(words), 2):
                    place = (device, register.function, register.address + i // 2)
                    self._words[place] = words[i : i + 2]
            self._next_ns += _CONVERSION_NS

    def _answer(self, device: int, request: bytes) -> bytes:
        function = request[0]
        if function not in (3, 4):
            return bytes([function | 0x80, _ILLEGAL_FUNCTION])
        if len(request) != 5:
            return bytes([function | 0x80, _ILLEGAL_VALUE])
        address, count = struct.unpack(">HH", request[1:])
        if not 1 <= count <= MOST_REGISTERS:
            return bytes([function | 0x80, _ILLEGAL_VALUE])
        places = [(device, function, address + i) for i in range(count)]
        if not all(place in self._words for place in places):
            return bytes([function | 0x80, _ILLEGAL_ADDRESS])
        return bytes([function, 2 * count]) + b"".join(self._words[place] for place in places)


def _words(register: Register, celsius: float | None) -> bytes:
    """The register's bytes, high byte first, in the order of the addresses."""
    if celsius is None:
        raw: float = register.open_probe[0] if register.open_probe else 0
    else:
        raw = (celsius - float(Decimal(register.offset))) / float(Decimal(register.scale))
    whole = raw if register.type == "float32" else round(raw)
    data = struct.pack(_PACKING[register.type], whole)
    return data if register.words == "big" else data[2:] + data[:2]
