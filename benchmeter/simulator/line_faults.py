"""What goes wrong between a part and the record, for a while, on purpose."""

import random
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from benchmeter.quantities.quantity import Quantity
from benchmeter.simulator.display import Display
from benchmeter.simulator.probes import Probe
from benchmeter.simulator.simulated_line import VirtualInstrument
from benchmeter.simulator.virtual_meter import Measuring

__all__ = ["FaultKind", "Span", "TroubledMeter", "TroubledProbe", "TroubledWire", "is_on"]

_POWER_UP_C = 85.0  # power-up value of a usual sensor chip (Linux kernel, w1_therm.rst)


class FaultKind(StrEnum):
    """The faults that a scenario can ask for."""

    UNPLUGGED = "unplugged"
    SILENT = "silent"  # the instrument says nothing
    GARBLED = "garbled"  # bytes are hit by noise
    HALF_FRAMES = "half frames"  # the end of each message is lost
    STUCK = "stuck"  # the same digits again and again
    WRONG_FUNCTION = "wrong function"  # the knob stands on ohms
    POWER_UP_VALUE = "power-up value"  # a probe says 85.0 °C
    OPEN_PROBE = "open probe"


@dataclass(frozen=True, slots=True)
class Span:
    """A fault from `from_ns` until `until_ns`; `field`: of which value, "" for all."""

    kind: FaultKind
    from_ns: int
    until_ns: int
    field: str = ""


def is_on(spans: Sequence[Span], kind: FaultKind, now_ns: int) -> bool:
    """Whether a fault of that kind is on."""
    return any(s.kind is kind and s.from_ns <= now_ns < s.until_ns for s in spans)


class TroubledWire:
    """A VirtualInstrument whose words are lost, cut or garbled on the way.

    Noise sets the top bit of the bytes that it hits, so that no digit becomes another digit.
    """

    def __init__(self, instrument: VirtualInstrument, spans: Sequence[Span], seed: str) -> None:
        self._instrument = instrument
        self._spans = spans
        self._random = random.Random(seed)

    def hear(self, data: bytes, now_ns: int) -> None:
        self._instrument.hear(data, now_ns)

    def wake_ns(self) -> int | None:
        return self._instrument.wake_ns()

    def speak(self, now_ns: int) -> bytes:
        said = self._instrument.speak(now_ns)
        if is_on(self._spans, FaultKind.SILENT, now_ns):
            return b""
        if is_on(self._spans, FaultKind.HALF_FRAMES, now_ns):
            said = said[: (len(said) + 1) // 2]
        if is_on(self._spans, FaultKind.GARBLED, now_ns):
            hit = set(self._random.choices(range(len(said)), k=2)) if said else set()
            said = bytes(byte | 0x80 if i in hit else byte for i, byte in enumerate(said))
        return said


class TroubledMeter:
    """A Measuring that sticks, or whose knob stands on ohms for a while."""

    def __init__(self, measuring: Measuring, ohms: Measuring, spans: Sequence[Span]) -> None:
        self._measuring = measuring
        self._ohms = ohms
        self._spans = spans
        self._shown: Display | None = None

    def function(self, now_ns: int) -> Quantity:
        return self._set_to(now_ns).function(now_ns)

    def ready_ns(self, asked_ns: int) -> int:
        return self._set_to(asked_ns).ready_ns(asked_ns)

    def show(self, now_ns: int) -> Display:
        if self._shown is None or not is_on(self._spans, FaultKind.STUCK, now_ns):
            self._shown = self._set_to(now_ns).show(now_ns)
        return self._shown

    def _set_to(self, now_ns: int) -> Measuring:
        wrong = is_on(self._spans, FaultKind.WRONG_FUNCTION, now_ns)
        return self._ohms if wrong else self._measuring


class TroubledProbe:
    """A Probe that sticks, is unplugged, or says what its chip says at power-up."""

    def __init__(self, probe: Probe, spans: Sequence[Span]) -> None:
        self._probe = probe
        self._spans = spans
        self._felt: float | None = None

    def celsius(self, now_ns: int) -> float | None:
        if is_on(self._spans, FaultKind.POWER_UP_VALUE, now_ns):
            return _POWER_UP_C
        if is_on(self._spans, FaultKind.OPEN_PROBE, now_ns):
            return None
        if self._felt is None or not is_on(self._spans, FaultKind.STUCK, now_ns):
            self._felt = self._probe.celsius(now_ns)
        return self._felt
