"""Simulated meters, each with its own time of conversion, display, ranges and faults.

They know nothing of the rule that watches them: a meter converts what is between its leads, shows
the result until the next conversion is done, and sends what it shows as often as its maker liked.
All invented; common practice, no source.
"""

import math
from bisect import bisect_right
from collections import deque
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from random import Random

__all__ = ["ZOO", "Frame", "Meter", "Touch", "frames"]

Frame = tuple[float, str]
"""When it comes, seconds, and the line that is sent."""

_SAMPLES = 8  # of the input during one conversion
_JITTER_S = 0.01


@dataclass(frozen=True, slots=True)
class Touch:
    """What is between the leads from `start_s` on. `value`: None: nothing."""

    start_s: float
    value: float | None


@dataclass(frozen=True, slots=True)
class Meter:
    """One meter of the zoo.

    Attributes:
        conversion_s: time of one measurement, by the value in the unit shown.
        repeat_s: from one line to the next; None: a line a conversion.
        noise: standard deviation of one conversion, counts.
        lag_s: time constant of its input.
        average: of so many conversions the mean is shown.
        creep: counts that the part itself, or the meter, moves on within so many seconds.
        hum: counts of a slow beat with the mains, and its period, seconds.
        ranging: what it shows while it looks for its range, `ranging_s` each.
        stray, drop: share of lines that are something else, or do not come.
        unit, open: what it writes behind a number, and with nothing between its leads.
        step: what the last digit is worth, by the value.
    """

    name: str
    conversion_s: Callable[[float], float]
    repeat_s: float | None = None
    noise: float = 0.4
    lag_s: float = 0.05
    average: int = 1
    creep: Callable[[float], float] = lambda seconds: 0.0
    creeps_to: float = 0.0
    hum: tuple[float, float] = (0.0, 1.0)
    ranging: tuple[str, ...] = ()
    ranging_s: float = 0.3
    stray: float = 0.0
    drop: float = 0.0
    unit: str = "uF"
    open: str = "0.00 uF"
    step: Callable[[float], float] = lambda value: 0.01 if value < 60 else 0.1

    def shows(self, value: float, seconds: float) -> float:
        """What it shows after so long, without noise."""
        return value + self.creep(seconds) * self.step(value)

    def rests_in(self, seconds: float) -> bool:
        """Whether what creeps has come to rest by then, to a count."""
        approach = 5000 * math.exp(-seconds / self.lag_s)
        return abs(self.creep(seconds) - self.creeps_to) + approach < 1.0

    def written(self, value: float) -> str:
        step = self.step(value)
        digits = max(0, round(-math.log10(step)))
        return f"{round(value / step) * step:.{digits}f} {self.unit}"


def frames(meter: Meter, touches: list[Touch], chance: Random) -> Iterator[Frame]:
    """The lines of a meter whose leads are moved like this; the list may grow meanwhile."""
    held: deque[float] = deque(maxlen=meter.average)
    phase = chance.uniform(0, math.tau)
    ready_s, begun_s, shown = 0.0, 0.0, meter.open
    now_s = chance.uniform(0, 0.2)
    stray = ""
    while True:
        while ready_s <= now_s:
            shown = _converted(meter, touches, (begun_s, ready_s), held, phase, chance)
            begun_s = ready_s
            ready_s += meter.conversion_s(_at(touches, ready_s).value or 0.0)
        if chance.random() >= meter.drop:
            if stray and chance.random() < 0.3:  # some last for two lines
                yield now_s, stray
                stray = ""
            elif chance.random() < meter.stray:
                stray = chance.choice((f"OL {meter.unit}", f"0.00 {meter.unit}", "----"))
                yield now_s, stray
            else:
                stray = ""
                yield now_s, shown
        every_s = meter.repeat_s or (ready_s - begun_s)
        now_s += max(0.01, every_s + chance.uniform(-_JITTER_S, _JITTER_S))


def _at(touches: list[Touch], seconds: float) -> Touch:
    return touches[max(0, bisect_right(touches, seconds, key=lambda t: t.start_s) - 1)]


def _converted(
    meter: Meter,
    touches: list[Touch],
    span_s: tuple[float, float],
    held: deque[float],
    phase: float,
    chance: Random,
) -> str:
    """What a conversion over that time shows: the part of it in which there was contact counts."""
    begun_s, ready_s = span_s
    total, seen = 0.0, 0
    for n in range(1, _SAMPLES + 1):
        at_s = begun_s + (ready_s - begun_s) * n / _SAMPLES
        touch = _at(touches, at_s)
        if touch.value is None:
            continue
        since_s = at_s - touch.start_s
        total += touch.value * -math.expm1(-since_s / meter.lag_s)
        seen += 1
    last = _at(touches, ready_s)
    if last.value is None or not seen:
        held.clear()
        return meter.open
    since_s = ready_s - last.start_s
    place = int(since_s / meter.ranging_s)
    if place < len(meter.ranging):
        held.clear()
        return meter.ranging[place]
    value, step = total / _SAMPLES, meter.step(last.value)
    value += step * chance.gauss(0, meter.noise)
    value += step * meter.hum[0] * math.sin(math.tau * ready_s / meter.hum[1] + phase)
    value += step * meter.creep(since_s)
    held.append(value)
    return meter.written(sum(held) / len(held))


def _steady(seconds: float) -> Callable[[float], float]:
    return lambda value: seconds


def _ramp(counts_a_second: float, most: float) -> Callable[[float], float]:
    def crept(seconds: float) -> float:
        there = min(abs(counts_a_second) * seconds, most)
        return math.copysign(there, counts_a_second)

    return crept


def _towards(most: float, time_constant_s: float) -> Callable[[float], float]:
    return lambda seconds: -most * math.exp(-seconds / time_constant_s)


def _creeping(rate: float, noise: float, every_s: float = 0.25) -> Meter:
    """Creeps so many counts a second, for eighty counts."""
    return Meter(
        f"creeps {rate:+.2g} counts a second, noise {noise:g}",
        _steady(every_s),
        noise=noise,
        creep=_ramp(rate, 80.0),
        creeps_to=math.copysign(80.0, rate),
    )


ZOO = (
    Meter("four a second", _steady(0.25)),
    Meter("three a second", _steady(1 / 3)),
    Meter("two a second", _steady(0.5)),
    Meter("one a second", _steady(1.0)),
    Meter("twenty a second", _steady(0.05), noise=0.6),
    Meter("four a second, never flickers", _steady(0.25), noise=0.0),
    Meter("two a second, sent five times a second", _steady(0.5), repeat_s=0.2),
    Meter("one in 2 s, sent five times a second", _steady(2.0), repeat_s=0.2),
    Meter("one in 2 s, never flickers, five lines a second", _steady(2.0), 0.2, noise=0.0),
    Meter("one in 3 s, sent ten times a second", _steady(3.0), repeat_s=0.1),
    Meter(
        "slower with each µF, five lines a second", lambda uf: 0.2 + 0.03 * uf, repeat_s=0.2
    ),
    Meter("slow input, 1.5 s", _steady(0.25), lag_s=1.5),
    Meter("slow input, 4 s", _steady(0.25), lag_s=4.0),
    Meter("slow input, 2 s, one a second", _steady(1.0), lag_s=2.0),
    Meter("mean of the last ten", _steady(0.2), noise=2.0, average=10),
    Meter("noise of two counts", _steady(0.25), noise=1.5),
    Meter("beats with the mains", _steady(0.3), noise=0.3, hum=(1.2, 5.0)),
    *(_creeping(rate, noise) for rate in (3.0, -1.5, 0.8, -0.4) for noise in (0.0, 0.5, 1.0)),
    _creeping(-1.0, 0.5, every_s=0.5),
    Meter(
        "soak of 0.8 % in 6 s", _steady(0.25), creep=_towards(36.0, 6.0)
    ),
    Meter(
        "soak of 0.5 % in 20 s", _steady(0.25), creep=_towards(22.0, 20.0)
    ),
    Meter(
        "looks for its range",
        _steady(0.3),
        ranging=("OL", "----", "4.39 uF", "OL", "43.2 uF"),
        ranging_s=0.3,
    ),
    Meter("one line in fifty is stray", _steady(0.25), stray=0.02),
    Meter("one in 2 s, and a line in fifty is stray", _steady(2.0), repeat_s=0.2, stray=0.02),
    Meter("one line in five does not come", _steady(0.25), drop=0.2),
    Meter("one in 1.5 s, and a line in five does not come", _steady(1.5), 0.25, drop=0.2),
)  # fmt: skip
