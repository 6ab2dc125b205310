"""A recovery, second by second: start, restart delay, settled, rise over outdoor air.

Curves are closed forms, T(t) = T∞ + (T0 - T∞)·exp(-t/tau), with seeded noise where it matters.
"""

import math
import pickle
import random
from collections.abc import Callable
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchmeter.cooling.recovery import Estimate, Phase, Recovery, RiseJudgement
from benchmeter.cooling.watch import RecoveryWatch

OUTDOOR = 295.15
Curve = Callable[[float], float | None]


def ns(seconds: float) -> int:
    return round(seconds * 1e9)


def rise(
    begin: float, height: float = 11.0, tau: float = 180.0, base: float = OUTDOOR
) -> Callable[[float], float]:
    """A start at `begin`; 11 K and 180 s mirror the cool-down of the settle criteria."""
    return lambda t: base + (height * (1 - math.exp((begin - t) / tau)) if t > begin else 0.0)


def noisy(
    curve: Callable[[float], float], sigma: float, digit: float = 0.0, seed: int = 1
) -> Curve:
    chance = random.Random(seed)

    def shown(t: float) -> float:
        value = curve(t) + chance.gauss(0, sigma)
        return round(value / digit) * digit if digit else value

    return shown


def follow(
    discharge: Curve,
    until: float,
    *,
    outdoor: Curve | None = lambda t: OUTDOOR,
    power: float | None = 0.0,
    period: float = 1.0,
    watch: RecoveryWatch | None = None,
    begin: float = 0.0,
    renewed_s: int = 1,
) -> list[Recovery]:
    """Feed readings every `period`, renew every `renewed_s`."""
    watch = watch or RecoveryWatch()
    seen = []
    told = power is None or power < begin
    for i in range(int((until - begin) / period) + 1):
        t = begin + i * period
        if power is not None and not told and t >= power:
            watch.power_restored(ns(t))
            told = True
        watch.discharge(ns(t), discharge(t))
        if outdoor is not None:
            watch.outdoor(ns(t), outdoor(t))
        if t % renewed_s == 0:
            seen.append(watch.renew(ns(t)))
    return seen


def phases(seen: list[Recovery]) -> list[Phase]:
    found = [r.phase for r in seen]
    return [found[0]] + [b for a, b in pairwise(found) if a is not b]


def first(seen: list[Recovery], phase: Phase) -> Recovery:
    return next(r for r in seen if r.phase is phase)


# --- start ----------------------------------------------------------------------------------


def test_a_start_after_the_restart_delay() -> None:
    seen = follow(rise(200), 2100)
    assert phases(seen) == [Phase.HELD_OFF, Phase.RISING, Phase.SETTLED]
    start = seen[-1].start_ns
    assert start is not None and start / 1e9 == pytest.approx(200, abs=3)


def test_a_start_is_seen_without_being_told_of_power() -> None:
    seen = follow(noisy(rise(200), 0.1), 300, power=None)
    assert phases(seen) == [Phase.WAITING, Phase.RISING]
    assert seen[-1].power_ns is None


@pytest.mark.parametrize("tau, height", [(30.0, 8.0), (60.0, 12.0), (180.0, 15.0), (300.0, 8.0)])
@pytest.mark.parametrize("sigma, digit", [(0.0, 0.0), (0.1, 0.1), (0.3, 0.1), (0.05, 5 / 9)])
def test_the_start_is_found_within_seconds(
    tau: float, height: float, sigma: float, digit: float
) -> None:
    seen = follow(noisy(rise(200, height, tau), sigma, digit), 320)
    start = first(seen, Phase.RISING).start_ns
    assert start is not None and start / 1e9 == pytest.approx(200, abs=20)


def test_a_fall_at_first_is_no_start() -> None:
    """A fan draws outdoor air over a housing that stood in the sun; then the compressor starts."""

    def curve(t: float) -> float:
        fan = 305.0 - (305.0 - OUTDOOR) * (1 - math.exp(-max(t - 60, 0) / 40))
        return fan + rise(400, base=0)(t)

    seen = follow(noisy(curve, 0.1), 500, power=60)
    assert phases(seen) == [Phase.WAITING, Phase.HELD_OFF, Phase.NO_START, Phase.RISING] or phases(
        seen
    ) == [Phase.WAITING, Phase.HELD_OFF, Phase.RISING]
    start = seen[-1].start_ns
    assert start is not None and start / 1e9 == pytest.approx(400, abs=15)


def test_a_probe_that_warms_up_to_outdoor_air_is_no_start() -> None:
    """From a cool van (20 °C) into air of 35 °C."""
    seen = follow(rise(30, 15, 40, base=293.15), 400, outdoor=lambda t: 308.15, power=None)
    assert phases(seen) == [Phase.WAITING]


def test_one_wild_reading_is_no_start() -> None:
    """85.00 °C is what a digital probe shows after power-up (kernel documentation of w1_therm)."""
    seen = follow(lambda t: 358.15 if t in (100, 101, 200) else OUTDOOR, 300)
    assert phases(seen) == [Phase.HELD_OFF]


def test_power_restored_begins_anew() -> None:
    """A probe put on a sunny grille rises like a start; power tells them apart."""
    curve = rise(20, 10, 30)
    seen = follow(curve, 620, power=250)
    assert seen[200].phase is Phase.RISING
    assert all(r.phase is not Phase.SETTLED for r in seen)
    assert seen[300].phase is Phase.HELD_OFF
    assert seen[300].start_ns is None


def test_a_button_pressed_late_costs_no_start() -> None:
    seen = follow(noisy(rise(100), 0.1), 2100, power=130)
    assert seen[-1].phase is Phase.SETTLED
    start = seen[-1].start_ns
    assert start is not None and start / 1e9 == pytest.approx(115, abs=20)


# --- restart delay --------------------------------------------------------------------------


def test_no_rise_for_six_minutes_is_no_fault_then_no_start() -> None:
    """Controls wait 3 to 5 min (common practice, no source): 6 min leave room."""
    seen = follow(noisy(lambda t: OUTDOOR, 0.1), 500)
    assert phases(seen) == [Phase.HELD_OFF, Phase.NO_START]
    assert seen[360].phase is Phase.HELD_OFF
    assert seen[361].phase is Phase.NO_START
    assert seen[-1].judgement is RiseJudgement.NOT_YET


def test_a_late_start_ends_no_start() -> None:
    assert follow(rise(500), 600)[-1].phase is Phase.RISING


def test_no_start_is_not_said_of_what_was_not_watched() -> None:
    lost = follow(lambda t: None if 20 < t < 330 else OUTDOOR, 420)
    assert Phase.NO_START not in phases(lost)
    late = follow(lambda t: None if t < 200 else OUTDOOR, 420)
    assert Phase.NO_START not in phases(late)


def test_no_start_is_not_said_when_the_air_is_warm_already() -> None:
    seen = follow(lambda t: OUTDOOR + 11, 900)
    assert phases(seen) == [Phase.HELD_OFF, Phase.WAITING]


def test_a_rise_inside_a_hole_is_seen() -> None:
    curve = rise(100, 12, 60)
    seen = follow(lambda t: None if 90 < t < 500 else curve(t), 560)
    assert seen[-1].phase is Phase.RISING
    start = seen[-1].start_ns
    assert start is not None and 80 <= start / 1e9 <= 100


# --- settled --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "sigma, digit, seed",
    [
        (0.0, 0.0, 1),
        (0.1, 0.0, 1),
        (0.3, 0.1, 1),
        (0.05, 5 / 9, 1),
        *((0.2, 0.1, s) for s in (2, 3)),
    ],
)
def test_noise_and_coarse_digits_do_not_keep_it_from_settling(
    sigma: float, digit: float, seed: int
) -> None:
    """Half an hour at least: of 11 K, tau 180 s, 0.01 K was left ten minutes before (closed form)."""
    seen = follow(noisy(rise(60), sigma, digit, seed), 2100, renewed_s=5)
    settled = first(seen, Phase.SETTLED)
    assert 1800 - 10 <= settled.time_ns / 1e9 - 60 <= 2000
    assert settled.settled_ns == settled.time_ns == seen[-1].settled_ns
    stated = [r.settled_k for r in seen if r.settled_k is not None]
    assert stated and all(value.low <= OUTDOOR + 11 <= value.high for value in stated)


def test_nothing_is_foretold() -> None:
    """No first-order law holds for a machine: neither a value nor a time before it has settled."""
    seen = follow(noisy(rise(60), 0.1), 1840, renewed_s=5)
    assert all(r.settled_k is r.time_left_s is r.rise_k is r.fit is None for r in seen)


def test_settled_is_taken_back_when_a_second_stage_moves_it() -> None:
    def curve(t: float) -> float:
        return rise(60, 8, 60)(t) + rise(2200, 6, 60, base=0)(t)

    seen = follow(noisy(curve, 0.05), 3200, renewed_s=5)
    assert phases(seen) == [
        Phase.HELD_OFF,
        Phase.RISING,
        Phase.SETTLED,
        Phase.RISING,
        Phase.SETTLED,
    ]
    last = seen[-1]
    assert last.stops == 0 and last.start_ns == seen[200].start_ns
    assert last.settled_k is not None
    assert last.settled_k.value == pytest.approx(OUTDOOR + 14, abs=0.2)


def test_a_machine_that_tripped_twice_has_not_recovered_where_it_settles() -> None:
    runs = ((60, 400), (800, 1200), (1700, 9999))

    def curve(t: float) -> float:
        value = 0.0
        for begin, end in runs:
            if t > begin:
                top = 12 * (1 - math.exp((begin - min(t, end)) / 60))
                value += top * math.exp(-max(t - end, 0) / 60)
        return OUTDOOR + value

    seen = follow(noisy(curve, 0.1), 3700, renewed_s=5)
    assert seen[-1].phase is Phase.SETTLED
    assert seen[-1].stops == 2
    assert {r.judgement for r in seen} == {RiseJudgement.NOT_YET}


def test_without_current_a_rise_is_no_start_and_a_run_has_stopped() -> None:
    """The sun on a probe rises like a start; a still compressor tells them apart."""
    watch = RecoveryWatch()
    watch.current(False)
    assert Phase.RISING not in phases(follow(rise(60), 600, watch=watch))
    watch = RecoveryWatch()
    watch.current(True)
    assert follow(rise(60), 300, watch=watch)[-1].phase is Phase.RISING
    watch.current(False)
    assert watch.renew(ns(301)).phase is Phase.STOPPED


def test_a_glimpse_and_a_warmer_one_later_are_no_settled_rise() -> None:
    """8 K and then 10 K over outdoor air, still climbing: common practice, no source."""
    seen = follow(noisy(rise(60, 15, 300), 0.1), 420)
    values = [r.discharge_k for r in seen if r.discharge_k is not None]
    assert any(v > OUTDOOR + 8 for v in values) and any(v > OUTDOOR + 10 for v in values)
    assert all(r.phase is not Phase.SETTLED for r in seen)
    assert all(r.judgement is RiseJudgement.NOT_YET for r in seen)


def test_a_slow_straight_climb_never_settles() -> None:
    """0.15 K/min: the last 120 s look flat within 0.3 K, yet nothing says where it ends."""

    def curve(t: float) -> float:
        return OUTDOOR + (4 + (t - 60) * 0.15 / 60 if t > 60 else 0)

    seen = follow(noisy(curve, 0.05), 1500)
    assert all(r.phase is not Phase.SETTLED for r in seen)


def test_a_slow_second_stage_is_waited_for() -> None:
    """8 K with tau 60 s, then 4 K with tau 15 min: settled only when less than 1 K remains."""

    def curve(t: float) -> float:
        return rise(60, 8, 60)(t) + rise(60, 4, 900, base=0)(t)

    seen = follow(noisy(curve, 0.1), 2700, renewed_s=4)
    settled = first(seen, Phase.SETTLED).time_ns / 1e9 - 60
    assert 4 * math.exp(-settled / 900) < 1.0


def test_a_unit_that_trips_has_stopped_and_may_start_again() -> None:
    def curve(t: float) -> float:
        if t < 400:
            return rise(60, 12, 120)(t)
        top = rise(60, 12, 120)(400)
        return OUTDOOR + (top - OUTDOOR) * math.exp(-(t - 400) / 80) + rise(800, 12, 120, base=0)(t)

    seen = follow(noisy(curve, 0.1), 1000)
    assert phases(seen) == [Phase.HELD_OFF, Phase.RISING, Phase.STOPPED, Phase.RISING]
    assert all(r.judgement is RiseJudgement.NOT_YET for r in seen)
    assert seen[-1].start_ns is not None and seen[-1].start_ns / 1e9 == pytest.approx(800, abs=15)


# --- rise over outdoor air --------------------------------------------------------------------


# 15 to 30 °F (8.33 to 16.67 K): common practice, no source.
@pytest.mark.parametrize(
    "height, judgement",
    [
        (4.0, RiseJudgement.TOO_SMALL),
        (8.35, RiseJudgement.CLOSE),
        (12.0, RiseJudgement.USUAL),
        (16.6, RiseJudgement.CLOSE),
        (22.0, RiseJudgement.TOO_LARGE),
    ],
)
def test_the_rise_is_judged_by_its_interval(height: float, judgement: RiseJudgement) -> None:
    seen = follow(
        noisy(rise(60, height, 60), 0.2, 0.1),
        2100,
        outdoor=noisy(lambda t: OUTDOOR, 0.2, 0.1, 2),
        renewed_s=5,
    )
    last = seen[-1]
    assert last.phase is Phase.SETTLED
    assert last.judgement is judgement
    assert last.rise_k is not None and last.rise_k.value == pytest.approx(height, abs=0.25)


def test_without_an_outdoor_probe_the_rise_is_not_judged() -> None:
    last = follow(rise(60, 11, 60), 2000, outdoor=None)[-1]
    assert last.phase is Phase.SETTLED
    assert last.judgement is RiseJudgement.NO_OUTDOOR
    assert last.rise_k is None


def test_an_outdoor_temperature_typed_once_counts_for_15_minutes_give_or_take_1_k() -> None:
    once: Curve = lambda t: OUTDOOR if t == 1200 else None  # noqa: E731
    seen = follow(rise(60, 12, 60), 2200, outdoor=once, renewed_s=5)
    judged = seen[400]
    rise_k, held = judged.rise_k, judged.settled_k
    assert rise_k is not None and held is not None
    assert judged.judgement is RiseJudgement.USUAL
    # 1 K to either side (common practice) joins the interval of the discharge air.
    assert rise_k.value - rise_k.low == pytest.approx(math.hypot(1, held.value - held.low))
    assert seen[-1].judgement is RiseJudgement.NO_OUTDOOR


# --- holes ----------------------------------------------------------------------------------


def test_a_hole_while_rising_is_no_reading() -> None:
    curve = rise(60)
    seen = follow(lambda t: None if 300 < t < 400 else curve(t), 1000)
    inside = seen[350]
    assert inside.phase is Phase.NO_READINGS
    assert inside.discharge_k is None and inside.time_left_s is None
    assert seen[405].phase is Phase.RISING
    assert seen[405].start_ns == seen[299].start_ns


def test_what_was_settled_stays_settled_when_the_probe_is_unplugged() -> None:
    curve = rise(60, 11, 60)
    seen = follow(lambda t: None if t > 2200 else curve(t), 2300)
    last = seen[-1]
    assert last.phase is Phase.SETTLED
    assert last.discharge_k is None
    assert last.settled_k is not None and last.settled_k.value == pytest.approx(OUTDOOR + 11)
    assert last.judgement is RiseJudgement.USUAL


def test_after_a_hole_the_readings_decide_whether_it_is_still_settled() -> None:
    curve = rise(60, 11, 60)
    back = follow(lambda t: None if 2200 < t < 2300 else curve(t), 2800)
    assert back[-1].phase is Phase.SETTLED
    away = follow(lambda t: None if 2200 < t < 2300 else curve(t) - (3 if t > 2250 else 0), 2400)
    assert away[-1].phase is Phase.RISING


def test_no_readings_at_all() -> None:
    watch = RecoveryWatch()
    watch.discharge(0, None)
    watch.discharge(1, math.nan)
    empty = watch.renew(ns(1))
    assert empty.phase is Phase.NO_READINGS
    assert empty.discharge_k is empty.fit is empty.settled_k is empty.rise_k is None


# --- promises -------------------------------------------------------------------------------


def test_the_same_calls_give_the_same_answers() -> None:
    def run() -> list[Recovery]:
        return follow(noisy(rise(60), 0.2, 0.1), 400, period=0.5)

    assert run() == run()


def test_a_session_of_an_hour_stays_small() -> None:
    curve = noisy(rise(60), 0.1)
    watch = RecoveryWatch()
    follow(curve, 1000, watch=watch, renewed_s=10)
    size = len(pickle.dumps(watch))
    follow(curve, 3600, watch=watch, begin=1001, renewed_s=10)
    assert len(pickle.dumps(watch)) < 1.5 * size


@given(
    st.lists(
        st.tuples(
            st.floats(0, 30),
            st.none() | st.floats(270, 330) | st.floats(),
            st.none() | st.floats(270, 330),
            st.booleans(),
        ),
        max_size=60,
    )
)
@settings(max_examples=100, deadline=None)
def test_any_readings_give_a_state_with_finite_numbers(
    steps: list[tuple[float, float | None, float | None, bool]],
) -> None:
    watch, t = RecoveryWatch(), 0.0
    for wait, discharge, outdoor, power in steps:
        t += wait
        watch.discharge(ns(t), discharge)
        watch.outdoor(ns(t), outdoor)
        if power:
            watch.power_restored(ns(t))
        state = watch.renew(ns(t))
        for e in (state.settled_k, state.time_left_s, state.rise_k):
            if isinstance(e, Estimate):
                assert all(map(math.isfinite, (e.value, e.low, e.high)))
                assert e.low <= e.value <= e.high


def test_ten_seconds_without_a_reading_are_no_hole_yet() -> None:
    """Our own choice: common practice, no source."""
    watch = RecoveryWatch()
    watch.discharge(0, OUTDOOR)
    assert watch.renew(ns(10)).phase is Phase.WAITING
    assert watch.renew(ns(10) + 1).phase is Phase.NO_READINGS
