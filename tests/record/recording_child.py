"""Imports everything once, then forks a recording child for each line on stdin.

A line is a data folder, a pace in inputs a second, and a file. The child reports into the file:
"taken N T" after each input, "kept N" after each flush. The child is killed from outside.
"""

import os
import sys
import time
from datetime import UTC, datetime
from pathlib import Path

from benchmeter.files.folders import Folders
from benchmeter.links.instruments.setup import BenchSetup
from benchmeter.readings.inputs import Chunk
from benchmeter.readings.status import Status
from benchmeter.record import ledger, sealing
from benchmeter.record.store import Store
from tests.fakes.readings import reading_in_si

# So that a kill often falls into sealing and merging.
sealing.BLOCK_SAMPLES = ledger.BLOCK_SAMPLES = 40
ledger._PACKS_TO_MERGE = 2


def record(folder: Path, pace: float, report: Path) -> None:
    with report.open("w", buffering=1) as told:
        store = Store.open(Folders(folder), write=True)
        recorder = store.begin(
            BenchSetup(origin="simulated", links=(), channels=()),
            name="to be cut off",
            started=datetime.now(UTC),
            zone="UTC",
        )
        number = 0
        while True:
            taken = Chunk(time_ns=number, link="probe", data=b"%d" % (number * number))
            value = 300 + number / 10
            recorder.take(taken, (reading_in_si("discharge", number, value, Status.OK, 0.1, ""),))
            number += 1
            told.write(f"taken {number} {time.monotonic()}\n")
            if number % 97 == 0:
                recorder.flush()
                told.write(f"kept {number}\n")
            time.sleep(1 / pace)


def main() -> None:
    for line in sys.stdin:
        folder, pace, report = line.rstrip("\n").split("\t")
        child = os.fork()
        if child == 0:
            try:
                record(Path(folder), float(pace), Path(report))
            finally:
                os._exit(1)
        sys.stdout.write(f"{child}\n")
        sys.stdout.flush()
        # Reap whoever has been killed by now.
        while os.waitpid(-1, os.WNOHANG)[0]:
            pass


main()
