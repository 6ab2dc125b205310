"""Disks that are full, read-only, or answer with errors.

The small disk is a tmpfs in a mount namespace of its own, so that nothing of it is left behind.
The error loop is after "How SQLite Is Tested" (sqlite.org/testing.html, 3.1): the Nth call fails,
for N = 1, 2, 3 ... until a run has no failing call any more.
"""

import json
import os
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import asdict
from pathlib import Path
from random import Random
from typing import IO

from benchmeter.errors import StoreFull, StoreReadOnly
from benchmeter.files.folders import Folders
from benchmeter.record.records import SessionState
from benchmeter.record.store import Store
from tests.fakes.full_disk import fill_up
from tests.fakes.refusals import advised, said
from tests.faults.ending import ENDS, recording
from tests.faults.killed_child import begin, take, taken, value
from tests.faults.tally import NotHere, Strike, Tally

__all__ = [
    "disk_full",
    "disk_full_at_each_step",
    "disk_full_at_the_end",
    "disk_read_only",
    "sync_fails",
]

_REPOSITORY = Path(__file__).parents[2]
_MOST_INPUTS = 400_000


def disk_full(folder: Path, rounds: int, chance: Random) -> Tally:
    """The disk fills up at some moment of a recording, and is freed again."""
    return _in_a_namespace("fill", folder, rounds, chance)


def disk_read_only(folder: Path, rounds: int, chance: Random) -> Tally:
    """A disk that turns read-only can be viewed, is refused for writing, and comes back."""
    return _in_a_namespace("make_read_only", folder, rounds, chance)


def disk_full_at_the_end(folder: Path, rounds: int, chance: Random) -> Tally:
    """The disk is full when `benchmeter record` is asked to end: it waits, or says what is lost."""
    return _in_a_namespace("end_while_full", folder, rounds, chance)


def disk_full_at_each_step(folder: Path, rounds: int, chance: Random) -> Tally:
    """A disk of 64 KiB, of 128 KiB and so on, that is larger once it is full."""
    return _in_a_namespace("fill_at_each_step", folder, rounds, chance)


def fill(folder: Path, rounds: int, chance: Random) -> Tally:
    tally = Tally("")
    for number in range(rounds):
        with _disk(folder / str(number), f"{chance.randint(8, 12)}m") as disk:
            tally.rounds += 1
            store, recorder = begin(disk / "data")
            before, after = chance.randint(1, 3_000), chance.randint(4_000, 12_000)
            for n in range(before):
                take(recorder, n)
            recorder.flush()
            ballast = disk / "ballast"
            fill_up(ballast)
            for n in range(before, after):
                take(recorder, n)
            try:
                recorder.close()
                tally.notes.append("there was room for all")
            except StoreFull as error:
                tally.wrong += "Free some space" not in advised(error)
            ballast.unlink()
            recorder.close()
            store.close()
            tally.recovered += _look(Folders(disk / "data"), after, tally)
    return tally


def fill_at_each_step(folder: Path, rounds: int, chance: Random) -> Tally:
    tally, refused = Tally(""), 0
    for number in range(1, rounds + 1) if rounds > 5 else [2, 12, 40][:rounds]:
        with _disk(folder / str(number), f"{64 * number}k") as disk:
            tally.rounds += 1
            taken_so_far = 0
            try:
                store, recorder = begin(disk / "data")
            except StoreFull:
                refused += 1
                _grow(disk)
                store, recorder = begin(disk / "data")
            else:
                try:
                    for n in range(_MOST_INPUTS):
                        take(recorder, n)
                        taken_so_far += 1
                        if n % 500 == 499:
                            recorder.flush()
                except StoreFull:
                    pass
                for n in range(taken_so_far, taken_so_far + 100):
                    take(recorder, n)
                taken_so_far += 100
                _grow(disk)
            recorder.close()
            store.close()
            tally.recovered += _look(Folders(disk / "data"), taken_so_far, tally)
    tally.notes.append(f"{refused} of {tally.rounds} had no room to begin, and said so")
    return tally


def end_while_full(folder: Path, rounds: int, chance: Random) -> Tally:
    tally = Tally("")
    for number in range(rounds):
        with _disk(folder / str(number), "3m") as disk:
            tally.rounds += 1
            patient = number % 2 == 0
            with recording(disk / "data") as program:
                assert program.stderr is not None
                program.stderr.readline()  # the session's id
                time.sleep(chance.uniform(0, 2))
                fill_up(disk / "ballast")
                told = _up_to(program.stderr, "No space is left")
                program.send_signal(chance.choice(ENDS))
                told += _up_to(program.stderr, "held in memory")
                if patient:
                    (disk / "ballast").unlink()
                else:
                    program.send_signal(chance.choice(ENDS))
                out, rest = program.communicate(timeout=60)
            told += rest
            tally.wrong += "Traceback" in told
            tally.wrong += program.returncode != (0 if patient else 1)
            (disk / "ballast").unlink(missing_ok=True)
            with Store.open(Folders(disk / "data"), write=True) as store:
                (session,) = store.sessions()
                if patient:
                    counted = sum(json.loads(out)["readings"].values())
                    tally.lost += counted - session.reading_count
                    whole = session.state is SessionState.ENDED
                else:
                    tally.wrong += re.search(r"\d+ readings .* are lost", rest) is None
                    whole = [session] == list(store.cut_off())
                    store.finish(session.id)
                tally.recovered += whole and store.check(session.id) == ()
    return tally


def _up_to(stream: IO[str], words: str) -> str:
    told = ""
    for line in stream:
        told += line
        if words in line:
            return told
    raise AssertionError(f"never said {words!r}: {told}")


def _grow(disk: Path) -> None:
    subprocess.run(["mount", "-o", "remount,size=64m", str(disk)], check=True)


def make_read_only(folder: Path, rounds: int, chance: Random) -> Tally:
    tally = Tally("")
    for number in range(rounds):
        with _disk(folder / str(number), "8m") as disk:
            tally.rounds += 1
            folders, count = Folders(disk / "data"), chance.randint(1, 3_000)
            store, recorder = begin(folders.data)
            for n in range(count):
                take(recorder, n)
            recorder.close()
            store.close()
            subprocess.run(["mount", "-o", "remount,ro", str(disk)], check=True)
            try:
                Store.open(folders, write=True).close()
                tally.wrong += 1
            except StoreReadOnly as error:
                tally.wrong += "cannot be written" not in said(error)
            readable = _look(folders, count, tally)
            subprocess.run(["mount", "-o", "remount,rw", str(disk)], check=True)
            Store.open(folders, write=True).close()
            tally.recovered += readable
    return tally


def sync_fails(folder: Path, rounds: int, chance: Random) -> Tally:
    """The Nth fdatasync (and fsync) of a thread reports EIO, once, and then for ever."""
    if shutil.which("strace") is None:
        raise NotHere("needs strace")
    first = list(range(1, rounds + 1)) if rounds > 5 else [1, 2, 3, 6, 10][:rounds]
    tally, clean = Tally(""), 0
    with ThreadPoolExecutor(2) as pool:
        cases = [(n, last) for n in first for last in ("", "+")]
        runs = [pool.submit(_traced, folder / f"{n}{last}", f"{n}{last}") for n, last in cases]
        for (n, last), run in zip(cases, runs, strict=True):
            kept, failed = run.result()
            tally.rounds += 1
            if not failed:
                clean += 1
            folders = Folders(folder / f"{n}{last}")
            if kept or folders.database.exists():
                tally.recovered += _look(folders, kept, tally, at_least=True)
            else:
                tally.recovered += 1  # refused at the opening, nothing was promised
    tally.notes.append(f"{clean} of {tally.rounds} runs had no failing call any more")
    return tally


def _traced(folder: Path, when: str) -> tuple[int, bool]:
    """Inputs that were acknowledged, and whether a call had failed."""
    folder.mkdir(parents=True)
    log = folder / "strace"
    done = subprocess.run(
        [
            "strace", "-f", "-qq", "-o", str(log), "-e", "trace=fdatasync,fsync",
            "-e", f"inject=fdatasync,fsync:error=EIO:when={when}",
            sys.executable, "-m", "tests.faults.sync_child", str(folder),
        ],
        cwd=_REPOSITORY, capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip
    if "ptrace" in done.stderr.lower() and "not permitted" in done.stderr.lower():
        raise NotHere("strace may not trace here")
    assert done.returncode == 0, done.stderr
    kept = [int(line.split()[1]) for line in done.stdout.splitlines() if line.startswith("kept")]
    return max(kept, default=0), "INJECTED" in log.read_text()


def _look(folders: Folders, count: int, tally: Tally, *, at_least: bool = False) -> bool:
    """Whether exactly (or at least) so many inputs are in the one session of a sound record."""
    with Store.open(folders, write=False) as store:
        sessions = store.sessions()
        if not sessions:
            tally.lost += count
            return count == 0
        session = sessions[0]
        inputs = list(store.inputs(session.id))
        values = store.samples(session.id, "discharge").value.tolist()
        sound = store.check(session.id) == () and session.state is not SessionState.OPEN
    tally.lost += max(0, count - min(len(inputs), len(values)))
    tally.wrong += sum(a != taken(n) for n, a in enumerate(inputs))
    tally.wrong += sum(v != value(n) for n, v in enumerate(values))
    return sound and (at_least or len(inputs) == count)


@contextmanager
def _disk(folder: Path, size: str) -> Iterator[Path]:
    folder.mkdir(parents=True)
    subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={size}", "none", str(folder)], check=True)
    try:
        yield folder
    finally:
        subprocess.run(["umount", "-l", str(folder)], check=True)


def _in_a_namespace(doing: str, folder: Path, rounds: int, chance: Random) -> Tally:
    mine = ["unshare", "--mount"] if os.geteuid() == 0 else ["unshare", "--mount", "-r"]
    if sys.platform != "linux" or shutil.which("unshare") is None:
        raise NotHere("needs a mount namespace of its own")
    if subprocess.run([*mine, "true"], capture_output=True, check=False).returncode:
        raise NotHere("needs the right to a mount namespace of its own")
    seed = chance.randrange(1 << 30)
    done = subprocess.run(
        [*mine, sys.executable, "-m", "tests.faults.disks", doing, str(folder), str(rounds), f"{seed}"],
        cwd=_REPOSITORY, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return Tally(**json.loads(done.stdout))


if __name__ == "__main__":
    _STRIKES: dict[str, Strike] = {
        "fill": fill,
        "fill_at_each_step": fill_at_each_step,
        "end_while_full": end_while_full,
        "make_read_only": make_read_only,
    }
    _doing, _folder, _rounds, _seed = sys.argv[1:]
    _tally = _STRIKES[_doing](Path(_folder), int(_rounds), Random(int(_seed)))
    json.dump(asdict(_tally), sys.stdout)
