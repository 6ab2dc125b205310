"""When a reading held still, for sessions that were recorded while lines were counted.

A meter that repeats its display, one stray line, or noise over a creep deceived this rule; it is
kept so that those sessions are judged as they were. The rule of today is `SettleWindow`.

A channel is settled when the last readings

* are at least 5, all with a value and all shown with the same resolution (an auto-ranging meter
  that changes its range starts anew),
* span at least 1.5 s,
* lie within 3 counts of the display or a share of their mean, whichever is wider: 0.3 %,
* and do not creep: three or more different values that only rise or only fall are still moving.
  So a charge that drains and an insulation that charges are moving.

What is not still by nature has times and widths of its own:

* temperature: 20 s, 0.3 K; air moves slowly;
* AC volts and amps: 1 %; the mains is never quite still;
* resistance from 1 MΩ: 5 s, 2 %; insulation charges, and the display picks up hum.

A change of function starts anew as well: see `ChannelTrack`.
"""

import itertools
from collections import deque

from benchmeter.quantities.quantity import Quantity, Stillness
from benchmeter.readings.reading import Reading
from benchmeter.readings.status import Status

__all__ = ["FrameWindow"]

_LEAST_READINGS = 5
_COUNTS = 3
_SLACK = 1 + 1e-9
_INSULATION_OHM = 1e6


_USUAL = Stillness()
_INSULATION = Stillness(5_000_000_000, 0.02)


class FrameWindow:
    """The last readings of a channel, and whether they hold still.

    Args:
        quantity: what the channel measures; decides span and width.
    """

    def __init__(self, quantity: Quantity | None) -> None:
        self._quantity = quantity
        self._readings: deque[Reading] = deque()

    def clear(self) -> None:
        """Something came between: what was seen before does not count."""
        self._readings.clear()

    def add(self, reading: Reading, *, is_new: bool = True) -> None:
        """Take a reading in; one without a value, or in another range, clears the window."""
        last = self._readings[-1] if self._readings else None
        if reading.status is not Status.OK or (last and last.resolution != reading.resolution):
            self._readings.clear()
        if reading.status is not Status.OK:
            return
        self._readings.append(reading)
        while self._covered_without_first():
            self._readings.popleft()

    def readings(self) -> tuple[Reading, ...]:
        """The readings that the rule looks at, oldest first."""
        return tuple(self._readings)

    def settled(self) -> bool:
        """Whether the rule above holds."""
        if len(self._readings) < _LEAST_READINGS:
            return False
        rule = self._rule()
        if self._readings[-1].time_ns - self._readings[0].time_ns < rule.span_ns:
            return False
        values = [r.value for r in self._readings if r.value is not None]
        width = max(values) - min(values)
        counts = _COUNTS * (self._readings[-1].resolution or 0.0)
        mean = abs(sum(values) / len(values))
        allowed = max(counts, rule.relative * mean, rule.absolute)
        return width <= allowed * _SLACK and not _creeps(values)

    def drift(self) -> None:
        """Nobody asked."""

    def _rule(self) -> Stillness:
        last = self._readings[-1].value
        if self._quantity is Quantity.RESISTANCE and last is not None and last >= _INSULATION_OHM:
            return _INSULATION
        return self._quantity.row.stillness if self._quantity else _USUAL

    def _covered_without_first(self) -> bool:
        return (
            len(self._readings) > _LEAST_READINGS
            and self._readings[-1].time_ns - self._readings[1].time_ns >= self._rule().span_ns
        )


def _creeps(values: list[float]) -> bool:
    steps = [b - a for a, b in itertools.pairwise(values)]
    one_way = all(s >= 0 for s in steps) or all(s <= 0 for s in steps)
    return one_way and len(set(values)) >= 3
