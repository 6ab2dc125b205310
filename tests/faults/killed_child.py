"""Imports everything once, then forks a child for each line on stdin, to be killed from outside.

A line is what the child does, its data folder, and a file in which it tells how far it is.
"""

import os
import shutil
import sys
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import sqlalchemy as sa
from alembic.operations import Operations

from benchmeter.files.folders import Folders
from benchmeter.links.instruments.setup import BenchSetup
from benchmeter.readings.inputs import Chunk
from benchmeter.readings.status import Status
from benchmeter.record import ledger, sealing
from benchmeter.record.migrations.runner import migrate
from benchmeter.record.recorder import Recorder
from benchmeter.record.store import Store
from benchmeter.record.tables import SCHEMA_VERSION
from tests.fakes.readings import reading_in_si

OLD = Path(__file__).parent.parent / "data" / "record-version-1.sqlite"
SEALED = 1_500

Tell = Callable[[str], object]


def taken(number: int) -> Chunk:
    return Chunk(time_ns=number, link="probe", data=b"%d" % (number * number))


def value(number: int) -> float:
    return 300 + number / 10


def take(recorder: Recorder, number: int) -> None:
    reading = reading_in_si("discharge", number, value(number), Status.OK, 0.1, "")
    recorder.take(taken(number), (reading,))


def begin(folder: Path) -> tuple[Store, Recorder]:
    store = Store.open(Folders(folder), write=True)
    setup = BenchSetup(origin="simulated", links=(), channels=())
    started = datetime.now(UTC)
    return store, store.begin(setup, name="to be cut off", started=started, zone="UTC")


def record(folder: Path, tell: Tell) -> None:
    """Takes some 300 inputs a second; every 97th time it waits for the disk."""
    _, recorder = begin(folder)
    tell("begun")
    number = 0
    while True:
        take(recorder, number)
        number += 1
        tell(f"taken {number} {time.monotonic()}")
        if number % 97 == 0:
            recorder.flush()
            tell(f"kept {number}")
        time.sleep(0.003)


def seal(folder: Path, tell: Tell) -> None:
    """Ends a session of 1500 samples: forty blocks and the seal."""
    _, recorder = begin(folder)
    for number in range(SEALED):
        take(recorder, number)
    recorder.flush()
    tell(f"kept {SEALED}")
    tell("begun")
    recorder.close()
    tell("ended")
    time.sleep(60)


def alter(op: Operations) -> None:
    """A made-up step: the parent of all tables is copied, dropped and renamed."""
    with op.batch_alter_table("session", recreate="always") as batch:
        batch.add_column(sa.Column("customer", sa.Text, nullable=False, server_default=""))


def bring_up_to_date(folder: Path, tell: Tell) -> None:
    """A migration of a filled record."""
    folders = Folders(folder)
    folders.make()
    if not folders.database.exists():
        shutil.copy(OLD, folders.database)
        migrate(folders.database, folders.data / "backups", 1)
    tell("begun")
    migrate_to_next(folders)
    tell("ended")
    time.sleep(60)


def migrate_to_next(folders: Folders) -> Path:
    return migrate(
        folders.database,
        folders.data / "backups",
        SCHEMA_VERSION,
        steps={SCHEMA_VERSION + 1: alter},
        target=SCHEMA_VERSION + 1,
    )


def main() -> None:
    # So that a kill often falls into sealing and merging.
    sealing.BLOCK_SAMPLES = ledger.BLOCK_SAMPLES = 40
    ledger._PACKS_TO_MERGE = 3
    doings = {"record": record, "seal": seal, "migrate": bring_up_to_date}
    for line in sys.stdin:
        doing, folder, report = line.rstrip("\n").split("\t")
        child = os.fork()
        if child == 0:
            try:
                with Path(report).open("w", buffering=1) as told:
                    doings[doing](Path(folder), lambda text, told=told: told.write(text + "\n"))
            finally:
                os._exit(1)
        sys.stdout.write(f"{child}\n")
        sys.stdout.flush()
        while os.waitpid(-1, os.WNOHANG)[0]:  # reap whoever has been killed by now
            pass


if __name__ == "__main__":
    main()
