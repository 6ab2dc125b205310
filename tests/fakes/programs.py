"""Running programs beside a test: instruments that are not ours, and our own command line."""

import json
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

__all__ = ["PEERS", "benchmeter", "benchmeter_json", "is_alive", "running"]

PEERS = Path(__file__).parent.parent / "links" / "ports"


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


def is_alive(pid: int) -> bool:
    """Whether a process of this computer (Linux) runs; a dead one that nobody asked after does not."""
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False
