"""A recovery that was logged, followed again: what could be said each minute, what happened."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import pairwise
from statistics import median

from benchmeter.cooling.recovery import Estimate, Phase, Recovery
from benchmeter.cooling.watch import RecoveryWatch

__all__ = ["AirReading", "Change", "Happened", "Mode", "follow"]

_NS = 1_000_000_000
_STEP_S = 10
_STATED_S = 60
_MIRROR_K = 600.0  # what falls by so much rises by so much below it


class Mode(StrEnum):
    """What the machine does, and so which way the air that leaves the outdoor unit goes."""

    COOLING = "cooling"
    REFRIGERATION = "refrigeration"
    DEFROST = "defrost"
    HEATING = "heating"  # it leaves colder than it came


class Change(StrEnum):
    START = "start"
    STOP = "stop"
    SETTLED = "settled"
    UNSETTLED = "unsettled"


@dataclass(frozen=True, slots=True)
class AirReading:
    """Kelvin, None for none; `running`: whether compressor and fan draw current, if known."""

    time_s: float
    discharge_k: float | None
    outdoor_k: float | None
    running: bool | None = None


@dataclass(frozen=True, slots=True)
class Happened:
    change: Change
    time_s: float


def follow(
    readings: Sequence[AirReading], mode: Mode
) -> tuple[list[tuple[float, Recovery]], list[Happened]]:
    """The state at each full minute since the first reading, and the changes.

    Args:
        readings: in the order of time, one at least.
    """
    mirrored = mode is Mode.HEATING
    begin_s = readings[0].time_s
    steps = [b.time_s - a.time_s for a, b in pairwise(readings)]
    watch = RecoveryWatch(median(steps) if steps else 1.0)
    stated: list[tuple[float, Recovery]] = []
    happened: list[Happened] = []
    last: Recovery | None = None
    for reading, due in _paced(readings, begin_s):
        if reading is not None:
            ns = round((reading.time_s - begin_s) * _NS)
            if reading.running is not None:
                watch.current(reading.running)
            watch.discharge(ns, _seen(reading.discharge_k, mirrored))
            if reading.outdoor_k is not None:
                watch.outdoor(ns, _seen(reading.outdoor_k, mirrored))
            continue
        new = watch.renew(due * _NS)
        happened += (Happened(c, begin_s + at) for c, at in _changes(last, new))
        if due % _STATED_S == 0:
            stated.append((begin_s + due, _turned(new) if mirrored else new))
        last = new
    return stated, happened


def _paced(
    readings: Sequence[AirReading], begin_s: float
) -> Iterable[tuple[AirReading | None, int]]:
    """The readings, and between them each time at which the state is due."""
    due = _STEP_S
    for reading in readings:
        while reading.time_s - begin_s > due:
            yield None, due
            due += _STEP_S
        yield reading, due
    while due <= math.floor(readings[-1].time_s - begin_s):
        yield None, due
        due += _STEP_S


def _changes(old: Recovery | None, new: Recovery) -> list[tuple[Change, float]]:
    now_s, found = new.time_ns / _NS, []
    was = None if old is None else old.phase
    started = None if old is None else old.start_ns
    if was is Phase.SETTLED and new.phase is not Phase.SETTLED:
        found.append((Change.UNSETTLED, now_s))
    if new.start_ns is not None and new.start_ns != started:
        found.append((Change.START, new.start_ns / _NS))
    if new.stops > (0 if old is None else old.stops):
        found.append((Change.STOP, now_s))
    if new.phase is Phase.SETTLED and was is not Phase.SETTLED:
        found.append((Change.SETTLED, now_s))
    return found


def _seen(kelvin: float | None, mirrored: bool) -> float | None:
    return _MIRROR_K - kelvin if mirrored and kelvin is not None else kelvin


def _turned(recovery: Recovery) -> Recovery:
    stated = recovery.settled_k
    if stated is None:
        return recovery
    value, low, high = (_MIRROR_K - k for k in (stated.value, stated.high, stated.low))
    return replace(recovery, settled_k=Estimate(value, low, high))
