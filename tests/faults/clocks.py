"""Clocks that are set, summer time that begins and ends, computers that sleep."""

import json
import os
import signal
import subprocess
import sys
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random
from zoneinfo import ZoneInfo

from benchmeter.files.folders import Folders
from benchmeter.links.ports.wall_clock import utc_us
from benchmeter.readings.events import EventKind
from benchmeter.readings.inputs import ClockAnchor
from benchmeter.record.store import Store
from tests.faults.bench import bench, message, shown, wait_for
from tests.faults.tally import NotHere, Tally
from tests.links.ports.ptys import PtyInstrument

__all__ = ["clock_is_set", "slept_an_hour", "stopped_process", "summer_time"]

_HOUR_US = 3_600_000_000


def clock_is_set(folder: Path, rounds: int, chance: Random) -> Tally:
    """The wall clock jumps forward or back under a recording."""
    steps = (3_000_000, -3_000_000, 30 * 24 * _HOUR_US, -_HOUR_US)
    tally = Tally("")
    for number in range(rounds):
        step_us = steps[number % len(steps)] + chance.randrange(1_000_000)
        _stepped(folder / str(number), step_us, tally)
    return tally


def slept_an_hour(folder: Path, rounds: int, chance: Random) -> Tally:
    """The computer sleeps: the wall clock goes on, the monotonic one does not."""
    tally = Tally("")
    for number in range(rounds):
        _stepped(folder / str(number), _HOUR_US + chance.randrange(1_000_000), tally)
    return tally


def summer_time(folder: Path, rounds: int, chance: Random) -> Tally:
    """Summer time begins and ends in the middle of a session: nothing happens to the record.

    Central European summer time of 2026 begins on 29 March and ends on 25 October, each at
    01:00 UTC (Directive 2000/84/EC; IANA zone data).
    """
    tally = Tally("")
    for number in range(rounds):
        change = datetime(2026, *((3, 29), (10, 25))[number % 2], 1, tzinfo=UTC)
        began = change - timedelta(seconds=1)
        offset_us = int(began.timestamp() * 1e6) - utc_us()
        tally.rounds += 1
        line = _line(folder / str(number))
        with bench(
            folder / str(number), "lcd14", [line],
            utc_us=lambda o=offset_us: utc_us() + o, started=began, zone="Europe/Berlin",
        ) as b:  # fmt: skip
            b.wait_up()
            for n in range(12):
                line.send(message("lcd14", n))
                time.sleep(0.12)
            wait_for(lambda b=b: len(b.readings()) == 12)
            b.judge(tally, range(12), range(12))
            tally.wrong += len(b.events(EventKind.CLOCK_STEP)) + len(b.events(EventKind.GAP))
            b.session.stop()
            (summary,) = b.store.sessions()
            tally.wrong += (summary.started, summary.zone) != (began, "Europe/Berlin")
            local = summary.started.astimezone(ZoneInfo(summary.zone))
            later = (summary.started + timedelta(seconds=2)).astimezone(ZoneInfo(summary.zone))
            tally.wrong += abs(later.utcoffset() - local.utcoffset()) != timedelta(hours=1)
            tally.recovered += b.stored_as_shown()
        line.unplug()
    return tally


def stopped_process(folder: Path, rounds: int, chance: Random) -> Tally:
    """A recording process is stopped for some seconds (SIGSTOP) while the meter goes on."""
    if not hasattr(signal, "SIGSTOP"):
        raise NotHere("needs SIGSTOP")
    tally = Tally("")
    for number in range(rounds):
        where = folder / str(number)
        line = _line(where)
        tally.rounds += 1
        link = f"serial:{line.path}?profile=text-two-probes&channel=one,two"
        command = [sys.executable, "-W", "ignore", "-m", "benchmeter", "record", "--json"]
        with subprocess.Popen(
            [*command, "--from", link, "--data", str(where / "data")],
            stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        ) as program:  # fmt: skip
            assert program.stderr is not None
            program.stderr.readline()  # the session's id
            program.stderr.readline()  # the link is up
            time.sleep(0.5)
            for n in range(5):
                line.send(message("text", n))
            time.sleep(0.4)
            os.kill(program.pid, signal.SIGSTOP)
            for n in range(5, 15):
                line.send(message("text", n))
                time.sleep(0.35)
            os.kill(program.pid, signal.SIGCONT)
            for n in range(15, 20):
                line.send(message("text", n))
                time.sleep(0.05)
            time.sleep(0.5)
            program.send_signal(signal.SIGINT)
            told, _ = program.communicate(timeout=20)
        line.unplug()
        counts = json.loads(told)["readings"]
        with Store.open(Folders(where / "data"), write=False) as store:
            (summary,) = store.sessions()
            values = store.samples(summary.id, "one").value.tolist()
            gaps = [e for e in store.events(summary.id) if e.kind is EventKind.GAP]
            anchors = [a for a in store.inputs(summary.id) if isinstance(a, ClockAnchor)]
            sound = store.check(summary.id) == ()
        tally.lost += len({shown("text", n) for n in range(20)} - set(values))
        tally.wrong += values != [shown("text", n) for n in range(20)][-len(values) :]
        tally.wrong += counts["one"] != len(values)
        tally.wrong += len(anchors) > 8  # no burst of what was due meanwhile
        tally.recovered += sound and len(gaps) == 2  # one on each channel
    return tally


def _stepped(where: Path, step_us: int, tally: Tally) -> None:
    offset_us = [0]
    line = _line(where)
    with bench(where, "lcd14", [line], utc_us=lambda: utc_us() + offset_us[0]) as b:
        b.wait_up()
        for n in range(6):
            line.send(message("lcd14", n))
            time.sleep(0.03)
        wait_for(lambda: len(b.readings()) == 6)
        offset_us[0] = step_us
        for n in range(6, 12):
            line.send(message("lcd14", n))
            time.sleep(0.03)
        wait_for(lambda: len(b.readings()) == 12)
        b.judge(tally, range(12), range(12))
        times = [o.time_ns for o in b.outcomes]
        tally.wrong += times != sorted(times)
        stepped = b.events(EventKind.CLOCK_STEP)
        right = len(stepped) == 1 and abs((stepped[0].number or 0) - step_us / 1e6) < 0.1
        gaps = len(b.events(EventKind.GAP))
        b.session.stop()
        tally.recovered += right and gaps == 1 and b.stored_as_shown()
    tally.rounds += 1
    line.unplug()


def _line(where: Path) -> PtyInstrument:
    where.mkdir(parents=True, exist_ok=True)
    return PtyInstrument(where / "meter")
