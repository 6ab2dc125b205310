"""Days of a session at full speed: memory, threads and file handles stay as they are."""

import gc
from collections.abc import Iterator
from datetime import UTC, datetime
from itertools import takewhile
from pathlib import Path
from random import Random

import psutil

from benchmeter.files.folders import Folders
from benchmeter.links.ports.source import Source
from benchmeter.readings.inputs import Input
from benchmeter.record.store import Store
from benchmeter.session.outcome import Outcome
from benchmeter.simulator.scenario import load_scenario
from benchmeter.simulator.virtual_bench import open_scenario
from benchmeter.tasks.running import RunningSession
from tests.faults.tally import Tally

__all__ = ["simulated_hours"]

_HOUR_NS = 3_600_000_000_000
_GROWN_AT_MOST = 1.25
_AND_BYTES = 40_000_000


class _Limited:
    """A source that ends at a given time."""

    def __init__(self, source: Source, end_ns: int) -> None:
        self._source, self._end_ns = source, end_ns

    def inputs(self) -> Iterator[Input]:
        return takewhile(lambda item: item.time_ns < self._end_ns, self._source.inputs())

    def close(self) -> None:
        self._source.close()


def simulated_hours(folder: Path, rounds: int, chance: Random) -> Tally:
    """So many hours of the simulated bench, the unit switched on, recorded at full speed."""
    folders, process, tally = Folders(folder / "data"), psutil.Process(), Tally("", rounds=rounds)
    setup, hands = open_scenario(load_scenario("handheld-and-modbus", folders), None, story=False)
    hands.do("power: on")
    seen: dict[int, tuple[int, int, int]] = {}
    counted = [0]

    def watch(outcome: Outcome) -> None:
        counted[0] += len(outcome.readings)
        hour = outcome.time_ns // _HOUR_NS
        if hour not in seen:
            gc.collect()
            info = process.memory_info().rss, process.num_threads(), process.num_fds()
            seen[hour] = info

    with Store.open(folders, write=True) as store:
        recorder = store.begin(setup, name="long", started=datetime.now(UTC), zone="UTC")
        session = RunningSession(
            setup,
            _Limited(hands, rounds * _HOUR_NS),
            watch,
            session_id=recorder.session_id,
            recorder=recorder,
        )
        session.start()
        session.wait()
        session.stop()
        (summary,) = store.sessions()
        stored = sum(len(store.samples(summary.id, c)) for c in store.channels(summary.id))
        tally.lost += abs(counted[0] - stored)
        tally.wrong += store.check(summary.id) != ()
    hours = sorted(seen)
    settled = seen[hours[min(len(hours) // 8 + 1, len(hours) - 1)]]
    last = seen[hours[-1]]
    flat = last[0] < settled[0] * _GROWN_AT_MOST + _AND_BYTES and last[1:] == settled[1:]
    tally.recovered += rounds * (flat and session.failure is None)
    size = folders.database.stat().st_size
    tally.notes.append(
        f"{len(hours)} h, {counted[0]} readings, {settled[0] >> 20} -> {last[0] >> 20} MB, "
        f"{settled[1]} -> {last[1]} threads, {settled[2]} -> {last[2]} handles, "
        f"record {size >> 20} MB"
    )
    return tally
