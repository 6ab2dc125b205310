"""Running programs beside a test: instruments that are not ours, and our own command line."""

import json
import os
import subprocess
import sys
import time
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from tests.commands.calls import Call

__all__ = ["PEERS", "benchmeter", "benchmeter_json", "is_alive", "one_after_another", "running"]

_REPOSITORY = Path(__file__).parents[2]
PEERS = _REPOSITORY / "tests" / "links" / "ports"


@contextmanager
def running(*command: str, makes: Sequence[Path]) -> Iterator[None]:
    """A program that runs until the end of the block; begins when it has made its ports."""
    with subprocess.Popen(command) as program:
        try:
            until = time.monotonic() + 20
            while not all(path.exists() for path in makes):
                assert program.poll() is None
                assert time.monotonic() < until
                time.sleep(0.01)
            yield
        finally:
            program.kill()


def benchmeter(*arguments: str, timeout: float = 60) -> subprocess.CompletedProcess[str]:
    """Run a command as a process of its own."""
    command = [sys.executable, "-m", "benchmeter", *arguments]
    return subprocess.run(command, capture_output=True, text=True, timeout=timeout, check=False)


def benchmeter_json(*arguments: str) -> Any:
    """The JSON document of a command that must succeed."""
    done = benchmeter(*arguments, "--json")
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


# What takes long is the start. Qt is begun once, as it cannot be begun and ended again and again.
_ONE_PROCESS = """
import json, sys
given = json.load(sys.stdin)
if any(arguments[0] in ("report", "tag") for arguments in given):
    from PySide6.QtWidgets import QApplication
    app = QApplication([])
from tests.commands.calls import call
ended = [call(*arguments) for arguments in given]
json.dump([(one.status, one.out, one.err) for one in ended], sys.stdout)
"""


def one_after_another(commands: Iterable[Sequence[str]]) -> list[Call]:
    """Run commands in one process of their own, which has Qt even where the test must not."""
    done = subprocess.run(
        [sys.executable, "-c", _ONE_PROCESS],
        input=json.dumps([*commands]),
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
        cwd=_REPOSITORY,
        capture_output=True,
        text=True,
        timeout=170,
    )
    assert done.returncode == 0, done.stderr
    return [Call(*ended) for ended in json.loads(done.stdout)]


def is_alive(pid: int) -> bool:
    """Whether a process of this computer (Linux) runs; a dead one that nobody asked after does not."""
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False
