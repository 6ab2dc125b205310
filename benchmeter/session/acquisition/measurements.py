"""Which indications are measurements of their own, and which repeat the one before."""

from collections import deque
from collections.abc import Mapping
from typing import NamedTuple

from benchmeter.quantities.quantity import Quantity
from benchmeter.readings.reading import Reading
from benchmeter.readings.status import Status

__all__ = ["Measurements"]

_SHORTEST_NS = 230_000_000
"""Between two that count: what comes quicker is smoothed by one filter and upset by one hum."""
_REPEATED_NS = 1_000_000_000
_REPEATED_NOTHING_NS = 1_600_000_000
"""A clip that slips at the end of a long conversion is shown as nothing until the end of the next:
where a display may be sent again and again, three measurements of nothing take 3.2 s."""
_LONGEST_NS = 5_000_000_000
_ALIKE = 1.25
_REMEMBERED = 16
_FAR = 0.05
_FAR_COUNTS = 10

_Range = tuple[Quantity | None, float | None]


class _Held(NamedTuple):
    """What a display showed from then on. `value`: None where it showed none."""

    status: Status
    value: float | None
    of_range: _Range
    since_ns: int


class Measurements:
    """Counts the measurements of one channel.

    A meter sends what it shows as often as its maker liked, whether it has measured anew or not.
    So an indication is a measurement of its own where

    * the display shows something else than at the one before, or
    * the time of one conversion has passed since.

    That time is a fact of the profile, or is learned for each function and range: the display
    holds still for one conversion, or for several that are alike, never for less. So it is as long
    as the three shortest times for which it held still between two changes, where they agree; else
    as the second shortest, or as the wire format lets expect where that is less: a display that
    never flickers does not tell. A change to something far off, and back to the very same, is a
    stray line and no change. Common practice, no source.

    Args:
        told_ms: times of conversion from the profile.
        untold_ns: until another is learned.
    """

    def __init__(self, told_ms: Mapping[Quantity, int], untold_ns: int) -> None:
        self._told_ms, self._untold_ns = told_ms, untold_ns
        self._held: deque[_Held] = deque(maxlen=4)
        self._times_ns: dict[_Range, deque[int]] = {}
        self._learned_ns = -1
        self._done_ns = 0
        self._last: _Held | None = None
        self._range: _Range = (None, None)
        self.count = 0

    def broken(self) -> None:
        """Lines are missing: for how long the display held still cannot be told."""
        self._held.clear()

    def is_new(self, reading: Reading, quantity: Quantity | None) -> bool:
        """Take an indication in. Whether it is a measurement of its own."""
        value = reading.value if reading.status is Status.OK else None
        if value is not None:
            self._range = quantity, reading.resolution
        elif self._range[0] is not quantity:
            self._range = quantity, None
        now = _Held(reading.status, value, self._range, reading.time_ns)
        self._learn(now)
        last = self._last
        if last is None or _differ(last, now):
            quick = now.since_ns - self._done_ns < _SHORTEST_NS
            if last is not None and quick and not _far(last, now):
                return False
            self._done_ns = now.since_ns
        else:
            conversion_ns = self._conversion_ns(now.value)
            late_ns = now.since_ns - self._done_ns - conversion_ns
            if late_ns < 0:
                return False
            self._done_ns = now.since_ns - late_ns % conversion_ns
        self._last = now
        self.count += 1
        return True

    def _conversion_ns(self, value: float | None) -> int:
        quantity = self._range[0]
        untold_ns = self._untold_ns
        if not value and untold_ns >= _REPEATED_NS:
            untold_ns = _REPEATED_NOTHING_NS
        if quantity is not None and quantity in self._told_ms:
            return max(self._told_ms[quantity] * 1_000_000, _SHORTEST_NS)
        times_ns = sorted(self._times_ns.get(self._range, ()))
        if len(times_ns) > 2 and times_ns[2] <= min(_ALIKE * times_ns[0], _LONGEST_NS):
            learned_ns = times_ns[2]
        elif len(times_ns) > 1:
            learned_ns = min(times_ns[1], untold_ns)
        else:
            learned_ns = untold_ns
        return max(learned_ns, _SHORTEST_NS)

    def _learn(self, now: _Held) -> None:
        held = self._held
        if held and not _differ(held[-1], now):
            return
        if len(held) > 1 and not _differ(held[-2], now) and _far(held[-1], now):
            held.pop()
            return
        held.append(now)
        if len(held) < 4 or held[1].value is None or held[1].since_ns <= self._learned_ns:
            return
        if _far(held[0], held[1]) and _far(held[1], held[2]):
            return  # a stray line in place of the change
        self._learned_ns = held[1].since_ns
        times_ns = self._times_ns.setdefault(held[1].of_range, deque(maxlen=_REMEMBERED))
        times_ns.append(held[2].since_ns - held[1].since_ns)


def _differ(one: _Held, other: _Held) -> bool:
    return (one.status, one.value) != (other.status, other.value)


def _far(one: _Held, other: _Held) -> bool:
    if one.value is None or other.value is None:
        return True
    counts = _FAR_COUNTS * (other.of_range[1] or 0.0)
    return abs(one.value - other.value) > max(_FAR * abs(other.value), counts)
