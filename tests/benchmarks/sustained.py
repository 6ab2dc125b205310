"""20,000 readings a second for a minute: nothing lost, nothing piling up.

Floor of what must be kept: the readings that went in; of the flush at the end: half a second of
readings, since the recorder commits that often.
"""

import time
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

import psutil

from benchmeter.files.folders import Folders
from benchmeter.record.store import Store
from tests.benchmarks.measure import Row
from tests.benchmarks.scenes import bench_of, second_of

__all__ = ["run"]

_CHANNELS, _RATE = 8, 2500
_SLICES = 20  # of a second, each given at its time


def run(quick: bool) -> list[Row]:
    seconds = 2 if quick else 60
    prepared = list(second_of(0, _CHANNELS, _RATE))
    share = len(prepared) // _SLICES
    slowest, held = 0.0, []
    process = psutil.Process()
    with TemporaryDirectory() as folder:
        folders = Folders(Path(folder) / "data")
        with Store.open(folders, write=True) as store:
            recorder = store.begin(
                bench_of(_CHANNELS), name="", started=datetime.now(UTC), zone="Etc/UTC"
            )
            begun = time.monotonic()
            for slice_ in range(seconds * _SLICES):
                late = begun + slice_ / _SLICES - time.monotonic()
                if late > 0:
                    time.sleep(late)
                first = slice_ % _SLICES * share
                for chunk, readings in prepared[first : first + share]:
                    before = time.perf_counter()
                    recorder.take(chunk, readings)
                    slowest = max(slowest, time.perf_counter() - before)
                if slice_ % _SLICES == 0:
                    held.append(process.memory_info().rss / 2**20)
            took = time.monotonic() - begun
            before = time.monotonic()
            recorder.flush()
            left = time.monotonic() - before
            recorder.close()
            stored = store.session(recorder.session_id).reading_count
        given = seconds * _CHANNELS * _RATE
    middle = len(held) // 2
    return [
        Row("20,000 readings/s: readings lost", float(given - stored), "", 0),
        Row("20,000 readings/s: time taken", took, "s", 1.02, float(seconds)),
        Row("20,000 readings/s: flush at the end", left, "s", 1.0),
        Row("20,000 readings/s: memory, end to middle", held[-1], "MB", 1.05, held[middle]),
        Row("20,000 readings/s: longest wait of the taker", slowest * 1e3, "ms", 100.0),
    ]
