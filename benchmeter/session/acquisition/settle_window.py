"""When a reading holds still.

The settle rule. A channel is settled when its last measurements (`Measurements`: what a display
repeats is none)

* are at least 5, all with a value and all shown with the same resolution (an auto-ranging meter
  that changes its range starts anew),
* span at least 1.5 s,
* lie within 3 counts of the display or a share of what it shows, whichever is wider: 0.3 %,
* and show no trend (`statistics.trend`). Where all of the last 8 s within five such widths clearly
  go one way, the last of them must be slower than that, beyond doubt.

What is not still by nature has times and widths of its own:

* temperature: 20 s, 0.3 K; air moves slowly;
* AC volts and amps: 1 %; the mains is never quite still;
* resistance from 1 MΩ: 5 s, 2 %; insulation charges, and the display picks up hum.

A change of function starts anew as well: see `ChannelTrack`. Common practice, no source: wait
until the last digit stops walking.

How fast it may still be moving is told by all of the last 8 s that lie so near and show no trend.
"""

from collections import deque

from benchmeter.checking.meter_state import Drift
from benchmeter.quantities.quantity import Quantity, Stillness
from benchmeter.readings.reading import Reading
from benchmeter.readings.status import Status
from benchmeter.statistics.trend import IN_TEN, IN_THOUSAND, line_through, student_975, trends

__all__ = ["SettleWindow"]

_LEAST = 5
_COUNTS = 3
_AROUND = 5
_SLACK = 1 + 1e-9
_INSULATION_OHM = 1e6
_LONGEST_NS = 8_000_000_000
_LONG_ENOUGH = 0.9  # of it: measurements come at intervals

_USUAL = Stillness()
_INSULATION = Stillness(5_000_000_000, 0.02)


class SettleWindow:
    """The last measurements of a channel, and whether they hold still.

    Args:
        quantity: what the channel measures; decides span and width.
    """

    def __init__(self, quantity: Quantity | None) -> None:
        self._quantity = quantity
        self._readings: deque[Reading] = deque()
        self.clear()

    def clear(self) -> None:
        """Something came between: what was seen before does not count."""
        self._readings.clear()
        self._shown = self._low = self._high = 0.0
        self._least = self._still = 0

    def add(self, reading: Reading, *, is_new: bool) -> None:
        """Take a reading in; one without a value, or in another range, clears the window.

        Args:
            is_new: it is a measurement of its own.
        """
        last = self._readings[-1] if self._readings else None
        if reading.status is not Status.OK or (last and last.resolution != reading.resolution):
            self.clear()
        if reading.status is not Status.OK or reading.value is None:
            return
        self._shown = reading.value
        if not (is_new or not self._readings):
            return
        self._readings.append(reading)
        longest_ns = self._longest_ns()
        while (
            len(self._readings) > _LEAST
            and reading.time_ns - self._readings[1].time_ns >= longest_ns
        ):
            self._readings.popleft()
        self._look()

    def readings(self) -> tuple[Reading, ...]:
        """The measurements that the rule asks for, oldest first; all, while they are too few."""
        return tuple(self._readings)[-self._least :]

    def settled(self) -> bool:
        """Whether the rule above holds."""
        return self._still > 0 and self._low <= self._shown <= self._high

    def drift(self) -> Drift | None:
        """How fast a settled reading may still be moving; None: it was watched long enough."""
        passed_ns = self._readings[-1].time_ns - self._readings[-self._still].time_ns
        return (
            None if passed_ns >= _LONG_ENOUGH * self._longest_ns() else self._fastest(self._still)
        )

    def _look(self) -> None:
        """Look again, with the newest measurement: how many it takes, how many hold still."""
        newest, rule = self._readings[-1], self._rule()
        counts = _COUNTS * (newest.resolution or 0.0)
        width = _SLACK * max(counts, rule.relative * abs(self._shown), rule.absolute)
        low = high = self._shown
        around: deque[float] = deque()
        near = self._least = self._still = 0
        for reading in reversed(self._readings):
            value = reading.value or 0.0
            low, high = min(low, value), max(high, value)
            if high - low > _AROUND * width:
                break
            around.appendleft(value)
            if high - low > width:
                continue
            near = len(around)
            spanned = newest.time_ns - reading.time_ns >= rule.span_ns
            if not self._least and near >= _LEAST and spanned:
                self._least = near
                self._low, self._high = high - width, low + width
        if not self._least:
            return
        found = trends(around)
        still = max((n for n in range(self._least, near + 1) if found[n - 1] <= IN_TEN), default=0)
        if still and (found[-1] <= IN_THOUSAND or self._stopped(len(around), still)):
            self._still = still

    def _stopped(self, around: int, still: int) -> bool:
        """Whether the last ones move slower than all together: else they are too few to tell."""
        speed, _ = self._line(around)
        drift = self._fastest(still)
        return not drift.fall <= speed <= drift.rise

    def _fastest(self, last: int) -> Drift:
        """Of the last measurements. In less than a digit's worth nothing shows."""
        slope, error = self._line(last)
        span_s = (self._readings[-1].time_ns - self._readings[-last].time_ns) / 1e9
        doubt = max(student_975(last - 2) * error, (self._readings[-1].resolution or 0.0) / span_s)
        return Drift(min(0.0, slope - doubt), max(0.0, slope + doubt))

    def _line(self, last: int) -> tuple[float, float]:
        """Through the last measurements: SI a second, and its standard error."""
        seen = tuple(self._readings)[-last:]
        times_s = [(r.time_ns - seen[0].time_ns) / 1e9 for r in seen]
        return line_through(times_s, [r.value for r in seen if r.value is not None])

    def _rule(self) -> Stillness:
        if self._quantity is Quantity.RESISTANCE and self._shown >= _INSULATION_OHM:
            return _INSULATION
        return self._quantity.row.stillness if self._quantity else _USUAL

    def _longest_ns(self) -> int:
        return max(_LONGEST_NS, self._rule().span_ns)
