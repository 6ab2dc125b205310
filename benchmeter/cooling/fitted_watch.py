"""The rule of older sessions, which foretold a recovery by a first-order law: for them only.

Their records are rechecked by it and come out as they did. What is followed now: `cooling.watch`.

The rules (our own choice where no source is named; common practice gives no others):

**Start.** See `cooling.start`. PowerRestored begins a new recovery: what rose before it was another
one, or a probe put in place; its baseline begins 15 s before. A further rise after settling, or
after a fall, is a new start.

**Restart delay.** After power is restored and until a rise is seen: HELD_OFF for 6 min (controls
hold the compressor off for 3 to 5 min: common practice, no source), then NO_START. NO_START is not
said (but WAITING) when the readings since power have holes, or when discharge air is warmer than
outdoor air by a usual rise already: the start may have been missed.

**Stopped.** The rise has fallen back by more than half of the highest that it had reached.

**Settled.** All of:
- at least 5 min since the start, so that no restart delay is taken for the end;
- the last 120 s are flat within 0.2 K (`cooling.settling`: 10-s means, noise and resolution apart);
- the fit agrees: less than 0.5 K remains, with the far end of its interval, and in the last 300 s
  the readings have not changed by 0.1 K more than the fit (a slow second stage, a drift). Without
  such a fit, the last 600 s are flat within 0.5 K.
It ends when the last 120 s are no longer flat within 0.4 K, or, where a hole leaves less to tell
by, when the readings lie more than 0.5 K away. A hole alone does not end it: it was seen.
The settled value is the mean of the last 120 s, with the 95 % interval of its 10-s means, reaching
as far further as the fit says that the final value may lie.

**Fit.** First-order step response, over 1-s means (of 2, 4, … s when they would be more than 900),
intervals widened for residuals that follow each other. The first 10 s after the start are left out:
no machine begins as a pure first-order response does, and the start is not known to the second.
Renewed when the readings have grown by 1 %. Forecasts and their doubts: see `cooling.forecast`.

**Rise over outdoor air.** Settled, or forecast, discharge temperature less the mean outdoor
temperature of the last 120 s. Where there are fewer than three 10-s means of that, the last one of
15 min counts, give or take 1 K. Judged only when settled, by its 95 % interval, against 15 to 30 °F
(8.3 to 16.7 K; common practice, no source). The interval holds the scatter of the readings, not an
error of the probes.

**Holes.** More than 10 s without a reading is a hole: never bridged, times stay real.
"""

import math

from benchmeter.cooling.forecast import final_value, remaining, time_when_settled, value_at
from benchmeter.cooling.means import ThinnedMeans, TrailingMeans
from benchmeter.cooling.recovery import Estimate, FitFailure, Phase, Recovery, RiseJudgement
from benchmeter.cooling.settled_value import (
    STRETCH_S,
    Stretch,
    drift,
    mean_estimate,
    trailing_stretch,
)
from benchmeter.cooling.start import BASELINE_S, HOLE_S, RECENT_S, Rise, find_rise, recent_median
from benchmeter.cooling.step_fit import FittedStep, solve_step
from benchmeter.cooling.watch import USUAL_HIGH_K, USUAL_LOW_K, Digit, difference, weighted

__all__ = ["FittedWatch"]

HELD_OFF_S = 360
LEAST_RUN_S = 300
WINDOW_S = 120
FLAT_K = 0.2
STILL_FLAT_K = 0.4
REMAINS_K = 0.5
FOOT_S = 10
DRIFT_S = 300
SURPLUS_K = 0.1
LONG_WINDOW_S = 600
LONG_FLAT_K = 0.5

_NS = 1_000_000_000
_MOST_POINTS = 900
_OUTDOOR_S = 900
_OUTDOOR_K = 1.0
_COVERED = 0.75


class FittedWatch:
    """Follows one machine. Deterministic: no clock; the same calls give the same answers.

    Times are ns since the session's start and never run backwards. Memory and cost stay bounded,
    however long the session. The first fit imports SciPy (half a second).
    """

    def __init__(self) -> None:
        self._seconds = TrailingMeans(1, BASELINE_S + 60)
        self._tens = TrailingMeans(STRETCH_S, LONG_WINDOW_S // STRETCH_S + 2)
        self._outdoors = TrailingMeans(STRETCH_S, _OUTDOOR_S // STRETCH_S)
        self._digits = {"discharge": Digit(), "outdoor": Digit()}
        self._last_ns: int | None = None
        self._in_hole = True
        self._begin_anew(None)

    def _begin_anew(self, power_ns: int | None) -> None:
        self._power_ns = power_ns
        self._watched_ns: int | None = None  # first reading after power
        self._forget_rise()
        self._since_s = -math.inf if power_ns is None else power_ns / _NS - RECENT_S

    def _forget_rise(self) -> None:
        self._rise: Rise | None = None
        self._stopped = False
        self._highest_k = -math.inf
        self._record = ThinnedMeans(_MOST_POINTS)
        self._step: FittedStep | FitFailure | None = None
        self._fitted_s = -math.inf
        self._settled: Estimate | None = None
        self._had_settled = False

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
        if self._rise is not None and not self._stopped:
            self._record.add(time_ns, value_k)

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

    # --- what follows -----------------------------------------------------------------------

    def renew(self, time_ns: int) -> Recovery:
        """The state at `time_ns`: to be called about once a second of session time."""
        now_s = time_ns / _NS
        present = self._last_ns is not None and time_ns - self._last_ns <= HOLE_S * _NS
        outdoor = self._outdoor(now_s)
        if present:
            self._look_for_stop(now_s)
            self._look_for_start(now_s, outdoor)
        if self._rise is not None and not self._stopped:
            self._fit(time_ns)
            self._settle(time_ns)
        return self._recovery(time_ns, present, outdoor)

    def _look_for_stop(self, now_s: float) -> None:
        level = self._level(now_s)
        if self._rise is None or self._stopped or level is None:
            return
        self._highest_k = max(self._highest_k, level)
        base = self._rise.baseline_k
        if level - base < (self._highest_k - base) / 2:
            rise = self._rise
            self._forget_rise()
            self._rise, self._stopped = rise, True
            self._since_s = now_s

    def _level(self, now_s: float) -> float | None:
        return recent_median(self._seconds.last(RECENT_S + 2), now_s)

    def _look_for_start(self, now_s: float, outdoor: Estimate | None) -> None:
        if self._rise is not None and not self._stopped and not self._had_settled:
            return
        seconds = self._seconds.all()
        rise = find_rise(
            seconds,
            now_s,
            since_s=self._since_s,
            outdoor_k=None if outdoor is None else outdoor.value,
        )
        if rise is None:
            return
        self._forget_rise()
        self._rise = rise
        for m in seconds:
            if m.time_s >= rise.start_s + FOOT_S:
                self._record.add(round(m.time_s * _NS), m.value)

    def _fit(self, time_ns: int) -> None:
        assert self._rise is not None
        points = self._record.closed(time_ns)
        if not points:
            return
        start_s, last_s = self._rise.start_s, points[-1].time_s
        if last_s - self._fitted_s < max(0.5, (last_s - start_s) / 100):
            return
        self._fitted_s = last_s
        self._step = solve_step(
            [m.time_s - start_s for m in points], [m.value for m in points], serial=True
        )

    def _settle(self, time_ns: int) -> None:
        assert self._rise is not None
        now_s = time_ns / _NS
        window = self._stretch(time_ns, WINDOW_S)
        if self._settled is not None:
            if self._moved_away(window, now_s):
                self._settled = None
            elif window is not None:
                self._settled = self._settled_value(window)
            return
        if window is None or now_s - self._rise.start_s < LEAST_RUN_S:
            return
        if window.flat(FLAT_K) and self._nothing_remains(time_ns):
            self._settled = self._settled_value(window)
            self._had_settled = True
            self._since_s = now_s - WINDOW_S - STRETCH_S

    def _moved_away(self, window: Stretch | None, now_s: float) -> bool:
        if window is not None:
            return not window.flat(STILL_FLAT_K)
        level = self._level(now_s)
        if self._settled is None or level is None or self._in_hole:
            return False
        away = REMAINS_K + self._digits["discharge"].size_k
        return not self._settled.low - away <= level <= self._settled.high + away

    def _nothing_remains(self, time_ns: int) -> bool:
        assert self._rise is not None
        if isinstance(self._step, FittedStep) and self._fit_agrees(self._step, time_ns):
            return True
        long = self._stretch(time_ns, LONG_WINDOW_S)
        return long is not None and long.flat(LONG_FLAT_K)

    def _fit_agrees(self, step: FittedStep, time_ns: int) -> bool:
        assert self._rise is not None
        now_s, start_s = time_ns / _NS, self._rise.start_s
        left = remaining(step, now_s - start_s)
        if max(abs(left.low), abs(left.high)) >= REMAINS_K:
            return False
        beyond = drift(
            self._tens.closed(time_ns), now_s, DRIFT_S, lambda t: value_at(step, t - start_s)
        )
        if beyond is None:
            return False
        surplus, noise = beyond
        return abs(surplus) < SURPLUS_K + noise + min(self._digits["discharge"].size_k, 1.0) / 2

    def _settled_value(self, window: Stretch) -> Estimate:
        assert self._rise is not None
        mean = window.mean
        if not isinstance(self._step, FittedStep):
            return mean
        left = remaining(self._step, window.middle_s - self._rise.start_s)
        if max(abs(left.low), abs(left.high)) >= 2 * REMAINS_K:
            return mean  # the long flat stretch has decided against this fit
        return Estimate(mean.value, mean.low + min(left.low, 0), mean.high + max(left.high, 0))

    def _stretch(self, time_ns: int, length_s: int) -> Stretch | None:
        assert self._rise is not None
        return trailing_stretch(
            self._tens.closed(time_ns),
            time_ns / _NS,
            length_s,
            since_s=self._rise.start_s,
            resolution_k=self._digits["discharge"].size_k,
        )

    # --- the answer -------------------------------------------------------------------------

    def _recovery(self, time_ns: int, present: bool, outdoor: Estimate | None) -> Recovery:
        now_s = time_ns / _NS
        discharge = self._discharge_now(time_ns) if present else None
        phase = self._phase(time_ns, present, discharge, outdoor)
        step = self._step if isinstance(self._step, FittedStep) else None
        settled = self._settled
        if settled is None and step is not None and self._rise is not None:
            settled = final_value(step, now_s - self._rise.start_s)
        rise = None if settled is None or outdoor is None else difference(settled, outdoor)
        left = self._time_left(now_s, step) if phase is Phase.RISING else None
        return Recovery(
            time_ns=time_ns,
            phase=phase,
            power_ns=self._power_ns,
            start_ns=None if self._rise is None else round(self._rise.start_s * _NS),
            fit=None if step is None else step.fit,
            fit_failure=self._step if isinstance(self._step, FitFailure) else None,
            settled_k=settled,
            time_left_s=left,
            discharge_k=discharge,
            outdoor_k=None if outdoor is None else outdoor.value,
            rise_k=rise,
            judgement=_judge(phase, rise),
        )

    def _phase(
        self, time_ns: int, present: bool, discharge: float | None, outdoor: Estimate | None
    ) -> Phase:
        if self._settled is not None:
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
        since_s = max(self._power_ns / _NS, time_ns / _NS - LONG_WINDOW_S)
        means = [m for m in self._tens.all() if m.time_s >= since_s]
        wanted = (time_ns / _NS - since_s) / STRETCH_S
        began_in_time = self._watched_ns - self._power_ns <= 60 * _NS
        return began_in_time and len(means) >= _COVERED * wanted

    def _discharge_now(self, time_ns: int) -> float | None:
        if self._in_hole:
            return None
        means = [m for m in self._seconds.last(HOLE_S + 1) if m.time_s > time_ns / _NS - HOLE_S]
        return weighted(means)

    def _outdoor(self, now_s: float) -> Estimate | None:
        digit = self._digits["outdoor"].size_k
        means = [m for m in self._outdoors.all() if m.time_s > now_s - _OUTDOOR_S]
        recent = [m for m in means if m.time_s > now_s - WINDOW_S]
        if len(recent) >= 3:
            return mean_estimate([m.value for m in recent], digit)
        if not means:
            return None
        last, half = means[-1].value, math.hypot(_OUTDOOR_K, digit)
        return Estimate(last, last - half, last + half)

    def _time_left(self, now_s: float, step: FittedStep | None) -> Estimate | None:
        if step is None or self._rise is None:
            return None
        digit = min(self._digits["discharge"].size_k, 1.0)
        when = time_when_settled(step, span=FLAT_K + digit, window_s=WINDOW_S, remains=REMAINS_K)
        if when is None:
            return None
        gone = now_s - self._rise.start_s
        late = STRETCH_S / 2  # the last 10-s mean must have ended
        value, low, high = (
            max(max(t + late, LEAST_RUN_S) - gone, 0.0) for t in (when.value, when.low, when.high)
        )
        return Estimate(value, low, high)


def _judge(phase: Phase, rise: Estimate | None) -> RiseJudgement:
    if phase is not Phase.SETTLED:
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
