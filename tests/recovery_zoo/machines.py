"""Recoveries that were not made by the law that judges them; imports nothing of the program.

Shapes, sizes and weathers are our own choice (common practice, no source). Each machine runs on the
grid of one second. `discharge` and `outdoor` are what probes show; `truth` is the discharge
temperature that this machine would reach without gusts, hunting, noise and stops.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.signal import lfilter

__all__ = ["SHAPES", "WEATHERS", "Machine", "build"]

Series = NDArray[np.float64]
_Law = Callable[[Series, np.random.Generator], tuple[Series, Series]]
"""Seconds since the start -> rise over outdoor air as it is, and as it will have settled."""

BEFORE_S = 120
RUN_S = 75 * 60
AHEAD_S = 60 * 60


@dataclass(frozen=True)
class Machine:
    """One recovery, °C, one value a second from 0; it starts at `start_s`."""

    shape: str
    weather: str
    start_s: int
    discharge: Series
    outdoor: Series
    truth: Series
    settled: Series
    running: NDArray[np.bool_]

    def csv(self, seconds: int = BEFORE_S + RUN_S) -> str:
        rows = (f"{i},{self.discharge[i]:.2f},{self.outdoor[i]:.2f}" for i in range(seconds))
        return "seconds,discharge,outdoor\n" + "\n".join(rows) + "\n"


def _lag(values: Series, tau_s: float) -> Series:
    a = np.exp(-1 / tau_s)
    out: Series = lfilter([1 - a], [1, -a], values, zi=[values[0] * a])[0]
    return out


def _grown(t: Series, tau_min: float) -> Series:
    out: Series = 1 - np.exp(-np.maximum(t, 0) / (60 * tau_min))
    return out


def _first_order(t: Series, r: np.random.Generator) -> tuple[Series, Series]:
    rise = r.uniform(7, 18) * _grown(t, r.uniform(2, 12))
    return rise, rise


def _series(t: Series, r: np.random.Generator) -> tuple[Series, Series]:
    on = r.uniform(7, 18) * (t >= 0)
    rise = _lag(_lag(on, 60 * r.uniform(1, 4)), 60 * r.uniform(3, 10))
    return rise, rise


def _fast_and_slow(t: Series, r: np.random.Generator) -> tuple[Series, Series]:
    fast = r.uniform(6, 14) * _grown(t, r.uniform(1, 4))
    rise = fast + r.uniform(1.5, 5) * _grown(t, r.uniform(15, 40))
    return rise, rise


def _load_falls(t: Series, r: np.random.Generator) -> tuple[Series, Series]:
    up = _grown(t, r.uniform(2, 6))
    rise = up * (r.uniform(10, 18) - r.uniform(2, 6) * _grown(t, r.uniform(15, 50)))
    return rise, rise


def _creep(t: Series, r: np.random.Generator) -> tuple[Series, Series]:
    run = np.clip(t / 3600, 0, None)
    rise = r.uniform(8, 14) * _grown(t, r.uniform(2, 5)) + r.uniform(-3, 3) * np.minimum(run, 1.2)
    return rise, rise


def _two_stages(t: Series, r: np.random.Generator) -> tuple[Series, Series]:
    second = t - 60 * r.uniform(4, 14)
    tau, size = r.uniform(2, 6), r.uniform(9, 16)
    part = r.uniform(0.55, 0.8)
    rise = size * (part * _grown(t, tau) + (1 - part) * _grown(second, tau))
    return rise, rise


def _hunting(t: Series, r: np.random.Generator) -> tuple[Series, Series]:
    mean = r.uniform(8, 16) * _grown(t, r.uniform(2, 8))
    wave = np.sin(2 * np.pi * t / (60 * r.uniform(1.5, 6)))
    return mean + r.uniform(0.3, 1.5) * wave * (t > 0), mean


def _switched(t: Series, on: NDArray[np.bool_], r: np.random.Generator) -> tuple[Series, Series]:
    size, tau = r.uniform(8, 16), 60 * r.uniform(2, 5)
    steady = size * _grown(t, tau / 60)
    return _lag(size * on, tau), steady


def _cycling(t: Series, r: np.random.Generator) -> tuple[Series, Series]:
    run, rest = 60 * r.uniform(8, 25), 60 * r.uniform(5, 12)
    return _switched(t, (t >= 0) & (np.mod(t, run + rest) < run), r)


def _trips(t: Series, r: np.random.Generator) -> tuple[Series, Series]:
    run, rest = 60 * r.uniform(3, 9), 60 * r.uniform(6, 15)
    return _switched(t, (t >= 0) & (np.mod(t, run + rest) < run), r)


def _defrost(t: Series, r: np.random.Generator) -> tuple[Series, Series]:
    run, rest = 60 * r.uniform(30, 50), 60 * r.uniform(3, 8)
    return _switched(t, (t >= 0) & (np.mod(t, run + rest) < run), r)


def _sun(t: Series, r: np.random.Generator) -> tuple[Series, Series]:
    rise, _ = _first_order(t, r)
    cloud = r.uniform(0, 1.0) * (1 + np.sin(2 * np.pi * t / r.uniform(900, 2400) + r.uniform(0, 6)))
    return rise + cloud, rise


def _wind(t: Series, r: np.random.Generator) -> tuple[Series, Series]:
    mean, _ = _first_order(t, r)
    gust = _gusts(t.size, r, 60 * r.uniform(0.5, 3))
    return mean * (1 + r.uniform(0.03, 0.08) * gust), mean


def _never(t: Series, r: np.random.Generator) -> tuple[Series, Series]:
    rise = r.choice([0.0, 3.0]) * _grown(t, r.uniform(2, 6))
    return rise, rise


def _gusts(size: int, r: np.random.Generator, tau_s: float) -> Series:
    a = np.exp(-1 / tau_s)
    out: Series = lfilter([np.sqrt(1 - a * a)], [1, -a], r.normal(size=size + 600))[600:]
    return out


SHAPES: dict[str, _Law] = {
    "first order": _first_order,
    "two in series": _series,
    "fast and slow": _fast_and_slow,
    "load falls": _load_falls,
    "slow creep": _creep,
    "two stages": _two_stages,
    "hunting valve": _hunting,
    "thermostat": _cycling,
    "trips": _trips,
    "defrost": _defrost,
    "sun": _sun,
    "wind": _wind,
    "never": _never,
}

WEATHERS = ("still", "drift", "gusts", "drift and gusts")


def build(shape: str, weather: str, seed: int) -> Machine:
    """The machine of this seed; it runs on for an hour after the readings end, for the truth."""
    r = np.random.default_rng([seed, list(SHAPES).index(shape), WEATHERS.index(weather)])
    t = np.arange(BEFORE_S + RUN_S + AHEAD_S, dtype=float) - BEFORE_S
    rise, settled = SHAPES[shape](t, r)
    air = np.full(t.size, r.uniform(15, 38))
    if "drift" in weather:
        if r.random() < 0.5:
            air = air + r.uniform(-2.5, 2.5) * t / 3600
        else:
            air = air + r.uniform(0.3, 1.2) * np.sin(
                2 * np.pi * t / 3600 / r.uniform(1.2, 4) + r.uniform(0, 6)
            )
    slow = air
    if "gusts" in weather:
        air = air + r.uniform(0.2, 0.8) * _gusts(t.size, r, 60 * r.uniform(0.5, 2))
    digit, noise, lag = r.choice([0.01, 0.1, 0.1]), r.uniform(0.02, 0.12), r.uniform(5, 45)

    def shown(true: Series) -> Series:
        read = _lag(true, lag) + r.normal(0, noise, t.size)
        out: Series = np.round(read / digit) * digit
        return out

    running = rise >= 0.85 * settled
    return Machine(
        shape, weather, BEFORE_S, shown(air + rise), shown(air), slow + settled, settled, running
    )
