"""A second of eight channels at 10 Hz, durably on disk.

Floor: 1280 bytes (80 pairs of float64) appended to a file, and fdatasync.
"""

import os
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from benchmeter.files.folders import Folders
from benchmeter.record.store import Store
from tests.benchmarks.measure import Row, in_turn, p50, p99
from tests.benchmarks.scenes import bench_of, second_of

__all__ = ["run"]


def run(quick: bool) -> list[Row]:
    rounds = 10 if quick else 600
    with TemporaryDirectory() as folder:
        plain = os.open(Path(folder) / "plain", os.O_WRONLY | os.O_CREAT | os.O_APPEND)
        with Store.open(Folders(Path(folder) / "data"), write=True) as store:
            recorder = store.begin(bench_of(8), name="", started=datetime.now(UTC), zone="Etc/UTC")
            seconds = iter(range(rounds + 100))

            def floor() -> None:
                os.write(plain, bytes(1280))
                os.fdatasync(plain)

            def ours() -> None:
                recorder.flush()

            def take() -> None:
                for chunk, readings in second_of(next(seconds), 8, 10):
                    recorder.take(chunk, readings)

            times = in_turn(rounds, floor, take, ours)
            recorder.close()
        os.close(plain)
    return [
        Row("commit of a second of 8 x 10 Hz, p50", p50(times[2]), "ms", 3.5, p50(times[0])),
        Row("commit of a second of 8 x 10 Hz, p99", p99(times[2]), "ms", 10.0, p99(times[0])),
    ]
