"""Writes a report or tags in a process of its own: pages and plot take more than a frame.

`python -m benchmeter.window.writer` takes data folder and task from its input, pickled, and answers
with None, or with the fault.
"""

import os
import pickle
import subprocess
import sys
from typing import TYPE_CHECKING

from benchmeter.errors import WorldError
from benchmeter.files.folders import Folders

if TYPE_CHECKING:
    from benchmeter.tasks.writing import Writing

__all__ = ["write_beside"]

_LONGEST_S = 120


def write_beside(folders: Folders, task: "Writing") -> None:
    """Let another process write; waits for it.

    Raises:
        WorldError: as the task does; or the process ended without an answer.
    """
    try:
        done = subprocess.run(
            [sys.executable, "-m", __name__],
            input=pickle.dumps((folders, task)),
            env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
            capture_output=True,
            timeout=_LONGEST_S,
            check=False,
        )
    except subprocess.TimeoutExpired as late:
        raise WorldError("tasks.not_written", detail=str(late), file=task.to.path.name) from None
    if not done.stdout:
        said = done.stderr.decode(errors="replace")
        raise WorldError("tasks.not_written", detail=said, file=task.to.path.name)
    fault: WorldError | None = pickle.loads(done.stdout)
    if fault is not None:
        raise fault


def _answer() -> WorldError | None:
    from benchmeter.record.store import Store
    from benchmeter.window.headless import drawing, session_picture

    folders: Folders
    task: Writing
    folders, task = pickle.load(sys.stdin.buffer)
    try:
        with Store.open(folders, write=False) as store, drawing():
            task.write(store, session_picture)
    except WorldError as fault:
        return fault
    return None


if __name__ == "__main__":
    sys.stdout.buffer.write(pickle.dumps(_answer()))
