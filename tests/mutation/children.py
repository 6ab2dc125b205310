"""Forks, each with its own folder and a limit: a child must not hang, nor fill the memory."""

import os
import pickle
import resource
import shutil
import signal
import tempfile
import time
import traceback
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

__all__ = ["forked"]

_T = TypeVar("_T")
_MEMORY = 8 << 30
_WALL = 20  # times the processor time, on a busy machine


@dataclass(frozen=True, slots=True)
class _Fault:
    text: str


def forked(
    work: Iterable[Callable[[], _T]], jobs: int, cpu_seconds: int = 120
) -> Iterator[tuple[int, _T | None]]:
    """What each piece of work gave, by its number, in the order in which they end.

    None where the child ended otherwise: killed, or over its time.
    """
    waiting = enumerate(work)
    running: dict[int, tuple[int, Path, float]] = {}
    folder = Path(tempfile.mkdtemp(prefix="mutation-"))
    try:
        while True:
            while len(running) < jobs and (item := next(waiting, None)) is not None:
                number, task = item
                place = folder / str(number)
                place.mkdir()
                end = time.monotonic() + _WALL * cpu_seconds
                running[_child(task, place, cpu_seconds)] = number, place, end
            if not running:
                return
            pid = _ended(running)
            number, place, _ = running.pop(pid)
            file = place / "answer"
            answer = pickle.loads(file.read_bytes()) if file.exists() else None
            shutil.rmtree(place, ignore_errors=True)
            if isinstance(answer, _Fault):
                raise RuntimeError(answer.text)
            yield number, answer
    finally:
        for pid in running:
            os.kill(pid, signal.SIGKILL)
            os.waitpid(pid, 0)
        shutil.rmtree(folder, ignore_errors=True)


def _ended(running: dict[int, tuple[int, Path, float]]) -> int:
    while True:
        for pid, (_, _, end) in running.items():
            if os.waitpid(pid, os.WNOHANG)[0]:
                return pid
            if time.monotonic() > end:
                os.kill(pid, signal.SIGKILL)
        time.sleep(0.01)


def _child(task: Callable[[], object], place: Path, cpu_seconds: int) -> int:
    pid = os.fork()
    if pid:
        return pid
    try:
        resource.setrlimit(resource.RLIMIT_CPU, (cpu_seconds, 2 * cpu_seconds))
        resource.setrlimit(resource.RLIMIT_AS, (_MEMORY, _MEMORY))
        os.environ["TMPDIR"] = str(place)
        tempfile.tempdir = None
        with (place / "said").open("w") as said:
            for stream in (1, 2):
                os.dup2(said.fileno(), stream)
        try:
            answer = pickle.dumps(task())
        except Exception:  # noqa: BLE001 - a fault of this tool, told by the parent
            answer = pickle.dumps(_Fault(traceback.format_exc()))
        (place / "part").write_bytes(answer)
        (place / "part").rename(place / "answer")
    finally:
        os._exit(0)
