"""A thermometer with several probes that sends a line of text by itself."""

from collections.abc import Mapping
from typing import Literal

from benchmeter.simulator.probes import Probe

__all__ = ["TextProbes"]

_PERIOD_NS = 1_000_000_000


class TextProbes:
    """A VirtualInstrument that sends a line such as “T1=23.4C T2=35.0C” each second.

    Args:
        probes: by the name that stands in the line.
        unit: "C" or "F".
    """

    def __init__(self, probes: Mapping[str, Probe], unit: Literal["C", "F"]) -> None:
        self._probes = probes
        self._unit = unit
        self._next_ns = 400_000_000

    def hear(self, data: bytes, now_ns: int) -> None:
        """It does not listen."""

    def speak(self, now_ns: int) -> bytes:
        said = b""
        while self._next_ns <= now_ns:
            words = (f"{n}={self._word(p.celsius(now_ns))}" for n, p in self._probes.items())
            said = " ".join(words).encode("ascii") + b"\r\n"
            self._next_ns += _PERIOD_NS
        return said

    def wake_ns(self) -> int:
        return self._next_ns

    def _word(self, celsius: float | None) -> str:
        if celsius is None:
            return "OPEN"
        shown = celsius if self._unit == "C" else celsius * 9 / 5 + 32
        return f"{shown:.1f}{self._unit}"
