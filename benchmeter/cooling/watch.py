"""Watching a machine recover: the fold over discharge and outdoor temperature.

The rules (our own choice where no source is named; common practice gives no others):

**Start.** See `cooling.start`. PowerRestored begins a new recovery: what rose before it was another
one, or a probe put in place; its baseline begins 15 s before. A rise after a stop is a new start;
a second stage is none.

**Restart delay.** After power is restored and until a rise is seen: HELD_OFF for 6 min (controls
hold the compressor off for 3 to 5 min: common practice, no source), then NO_START. NO_START is not
said (but WAITING) when the readings since power have holes, or when discharge air is warmer than
outdoor air by a usual rise already: the start may have been missed.

**Stops.** The rise has fallen back by more than half of the highest that it had reached; a highest
of less than 3 K was a gust, and is forgotten. Compressor and fan without current, where that is
told, are a stop at once, and what rises meanwhile is no start. Counted since power was restored.

**Settled.** All of:
- at least 30 min since the start: after 15 min a falling load or a slow creep is not told from
  rest (of the zoo's statements then, two of three held for an hour);
- the last 10 min hold still within 0.6 K (`cooling.horizon`: scatter and a digit apart);
- the interval of what is to come reaches less than 3 K to either side; while it reaches further,
  no value is stated.

It is taken back when the last 10 min no longer hold still within 2 K, or when the last 5 min lie
outside the interval that was stated first. A hole alone does not take it back: it was seen. The
settled value and its interval: see `cooling.horizon`. Before it has settled neither a final value
nor a time is stated: no law is known that such machines obey.

**Rise over outdoor air.** The same interval, of the difference of both temperatures, in which what
the outdoor air does cancels. Without readings of the outdoor air in step with the others: settled
value less the last outdoor temperature of 15 min, give or take 1 K. Judged only when settled and
when it has stopped less than twice, by its interval, against 15 to 30 °F (8.3 to 16.7 K; common
practice, no source). The intervals hold the readings' scatter, not an error of the probes.

**Holes.** More than 10 s without a reading is a hole (two intervals, of a log that reads more
rarely): never bridged, times stay real. The means of such a log are as long as its interval.
"""

import math

from benchmeter.cooling.horizon import (
    LONG_S,
    MIDDLE_S,
    STRETCH_S,
    WINDOW_S,
    HeldLine,
    ahead,
    trend,
)
from benchmeter.cooling.means import Mean, TrailingMeans
from benchmeter.cooling.recovery import Estimate, Phase, Recovery, RiseJudgement
from benchmeter.cooling.settled_value import mean_estimate
from benchmeter.cooling.start import BASELINE_S, HOLE_S, RECENT_S, Rise, find_rise, recent_median

__all__ = [
    "MOST_STOPS",
    "USUAL_HIGH_K",
    "USUAL_LOW_K",
    "Digit",
    "RecoveryWatch",
    "difference",
    "weighted",
]

USUAL_LOW_K = 15 * 5 / 9
USUAL_HIGH_K = 30 * 5 / 9
"""Usual rise of discharge over outdoor air, 15 to 30 °F: common practice, no source."""

HELD_OFF_S = 360
LEAST_RUN_S = 1800
LEAST_RUN_K = 3.0
STILL_K = 0.6
MOVED_K = 2.0
MOST_HALF_K = 3.0
MOST_STOPS = 1

_NS = 1_000_000_000
_OUTDOOR_S = 900
_OUTDOOR_K = 1.0
_RECENT_OUTDOOR_S = 120
_COVERED = 0.75
_LEAST_STEP_K = 1e-6


class RecoveryWatch:
    """Follows one machine. Deterministic: no clock; the same calls give the same answers.

    Times are ns since the session's start and never run backwards. Memory and cost stay bounded,
    however long the session.
    """

    def __init__(self, every_s: float = 1.0) -> None:
        """`every_s`: from one reading to the next."""
        self._every_s = every_s
        self._width_s = max(STRETCH_S, math.ceil(every_s))
        self._hole_s = max(float(HOLE_S), 2 * every_s)
        self._seconds = TrailingMeans(1, BASELINE_S + 60)
        self._tens = TrailingMeans(self._width_s, LONG_S // STRETCH_S + 2)
        self._outdoors = TrailingMeans(self._width_s, LONG_S // STRETCH_S)
        self._digits = {"discharge": Digit(), "outdoor": Digit()}
        self._last_ns: int | None = None
        self._in_hole = True
        self._running: bool | None = None
        self._begin_anew(None)

    def _begin_anew(self, power_ns: int | None) -> None:
        self._power_ns = power_ns
        self._watched_ns: int | None = None  # first reading after power
        self._stops = 0
        self._outdoor_span = math.inf, -math.inf
        self._forget_rise()
        self._since_s = -math.inf if power_ns is None else power_ns / _NS - RECENT_S

    def _forget_rise(self) -> None:
        self._rise: Rise | None = None
        self._stopped = False
        self._highest_k = -math.inf
        self._settled: Estimate | None = None
        self._settled_ns: int | None = None
        self._first_stated: Estimate | None = None
        self._over: Estimate | None = None

    # --- what comes in ----------------------------------------------------------------------

    def discharge(
        self, time_ns: int, value_k: float | None, *, resolution_k: float | None = None
    ) -> None:
        """Discharge temperature, kelvin; None where there was no value.

        `resolution_k`: one digit of the display; if not told, the smallest step seen stands for it.
        """
        if value_k is None or not math.isfinite(value_k):
            self._in_hole = True
            return
        self._in_hole = False
        self._last_ns = time_ns
        if self._power_ns is not None and self._watched_ns is None:
            self._watched_ns = time_ns
        self._digits["discharge"].see(value_k, resolution_k)
        self._seconds.add(time_ns, value_k)
        self._tens.add(time_ns, value_k)

    def outdoor(
        self, time_ns: int, value_k: float | None, *, resolution_k: float | None = None
    ) -> None:
        """Outdoor temperature, kelvin; None where there was no value."""
        if value_k is not None and math.isfinite(value_k):
            self._digits["outdoor"].see(value_k, resolution_k)
            self._outdoors.add(time_ns, value_k)

    def power_restored(self, time_ns: int) -> None:
        """Power is back on the unit: a new recovery begins."""
        self._begin_anew(time_ns)

    def current(self, flows: bool) -> None:
        """Whether compressor and fan draw current, from now on."""
        self._running = flows

    # --- what follows -----------------------------------------------------------------------

    def renew(self, time_ns: int) -> Recovery:
        """The state at `time_ns`: to be called about once a second of session time."""
        now_s = time_ns / _NS
        present = self._last_ns is not None and time_ns - self._last_ns <= self._hole_s * _NS
        outdoor = self._outdoor(now_s)
        if present:
            self._look_for_stop(now_s)
            self._look_for_start(now_s, outdoor)
        if self._rise is not None and not self._stopped:
            self._settle(time_ns)
        return self._recovery(time_ns, present, outdoor)

    def _look_for_stop(self, now_s: float) -> None:
        level = self._level(now_s)
        if self._rise is None or self._stopped or level is None:
            return
        self._highest_k = max(self._highest_k, level)
        base = self._rise.baseline_k
        if self._running is False or level - base < (self._highest_k - base) / 2:
            rise, ran = self._rise, self._highest_k - base >= LEAST_RUN_K
            self._forget_rise()
            if ran:
                self._rise, self._stopped = rise, True
                self._stops += 1
            self._since_s = now_s

    def _level(self, now_s: float) -> float | None:
        return recent_median(self._seconds.last(RECENT_S + 2), now_s, self._every_s)

    def _look_for_start(self, now_s: float, outdoor: Estimate | None) -> None:
        runs = self._rise is not None and not self._stopped
        if runs or self._running is False:
            return
        seconds = self._seconds.all()
        rise = find_rise(
            seconds,
            now_s,
            since_s=self._since_s,
            outdoor_k=None if outdoor is None else outdoor.value,
            every_s=self._every_s,
        )
        if rise is None:
            return
        self._forget_rise()
        self._rise = rise

    def _settle(self, time_ns: int) -> None:
        assert self._rise is not None
        now_s = time_ns / _NS
        tens, air = self._tens.closed(time_ns), self._outdoors.closed(time_ns)
        found, digit = self._trend(tens, now_s, WINDOW_S), self._digits["discharge"].size_k
        stated = None
        if found is not None:
            slow = self._trend(air, now_s, LONG_S) or self._trend(air, now_s, WINDOW_S)
            if slow is not None:
                low, high = self._outdoor_span
                self._outdoor_span = min(low, slow.recent_k), max(high, slow.recent_k)
            slope, (low, high) = 0.0 if slow is None else slow.slope, self._outdoor_span
            longer, span = self._trend(tens, now_s, LONG_S), max(high - low, 0.0)
            stated = ahead(found, longer, digit, outdoor_slope=slope, outdoor_span_k=span)
        if self._settled_ns is None:
            run_s = now_s - self._rise.start_s
            if stated is None or found is None or run_s < LEAST_RUN_S:
                return
            if not found.still(STILL_K, digit) or _half(stated) >= MOST_HALF_K:
                return
            self._settled_ns, self._first_stated = time_ns, stated
        elif self._left(now_s) or (found is not None and not found.still(MOVED_K, digit)):
            self._settled, self._settled_ns, self._first_stated = None, None, None
            return
        if stated is None:
            return
        self._settled = stated if _half(stated) < MOST_HALF_K else None
        both = _differences(tens, air, self._width_s)
        over = self._trend(both, now_s, WINDOW_S)
        digits = math.hypot(digit, self._digits["outdoor"].size_k)
        longer = self._trend(both, now_s, LONG_S)
        self._over = None if over is None else ahead(over, longer, digits)

    def _trend(self, means: list[Mean], now_s: float, length_s: float) -> HeldLine | None:
        return trend(means, now_s, length_s, self._width_s)

    def _left(self, now_s: float) -> bool:
        """Whether the readings have left what was stated first."""
        level = weighted([m for m in self._tens.all() if m.time_s > now_s - MIDDLE_S])
        if self._first_stated is None or level is None or self._in_hole:
            return False
        return not self._first_stated.low <= level <= self._first_stated.high

    # --- the answer -------------------------------------------------------------------------

    def _recovery(self, time_ns: int, present: bool, outdoor: Estimate | None) -> Recovery:
        discharge = self._discharge_now(time_ns) if present else None
        phase = self._phase(time_ns, present, discharge, outdoor)
        settled, rise = self._settled, None
        if settled is not None and outdoor is not None:
            rise = self._over or difference(settled, outdoor)
        return Recovery(
            time_ns=time_ns,
            phase=phase,
            power_ns=self._power_ns,
            start_ns=None if self._rise is None else round(self._rise.start_s * _NS),
            fit=None,
            fit_failure=None,
            settled_k=settled,
            time_left_s=None,
            discharge_k=discharge,
            outdoor_k=None if outdoor is None else outdoor.value,
            rise_k=rise,
            judgement=_judge(settled, rise, self._stops),
            stops=self._stops,
            settled_ns=self._settled_ns,
        )

    def _phase(
        self, time_ns: int, present: bool, discharge: float | None, outdoor: Estimate | None
    ) -> Phase:
        if self._settled_ns is not None:
            return Phase.SETTLED
        if not present:
            return Phase.NO_READINGS
        if self._rise is not None:
            return Phase.STOPPED if self._stopped else Phase.RISING
        if self._power_ns is None:
            return Phase.WAITING
        if time_ns - self._power_ns <= HELD_OFF_S * _NS:
            return Phase.HELD_OFF
        warm = (
            discharge is not None
            and outdoor is not None
            and discharge - outdoor.value > USUAL_LOW_K
        )
        return Phase.WAITING if warm or not self._watched_since_power(time_ns) else Phase.NO_START

    def _watched_since_power(self, time_ns: int) -> bool:
        if self._power_ns is None or self._watched_ns is None:
            return False
        since_s = max(self._power_ns / _NS, time_ns / _NS - WINDOW_S)
        means = [m for m in self._tens.all() if m.time_s >= since_s]
        wanted = (time_ns / _NS - since_s) / self._width_s
        began_in_time = self._watched_ns - self._power_ns <= 60 * _NS
        return began_in_time and len(means) >= _COVERED * wanted

    def _discharge_now(self, time_ns: int) -> float | None:
        if self._in_hole:
            return None
        means = [
            m for m in self._seconds.last(HOLE_S + 1) if m.time_s > time_ns / _NS - self._hole_s
        ]
        return weighted(means)

    def _outdoor(self, now_s: float) -> Estimate | None:
        digit = self._digits["outdoor"].size_k
        means = [m for m in self._outdoors.all() if m.time_s > now_s - _OUTDOOR_S]
        recent = [m for m in means if m.time_s > now_s - _RECENT_OUTDOOR_S]
        if len(recent) >= 3:
            return mean_estimate([m.value for m in recent], digit)
        if not means:
            return None
        last, half = means[-1].value, math.hypot(_OUTDOOR_K, digit)
        return Estimate(last, last - half, last + half)


class Digit:
    """The worth of one digit of a display, kelvin: as told, else the smallest step ever seen."""

    def __init__(self) -> None:
        self._told: float | None = None
        self._seen = math.inf
        self._last: float | None = None

    def see(self, value_k: float, told_k: float | None) -> None:
        if told_k is not None and math.isfinite(told_k) and told_k > 0:
            self._told = told_k
        if self._last is not None:
            step = abs(value_k - self._last)
            if step > _LEAST_STEP_K:
                self._seen = min(self._seen, step)
        self._last = value_k

    @property
    def size_k(self) -> float:
        if self._told is not None:
            return self._told
        return self._seen if math.isfinite(self._seen) else 0.0


def weighted(means: list[Mean]) -> float | None:
    """Mean of all their readings; None of none."""
    count = sum(m.count for m in means)
    return sum(m.value * m.count for m in means) / count if count else None


def difference(warm: Estimate, cold: Estimate) -> Estimate:
    """Independent intervals add in quadrature (JCGM 100:2008 5.1.2)."""
    value = warm.value - cold.value
    below = math.hypot(warm.value - warm.low, cold.high - cold.value)
    above = math.hypot(warm.high - warm.value, cold.value - cold.low)
    return Estimate(value, value - below, value + above)


def _half(stated: Estimate) -> float:
    return max(stated.high - stated.value, stated.value - stated.low)


def _differences(warm: list[Mean], cold: list[Mean], width_s: int) -> list[Mean]:
    """Of the stretches that both have."""
    other = {int(m.time_s // width_s): m.value for m in cold}
    return [
        Mean(m.time_s, m.value - other[place], m.count)
        for m in warm
        if (place := int(m.time_s // width_s)) in other
    ]


def _judge(settled: Estimate | None, rise: Estimate | None, stops: int) -> RiseJudgement:
    if settled is None or stops > MOST_STOPS:
        return RiseJudgement.NOT_YET
    if rise is None:
        return RiseJudgement.NO_OUTDOOR
    if rise.high < USUAL_LOW_K:
        return RiseJudgement.TOO_SMALL
    if rise.low > USUAL_HIGH_K:
        return RiseJudgement.TOO_LARGE
    if rise.low >= USUAL_LOW_K and rise.high <= USUAL_HIGH_K:
        return RiseJudgement.USUAL
    return RiseJudgement.CLOSE
