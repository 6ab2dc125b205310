"""A handheld that sends the segments of its display: 14 bytes, again and again.

The layout is from memory of a data sheet; high nibble = index 1 to 14, low nibble = segments.
"""

from benchmeter.quantities.quantity import Quantity
from benchmeter.simulator.display import Display
from benchmeter.simulator.virtual_meter import Measuring

__all__ = ["LcdMeter", "lcd_frame"]

# Segments in the order e f a | d c g b.
_DIGITS = dict(
    zip("0123456789L ", b"\x7d\x05\x5b\x1f\x27\x3e\x7e\x15\x7f\x3f\x68\x00", strict=True)
)
_AUTO, _RS232 = 2, 1  # nibble 1, with one of the next line
_CURRENTS = {
    Quantity.VOLTAGE_AC: 8,
    Quantity.CURRENT_AC: 8,
    Quantity.VOLTAGE_DC: 4,
}
_PREFIXES = {-9: (4, 0), -6: (8, 0), -3: (0, 8), 0: (0, 0), 3: (2, 0), 6: (0, 2)}  # 10, 11
_UNITS = {
    Quantity.CAPACITANCE: (8, 0),
    Quantity.RESISTANCE: (4, 0),
    Quantity.VOLTAGE_DC: (0, 4),
    Quantity.VOLTAGE_AC: (0, 4),
    Quantity.CURRENT_AC: (0, 8),
}  # nibbles 12, 13
_PERIOD_NS = 310_000_000


def lcd_frame(display: Display) -> bytes:
    """The frame that shows these digits, auto-ranging.

    >>> lcd_frame(Display(Quantity.CAPACITANCE, 4410, -8)).hex(" ")
    '13 22 37 42 57 68 75 87 9d a8 b0 c8 d0 e0'
    """
    decimals = -display.exponent % 3 or 3
    if display.counts is None:
        digits, minus, point = " 0L ", False, 2
    else:
        digits = f"{abs(display.counts):04d}"
        minus, point = display.counts < 0, 4 - decimals
    nibbles = [_AUTO | _RS232 | _CURRENTS.get(display.quantity, 0)]
    for place, digit in enumerate(digits):
        extra = minus if place == 0 else place == point
        nibbles += [_DIGITS[digit] >> 4 | (8 if extra else 0), _DIGITS[digit] & 0x0F]
    nibbles += [*_PREFIXES[display.exponent + decimals], *_UNITS[display.quantity], 0]
    return bytes(index << 4 | nibble for index, nibble in enumerate(nibbles, start=1))


class LcdMeter:
    """A VirtualInstrument that cannot be asked: a frame each 0.31 s.

    Whoever opens the line does so in the middle of a frame.
    """

    def __init__(self, measuring: Measuring) -> None:
        self._measuring = measuring
        self._next_ns = 0
        self._cut = 9

    def hear(self, data: bytes, now_ns: int) -> None:
        """It does not listen."""

    def speak(self, now_ns: int) -> bytes:
        said = b""
        if self._next_ns <= now_ns and self._measuring.ready_ns(0) <= now_ns:
            said = lcd_frame(self._measuring.show(now_ns))[self._cut :]
            self._cut = 0
            self._next_ns = now_ns + _PERIOD_NS
        return said

    def wake_ns(self) -> int:
        return max(self._next_ns, self._measuring.ready_ns(0))
