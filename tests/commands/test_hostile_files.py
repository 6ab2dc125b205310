"""Files that hold up a careless program: pipes, devices, endless and deeply nested ones.

No source: what a person can name by mistake, or be sent.
"""

import os
import resource
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from benchmeter.files.input_file import LARGEST
from tests.commands.calls import call

PART = "45/5 uF ±6% 440 V"
MOST_MEMORY = 200_000_000


def _pipe(path: Path) -> None:
    os.mkfifo(path)


def _device(path: Path) -> None:
    path.symlink_to("/dev/zero")


def _folder(path: Path) -> None:
    path.mkdir()


def _huge(path: Path) -> None:
    with path.open("wb") as file:
        file.truncate(40_000_000_000)


TRAPS: list[Callable[[Path], None]] = [_pipe, _device, _folder, _huge]

TABLES = [
    ("judge", PART, "--lot"),
    ("compute", "gauge-study"),
    ("compute", "meter-history"),
    ("compute", "step-fit"),
    ("compute", "recovery"),
    ("compute", "replacement", PART, "--from"),
]


@pytest.mark.parametrize("trap", TRAPS)
@pytest.mark.parametrize("command", TABLES, ids=" ".join)
def test_a_table_is_an_ordinary_file_of_a_bearable_size(
    command: tuple[str, ...], trap: Callable[[Path], None], tmp_path: Path
) -> None:
    trap(tmp_path / "table.csv")
    done = call(*command, str(tmp_path / "table.csv"), "--data", str(tmp_path / "data"))
    assert done.status == 2
    assert "a directory, a pipe or a device" in done.err or "is larger than" in done.err


@pytest.mark.parametrize("trap", TRAPS)
@pytest.mark.parametrize(
    ("file", "command"),
    [
        ("parts/coil.toml", ("judge", "--kind", "coil")),
        ("instruments/own.toml", ("record", "--from", "serial:x?profile=own&channel=one")),
        ("sensors/own.toml", ("compute", "sensor", "own", "--reading", "100ohm")),
        ("reference-parts.toml", ("compute", "meter-history")),
        ("own.toml", ("record", "--from", "simulated:{file}")),
    ],
)
def test_what_is_kept_in_toml_is_an_ordinary_file_of_a_bearable_size(
    file: str, command: tuple[str, ...], trap: Callable[[Path], None], tmp_path: Path
) -> None:
    path = tmp_path / "data" / file
    path.parent.mkdir(parents=True)
    trap(path)
    done = call(*(a.format(file=path) for a in command), "--data", str(tmp_path / "data"))
    assert done.status == 2 or (file == "reference-parts.toml" and done.status == 0)
    assert "Traceback" not in done.err


DEEP_TOML = [
    "a" + ".a" * 400_000 + " = 1",
    "[a" + ".a" * 400_000 + "]",
    "a" + '."a b"' * 100_000 + " = 1",
    "a = " + "[" * 400_000,
    "a = " + "{a=" * 200_000,
    "a = '''" + "\n" * 900_000 + "'''\nb" + ".b" * 20_000 + " = 1",
]
LARGE_TABLES = [text * (LARGEST // len(text)) for text in ("1\n", "1,2\n", '"', ",")]


@pytest.mark.skipif(not hasattr(resource, "RLIMIT_CPU"), reason="needs limits of a process")
@pytest.mark.parametrize("number", range(len(DEEP_TOML)))
def test_nesting_costs_neither_time_nor_memory(number: int, tmp_path: Path) -> None:
    (tmp_path / "parts").mkdir()
    (tmp_path / "parts" / "deep.toml").write_text(DEEP_TOML[number])
    done = _limited("judge", "--kind", "deep", "--data", str(tmp_path))
    assert (done.returncode, done.stderr.count("\n")) == (2, 1)


@pytest.mark.slow
@pytest.mark.parametrize("number", range(len(LARGE_TABLES)))
@pytest.mark.parametrize("command", TABLES, ids=" ".join)
def test_the_largest_table_costs_no_more_memory_than_promised(
    command: tuple[str, ...], number: int, tmp_path: Path
) -> None:
    (tmp_path / "table.csv").write_text(LARGE_TABLES[number])
    done = _limited(*command, str(tmp_path / "table.csv"), "--data", str(tmp_path / "data"))
    assert done.returncode in (0, 1, 2) and "Traceback" not in done.stderr, done.stderr[-500:]


def _limited(*arguments: str) -> subprocess.CompletedProcess[str]:
    """A command as a process that is ended when it takes a minute, and told its memory.

    Its `ru_maxrss` would count the process that it was forked from.
    """
    child = (
        "import re, sys\n"
        "from benchmeter.__main__ import main\n"
        "status = main(sys.argv[1:])\n"
        "status_file = open('/proc/self/status').read()\n"
        "used = 1024 * int(re.search(r'VmHWM:\\s*(\\d+)', status_file)[1])\n"
        f"sys.exit(status if used < {MOST_MEMORY} else 9)\n"
    )
    return subprocess.run(
        [sys.executable, "-c", child, *arguments],
        capture_output=True,
        text=True,
        check=False,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_CPU, (60, 60)),
    )
