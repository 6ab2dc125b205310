"""The 14-byte frame in which handheld meters send the segments of their display.

The layout is from memory of the data sheet of a widely used display controller, and has not been
seen on a real meter. High nibble: 1 to 14, the place in the frame. Low nibble, bits 3 to 0:

    1       AC, DC, automatic range, link     10  µ, n, k, diode
    2, 3    minus + first digit               11  m, %, M, beep
    4, 5    point before second digit + it    12  F, Ω, relative, hold
    6, 7    point before third digit + it     13  A, V, Hz, battery low
    8, 9    point before fourth digit + it    14  symbols of the maker's own

A digit is 3 bits of its first nibble and 4 of its second: segments e f a, d c g b. There is no
check sum: bits that are wrong but look right can be found by plausibility only.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from benchmeter.errors import InputError, Message, WorldError
from benchmeter.links.decoders.shown_number import indicated
from benchmeter.quantities.quantity import Quantity, quantity_told_by
from benchmeter.quantities.units import UNITS, Unit, find_unit, last_digit
from benchmeter.readings.gate import ShownField, WrittenUnit
from benchmeter.readings.reading import Garbled, Indication
from benchmeter.readings.status import Status

__all__ = ["FRAME_LENGTH", "Lcd14Decoder"]

FRAME_LENGTH = 14

_DIGITS = {
    0x7D: "0", 0x05: "1", 0x5B: "2", 0x1F: "3", 0x27: "4", 0x3E: "5", 0x7E: "6", 0x15: "7",
    0x7F: "8", 0x3F: "9", 0x68: "L", 0x00: " ", 0x02: "-",
}  # fmt: skip


class _Unreadable(WorldError):
    """The frame cannot be what a display shows."""


@dataclass(frozen=True, slots=True)
class _Shown:
    """What the display shows. `signs`: names of the symbols that are on."""

    digits: str
    signs: frozenset[str]


_WITH_CURRENT = ("voltage", "current", "frequency", "ratio")
"""Kinds of units beside which AC or DC may be shown: that of a frequency, too."""

_SIGNS: dict[int, tuple[str, str, str, str]] = {
    1: ("AC", "DC", "auto", "link"),
    10: ("µ", "n", "k", "diode"),
    11: ("m", "%", "M", "beep"),
    12: ("F", "Ω", "relative", "hold"),
    13: ("A", "V", "Hz", "battery low"),
    14: ("own 3", "own 2", "own 1", "own 0"),
}


class Lcd14Decoder:
    """Finds frames by their numbering and reads them as a person would read the display.

    A held display (hold) is an old reading: NO_VALUE. So is a relative temperature, which is a
    difference. Any other relative value is kept, "REL" in its text.

    Args:
        field: the one value.
        user_symbols: bit of the 14th byte -> the unit that it shows.
    """

    def __init__(self, field: ShownField, user_symbols: Mapping[int, str]) -> None:
        self._field = field
        self._own = {f"own {bit}": name for bit, name in user_symbols.items()}
        self._frame = bytearray()
        self._stray = bytearray()

    def sent(self, data: bytes) -> None:
        """Nothing is ever asked."""

    def restart(self) -> None:
        self._frame.clear()
        self._stray.clear()

    def feed(self, data: bytes) -> list[Indication | Garbled]:
        found: list[Indication | Garbled] = []
        if not data:
            self._drop_frame()
            return self._strays()
        for byte in data:
            place = byte >> 4
            if place == 1 or place != len(self._frame) + 1:
                self._drop_frame()
            if place == len(self._frame) + 1:
                if self._stray:
                    found += self._strays()
                self._frame.append(byte)
            else:
                self._stray.append(byte)
                if len(self._stray) >= FRAME_LENGTH:
                    found += self._strays()
            if len(self._frame) == FRAME_LENGTH:
                found.append(self._indication(bytes(self._frame)))
                self._frame.clear()
        return found

    def _drop_frame(self) -> None:
        self._stray += self._frame
        self._frame.clear()

    def _strays(self) -> list[Indication | Garbled]:
        stray = bytes(self._stray)
        self._stray.clear()
        return [Garbled(Message("decoders.frame_cut"), stray)] if stray else []

    def _indication(self, frame: bytes) -> Indication | Garbled:
        shown = _shown(frame)
        try:
            digits = _checked(shown.digits)
            unit, quantity = self._unit(shown.signs)
        except _Unreadable as why:
            return Garbled(why.message, frame)
        text = _text(digits, unit, shown.signs)
        relative_temperature = "relative" in shown.signs and quantity is Quantity.TEMPERATURE
        number: Decimal | None = None
        status = Status.OK
        if "hold" in shown.signs or relative_temperature or set(digits) <= {" ", "-"}:
            status = Status.NO_VALUE
        elif "L" in digits:
            status = Status.OVERLOAD
        else:
            number = Decimal(digits)
        step = None if number is None else last_digit(number)
        written = WrittenUnit(unit)
        try:
            return indicated(
                self._field, text, number, written, told=quantity, status=status, step=step
            )
        except InputError as refused:
            return Garbled(refused.message, frame)

    def _unit(self, signs: frozenset[str]) -> tuple[Unit, Quantity | None]:
        own = {self._own[sign] for sign in signs if sign in self._own}
        units = (signs & {"F", "Ω", "A", "V", "Hz", "%"}) | own
        prefixes = signs & {"µ", "n", "k", "m", "M"}
        if len(units) != 1 or len(prefixes) > 1:
            if not units:
                raise _Unreadable("decoders.display_no_unit")
            raise _Unreadable("decoders.display_contradicts")
        name = "".join(prefixes) + next(iter(units))
        try:
            # On a display F is farad and mF millifarad; only people's labels are ambiguous.
            unit = UNITS.get(name) or find_unit(name)
        except InputError as why:
            raise _Unreadable("decoders.display_unit", unit=name) from why
        return unit, _quantity(unit, signs)


def _shown(frame: bytes) -> _Shown:
    nibbles = {i: byte & 0x0F for i, byte in enumerate(frame, 1)}
    signs = frozenset(
        name
        for place, names in _SIGNS.items()
        for bit, name in zip((8, 4, 2, 1), names, strict=True)
        if nibbles[place] & bit
    )
    digits = ""
    for first in (2, 4, 6, 8):
        if nibbles[first] & 8:
            digits += "-" if first == 2 else "."
        digits += _DIGITS.get((nibbles[first] & 7) << 4 | nibbles[first + 1], "?")
    return _Shown(digits, signs)


def _checked(digits: str) -> str:
    """The digits as they are shown, if a display can show them so."""
    if "?" in digits:
        raise _Unreadable("decoders.display_digit")
    plain = digits.replace(".", "")
    if set(plain) <= {" ", "-"}:
        return plain
    minus, body = ("-", digits[1:]) if digits.startswith("-") else ("", digits)
    if body.replace(".", "").strip() == "0L":
        return minus + body.strip()
    number = body.lstrip(" ")
    if not re.fullmatch(r"\d+(\.\d+)?", number, re.ASCII):
        raise _Unreadable("decoders.display_no_number")
    return minus + number


def _quantity(unit: Unit, signs: frozenset[str]) -> Quantity | None:
    """What is measured; None where the display leaves it open."""
    currents = signs & {"AC", "DC"}
    if len(currents) == 2 or (currents and unit.kind not in _WITH_CURRENT):
        raise _Unreadable("decoders.display_current")
    if "diode" in signs:
        if unit.kind != "voltage":
            raise _Unreadable("decoders.display_diode")
        return Quantity.DIODE
    if unit.kind == "resistance" and "beep" in signs:
        return Quantity.CONTINUITY
    if unit.kind == "frequency":
        return Quantity.FREQUENCY
    if unit.kind == "ratio":
        return Quantity.DUTY
    return quantity_told_by(unit.kind, next(iter(currents), ""))


def _text(digits: str, unit: Unit, signs: frozenset[str]) -> str:
    """For people: "44.10 µF REL"."""
    more = {"AC": "AC", "DC": "DC", "relative": "REL", "hold": "HOLD", "battery low": "battery low"}
    shown = digits.strip() or "(blank)"
    return " ".join([shown, unit.symbol, *(word for sign, word in more.items() if sign in signs)])
