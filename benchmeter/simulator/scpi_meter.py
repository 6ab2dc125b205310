"""A meter that is asked in SCPI (IEEE 488.2 messages over a serial line)."""

import re
from collections import deque

from benchmeter.quantities.quantity import Quantity
from benchmeter.simulator.display import Digits, Display
from benchmeter.simulator.virtual_meter import Measuring

__all__ = ["ScpiMeter", "nr3"]

_LONGEST = 256
_END = b"\r\n"
_TALK_NS = 4_000_000  # from a question to the answer that needs no measuring

_OVERLOAD = "+9.90000000E+37"  # SCPI-1999 vol. 1 cl. 7.2.1.4
_NO_ERROR = '+0,"No error"'
_UNDEFINED_HEADER = '-113,"Undefined header"'
_OVERFLOW = '-350,"Queue overflow"'


def nr3(display: Display, sent: Digits = "display") -> str:
    """The digits as an NR3 number (IEEE 488.2 cl. 8.7.4), all four of them.

    >>> nr3(Display(Quantity.CAPACITANCE, 886, -8))
    '+0.886E-05'
    >>> nr3(Display(Quantity.CAPACITANCE, 4400, -8), "fewer")
    '+4.4E-05'
    """
    if display.counts is None:
        return _OVERLOAD
    digits = f"{abs(display.counts):04d}"
    if sent == "more":
        digits += "00000"
    elif sent == "fewer":
        digits = digits[0] + digits[1:].rstrip("0")
    sign = "-" if display.counts < 0 else "+"
    point = "." if digits[1:] else ""
    return f"{sign}{digits[0]}{point}{digits[1:]}E{display.exponent + 3:+03d}"


def _name(function: Quantity) -> str:
    """In its short form, as meters tell it."""
    return re.sub("[a-z]", "", function.row.scpi[0])


class ScpiMeter:
    """A VirtualInstrument that answers *IDN?, FUNC?, READ? and SYST:ERR?, one after another.

    Args:
        measuring: what it measures.
        identity: the reply to *IDN?.
        digits: that it sends.
    """

    def __init__(self, measuring: Measuring, identity: str, digits: Digits = "display") -> None:
        self._digits: Digits = digits
        self._measuring = measuring
        self._identity = identity
        self._heard = b""
        self._asked: deque[tuple[int, str]] = deque()
        self._errors: deque[str] = deque(maxlen=10)

    def hear(self, data: bytes, now_ns: int) -> None:
        *messages, self._heard = (self._heard + data).split(b"\n")
        self._heard = self._heard[-_LONGEST:]
        for message in messages:
            header = message.decode("ascii", "replace").strip().upper()
            if header:
                self._obey(header, now_ns)

    def speak(self, now_ns: int) -> bytes:
        said = b""
        while self._asked and self._ready_ns() <= now_ns:
            _, header = self._asked.popleft()
            said += self._answer(header, now_ns).encode("ascii") + _END
        return said

    def wake_ns(self) -> int | None:
        return self._ready_ns() if self._asked else None

    def _obey(self, header: str, now_ns: int) -> None:
        match header:
            case "*IDN?" | "FUNC?" | "SENS:FUNC?" | "READ?" | "SYST:ERR?" | "SYST:ERR:NEXT?":
                self._asked.append((now_ns, header))
            case "*CLS":
                self._errors.clear()
            case "*RST" | "SYST:REM" | "SYST:LOC":
                pass
            case _ if header == f"CONF:{_name(self._function(now_ns))}":
                pass
            case "CONF:VOLT:DC" if self._function(now_ns) is Quantity.VOLTAGE_DC:
                pass
            case _:
                full = len(self._errors) == self._errors.maxlen
                self._errors.append(_OVERFLOW if full else _UNDEFINED_HEADER)

    def _ready_ns(self) -> int:
        asked_ns, header = self._asked[0]
        if header == "READ?":
            return self._measuring.ready_ns(asked_ns)
        return asked_ns + _TALK_NS

    def _answer(self, header: str, now_ns: int) -> str:
        match header:
            case "*IDN?":
                return self._identity
            case "READ?":
                return nr3(self._measuring.show(now_ns), self._digits)
            case "FUNC?" | "SENS:FUNC?":
                return f'"{_name(self._function(now_ns))}"'
            case _:
                return self._errors.popleft() if self._errors else _NO_ERROR

    def _function(self, now_ns: int) -> Quantity:
        return self._measuring.function(now_ns)
