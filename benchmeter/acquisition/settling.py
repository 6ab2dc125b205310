"""When a reading holds still.

The settle rule. A channel is settled when the last readings

* are at least 5, all with a value and all shown with the same resolution (an auto-ranging meter
  that changes its range starts anew),
* span at least 1.5 s (temperatures: 20 s, since air moves slowly),
* lie within 3 counts of the display or 0.3 % of their mean, whichever is wider (temperatures:
  within 0.3 K or 3 counts),
* and do not creep: three or more different values that only rise or only fall are still moving.

Common practice, no source: wait until the last digit stops walking.
"""

import itertools
from collections import deque

from benchmeter.readings.quantities import Quantity
from benchmeter.readings.reading import Reading, Status

__all__ = ["SettleWindow"]

_LEAST_READINGS = 5
_COUNTS = 3
_SLACK = 1 + 1e-9


class SettleWindow:
    """The last readings of a channel, and whether they hold still.

    Args:
        quantity: what the channel measures; decides span and width.
    """

    def __init__(self, quantity: Quantity | None) -> None:
        slow = quantity is Quantity.TEMPERATURE
        self._span_ns = 20_000_000_000 if slow else 1_500_000_000
        self._relative = 0.0 if slow else 0.003
        self._absolute = 0.3 if slow else 0.0
        self._readings: deque[Reading] = deque()

    def clear(self) -> None:
        """Something came between: what was seen before does not count."""
        self._readings.clear()

    def add(self, reading: Reading) -> None:
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
        if len(self._readings) < _LEAST_READINGS or self._span() < self._span_ns:
            return False
        values = [r.value for r in self._readings if r.value is not None]
        width = max(values) - min(values)
        counts = _COUNTS * (self._readings[-1].resolution or 0.0)
        mean = abs(sum(values) / len(values))
        allowed = max(counts, self._relative * mean, self._absolute)
        return width <= allowed * _SLACK and not _creeps(values)

    def _span(self) -> int:
        return self._readings[-1].time_ns - self._readings[0].time_ns

    def _covered_without_first(self) -> bool:
        return (
            len(self._readings) > _LEAST_READINGS
            and self._readings[-1].time_ns - self._readings[1].time_ns >= self._span_ns
        )


def _creeps(values: list[float]) -> bool:
    steps = [b - a for a, b in itertools.pairwise(values)]
    one_way = all(s >= 0 for s in steps) or all(s <= 0 for s in steps)
    return one_way and len(set(values)) >= 3
