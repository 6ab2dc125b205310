"""SIGKILL at random moments: while recording, while sealing, while migrating.

After "How SQLite Is Tested" (sqlite.org/testing.html, 3.2): kill a writing child at a random
moment, then look whether what was acknowledged is complete.
"""

import os
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from queue import SimpleQueue
from random import Random

from benchmeter.files.folders import Folders
from benchmeter.record.records import SessionState
from benchmeter.record.store import Store
from tests.fakes.programs import is_alive
from tests.faults.killed_child import OLD, SCHEMA_VERSION, migrate_to_next, taken, value
from tests.faults.tally import NotHere, Tally

__all__ = ["killed_migrating", "killed_recording", "killed_sealing"]

_AT_ONCE = 6
_LOST_AT_MOST_S = 1.0

Kill = Callable[[str, Path, float], "Killed"]


@dataclass
class Killed:
    """A child that was killed, and what it had told by then."""

    folder: Path
    told: list[list[str]]
    killed_s: float

    def told_kept(self) -> int:
        """Inputs that must be there: acknowledged, or taken more than a second before."""
        kept = [int(words[1]) for words in self.told if words[0] == "kept"]
        old = [
            int(words[1])
            for words in self.told
            if words[0] == "taken" and float(words[2]) < self.killed_s - _LOST_AT_MOST_S
        ]
        return max(kept + old, default=0)


def killed_recording(folder: Path, rounds: int, chance: Random) -> Tally:
    """In the middle of recording, blocks being sealed and packs being merged all the while."""
    lives = [
        chance.choice((chance.uniform(0, 0.2), chance.uniform(0.2, 1.4))) for _ in range(rounds)
    ]
    tally = Tally("")
    for one in _killed("record", folder, lives):
        tally.rounds += 1
        tally.recovered += _look(one, tally, ended=False)
    return tally


def killed_sealing(folder: Path, rounds: int, chance: Random) -> Tally:
    """While the session is being ended: some forty blocks and the seal."""
    lives = [chance.uniform(0, 0.35) for _ in range(rounds)]
    tally, finished = Tally(""), 0
    for one in _killed("seal", folder, lives):
        tally.rounds += 1
        ended = ["ended"] in one.told
        finished += ended
        tally.recovered += _look(one, tally, ended=ended)
    tally.notes.append(f"{finished} of {tally.rounds} had ended before the kill")
    return tally


def killed_migrating(folder: Path, rounds: int, chance: Random) -> Tally:
    """While a table with children is copied, dropped and renamed."""
    before = _rows(OLD)
    tally, done = Tally(""), 0
    for one in _killed("migrate", folder, [chance.uniform(0, 0.12) for _ in range(rounds)]):
        tally.rounds += 1
        folders = Folders(one.folder)
        version = _version(folders.database)
        done += version != SCHEMA_VERSION
        if version == SCHEMA_VERSION:
            with Store.open(folders, write=True) as store:  # this benchmeter opens it as before
                tally.wrong += sum(bool(store.check(s.id)) for s in store.sessions())
            migrate_to_next(folders)
        after = _rows(folders.database)
        lost = sum(len(rows - after[name]) for name, rows in before.items())
        wrong = sum(len(after[name] - rows) for name, rows in before.items())
        tally.lost += lost
        tally.wrong += wrong
        whole = _pragma(folders.database, "integrity_check") == "ok"
        tally.recovered += whole and not (lost or wrong)
    tally.notes.append(f"{done} of {tally.rounds} were through before the kill")
    return tally


def _look(one: Killed, tally: Tally, *, ended: bool) -> bool:
    """Open the record as the next start would; whether all is as it should be."""
    folders, must_be_there = Folders(one.folder), one.told_kept()
    with Store.open(folders, write=False) as viewer:  # looking comes first and changes nothing
        seen = [session.input_count for session in viewer.sessions()]
    with Store.open(folders, write=True) as store:
        (session,) = store.sessions()
        count = session.input_count
        cut_off = [s.id for s in store.cut_off()]
        sound = [count] == seen and store.check(session.id) == ()
        sound &= (cut_off == []) if ended else (session.state is not SessionState.OPEN)
        if cut_off:
            store.finish(session.id)
        sound &= store.check(session.id) == () and store.cut_off() == ()
        inputs = list(store.inputs(session.id))
        values = store.samples(session.id, "discharge").value.tolist()
    tally.lost += max(0, must_be_there - min(len(inputs), len(values)))
    tally.wrong += sum(a != taken(n) for n, a in enumerate(inputs))
    tally.wrong += sum(v != value(n) for n, v in enumerate(values))
    return sound and count == len(inputs) == len(values)


def _killed(doing: str, folder: Path, lives: list[float]) -> Iterator[Killed]:
    """Children that lived so long after they had begun, six at once."""
    if not hasattr(os, "fork"):
        raise NotHere("needs fork and SIGKILL")
    with _nursery() as kill, ThreadPoolExecutor(_AT_ONCE) as pool:
        rounds = [
            pool.submit(kill, doing, folder / str(number), life)
            for number, life in enumerate(lives)
        ]
        for one in rounds:
            yield one.result()


@contextmanager
def _nursery() -> Iterator[Kill]:
    nursery = subprocess.Popen(
        [sys.executable, "-W", "ignore", "-m", "tests.faults.killed_child"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        bufsize=1,
        cwd=Path(__file__).parents[2],
    )
    assert nursery.stdin is not None
    assert nursery.stdout is not None
    turn: SimpleQueue[None] = SimpleQueue()
    turn.put(None)

    def kill(doing: str, folder: Path, life_s: float) -> Killed:
        folder.mkdir(parents=True)
        report = folder / "report"
        turn.get()
        nursery.stdin.write(f"{doing}\t{folder}\t{report}\n")
        pid = int(nursery.stdout.readline())
        turn.put(None)
        deadline = time.monotonic() + 30
        while "begun" not in (report.read_text() if report.exists() else ""):
            assert time.monotonic() < deadline, f"{doing}: never begun"
            time.sleep(0.005)
        time.sleep(life_s)
        killed_s = time.monotonic()
        os.kill(pid, signal.SIGKILL)
        while is_alive(pid):
            time.sleep(0.002)
        *whole, _ = report.read_text().split("\n")
        return Killed(folder, [line.split() for line in whole], killed_s)

    with nursery:
        try:
            yield kill
        finally:
            nursery.stdin.close()


def _rows(path: Path) -> dict[str, set[tuple[object, ...]]]:
    """Every row of every table, by the columns of the old version."""
    raw = sqlite3.connect(path)
    try:
        old = sqlite3.connect(OLD)
        tables = {
            name: [column[1] for column in old.execute(f"PRAGMA table_info({name})")]
            for (name,) in old.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")
        }
        old.close()
        return {
            name: set(raw.execute(f"SELECT {', '.join(columns)} FROM {name}"))
            for name, columns in tables.items()
        }
    finally:
        raw.close()


def _version(path: Path) -> int:
    return int(str(_pragma(path, "user_version")))


def _pragma(path: Path, name: str) -> object:
    raw = sqlite3.connect(path)
    try:
        return raw.execute(f"PRAGMA {name}").fetchone()[0]
    finally:
        raw.close()
