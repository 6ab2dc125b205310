"""The data folder as others leave it: in use, newer, truncated, altered, foreign, locked."""

import hashlib
import os
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path
from random import Random

from benchmeter.errors import (
    StoreDamaged,
    StoreError,
    StoreForeign,
    StoreLocked,
    StoreNewer,
)
from benchmeter.files.folders import Folders
from benchmeter.readings.inputs import Input
from benchmeter.record.store import Store
from benchmeter.record.tables import SCHEMA_VERSION
from tests.fakes.refusals import advised, said
from tests.faults.killed_child import begin, take, taken, value
from tests.faults.tally import Tally

__all__ = [
    "foreign_file",
    "held_by_a_program",
    "newer_record",
    "run_statement",
    "second_instance",
    "spoiled_record",
]

_REPOSITORY = Path(__file__).parents[2]
_INPUTS = 900
_HOLDER = """
import sys, time
from pathlib import Path
from tests.faults.killed_child import begin, take
store, recorder = begin(Path(sys.argv[1]))
for number in range(100):
    take(recorder, number)
recorder.flush()
print("holds", flush=True)
time.sleep(60)
"""


def second_instance(folder: Path, rounds: int, chance: Random) -> Tally:
    """Another benchmeter records there: told, nothing broken; killed, its place is free."""
    tally = Tally("")
    for number in range(rounds):
        tally.rounds += 1
        folders = Folders(folder / str(number))
        with subprocess.Popen(
            [sys.executable, "-c", _HOLDER, str(folders.data)],
            stdout=subprocess.PIPE, cwd=_REPOSITORY,
        ) as first:  # fmt: skip
            assert first.stdout is not None
            first.stdout.readline()
            try:
                Store.open(folders, write=True).close()
                tally.wrong += 1
            except StoreLocked as error:
                tally.wrong += "Another benchmeter is open" not in said(error)
            with Store.open(folders, write=False) as store:
                seen = [s.input_count for s in store.sessions()]
                live = not store.cut_off()
            os.kill(first.pid, signal.SIGKILL)
        with Store.open(folders, write=True) as store:
            (left,) = store.cut_off()
            inputs = list(store.inputs(left.id))
            tally.lost += max(0, 100 - len(inputs))
            tally.recovered += seen == [100] and live and store.check(left.id) == ()
    return tally


def newer_record(folder: Path, rounds: int, chance: Random) -> Tally:
    """Made by a newer benchmeter: viewed, not written, not a byte changed."""
    original = _recorded(folder / "original")
    tally = Tally("")
    for number in range(rounds):
        tally.rounds += 1
        folders = _copy(original, folder / str(number))
        run_statement(
            folders.database,
            f"PRAGMA user_version = {chance.randint(SCHEMA_VERSION + 1, 2**31 - 1)}",
        )
        before = _digest(folders.database)
        try:
            Store.open(folders, write=True).close()
            tally.wrong += 1
        except StoreNewer as error:
            tally.wrong += "newer benchmeter" not in said(error)
        with Store.open(folders, write=False) as store:
            (session,) = store.sessions()
            tally.lost += _INPUTS - len(list(store.inputs(session.id)))
        tally.recovered += _digest(folders.database) == before
    return tally


def spoiled_record(folder: Path, rounds: int, chance: Random) -> Tally:
    """Truncated anywhere, or bytes changed: refused or found, never other data in silence.

    A record that is cut off after its whole content is allowed to pass.
    """
    original = _recorded(folder / "original")
    size = original.database.stat().st_size
    tally, refused, found, untouched = Tally(""), 0, 0, 0
    for number in range(rounds):
        tally.rounds += 1
        folders = _copy(original, folder / str(number))
        if number % 2:
            os.truncate(folders.database, chance.randrange(1, size))
        else:
            with folders.database.open("r+b") as file:
                file.seek(chance.randrange(size))
                file.write(chance.randbytes(chance.choice((1, 8, 200))))
        before = _digest(folders.database)
        try:
            inputs, values, findings = _read(folders, write=bool(number % 4 < 2))
        except StoreError as error:
            refused += 1
            tally.recovered += bool(advised(error))
            if number % 4 >= 2:
                tally.wrong += _digest(folders.database) != before  # looked at, left as it was
            continue
        except Exception as error:  # noqa: BLE001 - a traceback in place of a sentence
            tally.wrong += 1
            tally.notes.append(f"round {number}: {type(error).__name__}: {error}")
            continue
        if findings:
            found += 1
        elif inputs == [taken(n) for n in range(_INPUTS)] and values == [
            value(n) for n in range(_INPUTS)
        ]:
            untouched += 1
        else:
            tally.wrong += 1
        tally.recovered += 1
        shutil.rmtree(folders.data)
    tally.notes.append(f"{refused} refused, {found} found by the check, {untouched} of no effect")
    return tally


def foreign_file(folder: Path, rounds: int, chance: Random) -> Tally:
    """Something else lies under the record's name: told, and left as it is."""
    tally = Tally("")
    for number in range(rounds):
        tally.rounds += 1
        folders = Folders(folder / str(number))
        folders.make()
        match number % 4:
            case 0:
                folders.database.write_bytes(b"Dear customer, ...\n" * chance.randint(1, 500))
            case 1:
                folders.database.write_bytes(chance.randbytes(chance.randint(100, 20_000)))
            case 2:
                run_statement(folders.database, "CREATE TABLE recipe (name TEXT)")
            case _:
                folders.database.write_bytes(b"SQLite format 3\0" + chance.randbytes(9_000))
        before = _digest(folders.database)
        for write in (False, True):
            try:
                Store.open(folders, write=write).close()
                tally.wrong += 1
            except (StoreForeign, StoreDamaged) as error:
                tally.wrong += "left as it" not in said(error)
        tally.recovered += _digest(folders.database) == before
    return tally


def held_by_a_program(folder: Path, rounds: int, chance: Random) -> Tally:
    """Another program locks the record while it is being written."""
    tally = Tally("")
    for number in range(rounds):
        tally.rounds += 1
        store, recorder = begin(folder / str(number))
        other = sqlite3.connect(folder / str(number) / "benchmeter.sqlite", isolation_level=None)
        other.execute(chance.choice(("BEGIN IMMEDIATE", "BEGIN EXCLUSIVE")))
        for n in range(300):
            take(recorder, n)
        time.sleep(chance.uniform(0.6, 1.2))
        other.execute("ROLLBACK")
        other.close()
        recorder.close()
        inputs = list(store.inputs(recorder.session_id))
        tally.lost += 300 - len(inputs)
        tally.wrong += sum(a != taken(n) for n, a in enumerate(inputs))
        tally.recovered += store.check(recorder.session_id) == ()
        store.close()
    return tally


def _recorded(folder: Path) -> Folders:
    store, recorder = begin(folder)
    for number in range(_INPUTS):
        take(recorder, number)
    recorder.close()
    store.close()
    run_statement(Folders(folder).database, "VACUUM")  # no free pages: each byte matters
    return Folders(folder)


def _copy(original: Folders, folder: Path) -> Folders:
    folder.mkdir(parents=True)
    shutil.copy(original.database, folder / original.database.name)
    return Folders(folder)


def _read(folders: Folders, *, write: bool) -> tuple[list[Input], list[float], list[str]]:
    with Store.open(folders, write=write) as store:
        inputs: list[Input] = []
        values: list[float] = []
        findings: list[str] = []
        for session in store.sessions():
            findings += store.check(session.id)
            inputs += store.inputs(session.id)
            for channel in store.channels(session.id):
                values += store.samples(session.id, channel).value.tolist()
            store.setup(session.id)
            store.events(session.id)
            store.verdicts(session.id)
            store.revisions(session.id)
    return inputs, values, findings


def run_statement(path: Path, statement: str) -> None:
    raw = sqlite3.connect(path)
    raw.execute(statement)
    raw.commit()
    raw.close()


def _digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()
