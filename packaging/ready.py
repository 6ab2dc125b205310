#!/usr/bin/env python3
"""Make this checkout ready and run it: the two commands of the README.

    python3 packaging/ready.py simulate    the main job on the simulated bench
    python3 packaging/ready.py test        format, lint, types, rooms, all tests

Needs Python 3.11 to 3.13 and nothing else; on Debian and its kin it installs what is missing, as
root or with sudo. Everything else goes into `.venv` beside this checkout's files.
"""

from __future__ import annotations  # so that an older Python gets as far as being told

import argparse
import hashlib
import os
import shlex
import shutil
import subprocess
import sys
import tempfile
from importlib.util import find_spec
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
BIN = VENV / ("Scripts" if os.name == "nt" else "bin")
LOG = VENV / "ready.log"
LOCKS = {
    "simulate": ROOT / "packaging" / "lock-run.txt",
    "test": ROOT / "packaging" / "lock-test.txt",
}

# What the Qt libraries of PySide6 are linked with, and nothing that each system has anyway.
QT_LIBRARIES = [
    "libgl1",
    "libegl1",
    "libglib2.0-0",
    "libdbus-1-3",
    "libfontconfig1",
    "libfreetype6",
    "libxkbcommon0",
    "libxkbcommon-x11-0",
    "libx11-6",
    "libx11-xcb1",
    "libxcb1",
    "libxcb-cursor0",
    "libxcb-icccm4",
    "libxcb-image0",
    "libxcb-keysyms1",
    "libxcb-randr0",
    "libxcb-render0",
    "libxcb-render-util0",
    "libxcb-shape0",
    "libxcb-shm0",
    "libxcb-sync1",
    "libxcb-util1",
    "libxcb-xfixes0",
    "libxcb-xkb1",
    "libxcb-glx0",
    "libwayland-client0",
    "libwayland-cursor0",
    "libwayland-egl1",
]
FOR_TESTS = ["poppler-utils", "strace", "xvfb", "xauth", "xdotool", "socat", "procps", "git"]

NO_TESTS_CHOSEN = 5  # exit status of pytest
HANGS_S = 3600  # no step takes so long; a single test is ended by pytest long before
LONG = ["tests/parity", "tests/record", "tests/tasks", "tests/commands"]
MUTANTS = "60"  # two minutes on two processors, most of them for what each test runs
AT_LENGTH = ["faults, soak, stopwatch and benchmarks (DEVELOPERS.md has their commands)"]


class NotReady(Exception):
    """What is missing and what to do, for the person at the keyboard."""


def main() -> int:
    """Exit status: that of what was run; 1 if it could not be made ready."""
    parser = argparse.ArgumentParser(
        description="Make this checkout ready and run it.",
        epilog="What follows is passed on: to benchmeter, or to pytest.",
    )
    parser.add_argument("what", choices=["simulate", "test"])
    parser.add_argument("rest", nargs=argparse.REMAINDER, metavar="...", help="passed on")
    args = parser.parse_args()
    try:
        make_ready(args.what)
        if args.what == "simulate":
            return subprocess.call([BIN / "benchmeter", "--simulate", *args.rest])
        return test(args.rest)
    except NotReady as trouble:
        print(trouble)
    except OSError as trouble:
        print(f"{trouble.filename or ROOT}: {trouble.strerror or trouble}.")
        print("Check who may write there and whether the disk is full; then run this again.")
    except KeyboardInterrupt:
        print("\nStopped. Run the same command again to go on.")
    return 1


def make_ready(what: str) -> None:
    """Whatever `what` needs is there afterwards.

    Raises:
        NotReady: it could not be had.
    """
    if not (3, 11) <= sys.version_info[:2] <= (3, 13):
        raise NotReady(f"Python 3.11, 3.12 or 3.13 is needed; this is {sys.version.split()[0]}.")
    system_ready(QT_LIBRARIES + (FOR_TESTS if what == "test" else []))
    packages_ready(LOCKS[what])


# --- the system ---------------------------------------------------------------------------------


def system_ready(packages: list[str]) -> None:
    """Install missing Debian packages. On other systems there is nothing to do."""
    if not (shutil.which("dpkg-query") and shutil.which("apt-get")):
        return
    if find_spec("ensurepip") is None or find_spec("venv") is None:
        packages = [*packages, "python3-venv"]
    present = installed()
    missing = [name for name in packages if name not in present]
    if not missing:
        return
    install = ["apt-get", "install", "-y", "--no-install-recommends", *missing]
    if os.geteuid() != 0 and not sudo_works():
        raise NotReady(
            "Some libraries of the system are missing, and installing them needs root.\n"
            "Run this line once, then the same command again:\n\n"
            f"    sudo apt-get update && sudo {shlex.join(install)}\n"
        )
    print("Installing from the system's own packages:", " ".join(missing), flush=True)
    become = [] if os.geteuid() == 0 else ["sudo", "-n", "DEBIAN_FRONTEND=noninteractive"]
    quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    for command in (["apt-get", "update"], install):
        done = subprocess.run(
            [*become, *command],
            env=quiet,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            errors="replace",
        )
        if done.returncode != 0:
            raise NotReady(
                f"“{shlex.join(command[:2])}” did not work. Check the connection to the internet, "
                "and that no other\nprogram is installing just now; then run this again. "
                f"What it said:\n{_reason(done.stdout)}"
            )


def installed() -> set[str]:
    """The names of all installed Debian packages, and the names that they stand in for.

    Some libraries are called otherwise in later releases (libglib2.0-0t64) and provide the name
    that is looked for.
    """
    query = ["dpkg-query", "-W", "-f=${db:Status-Status}\\t${Package}, ${Provides}\\n"]
    lines = subprocess.run(query, capture_output=True, text=True, check=True).stdout.splitlines()
    listed = (line.partition("\t") for line in lines)
    return {
        name.strip().partition(" ")[0]
        for status, _, names in listed
        if status == "installed"
        for name in names.split(",")
    }


def sudo_works() -> bool:
    """Whether sudo works, asking for the password where there is someone to ask."""
    if not shutil.which("sudo"):
        return False
    ask = ["sudo", "-v"] if sys.stdin.isatty() else ["sudo", "-n", "true"]
    return subprocess.run(ask, stderr=subprocess.DEVNULL).returncode == 0


def _reason(said: str) -> str:
    """What apt or pip calls an error, else the end of what was said."""
    lines = said.strip().splitlines()
    errors = [line for line in lines if line.startswith(("ERROR:", "E:"))] or lines
    return "\n".join(f"    {line}" for line in errors[-4:])


# --- the Python packages ------------------------------------------------------------------------


def packages_ready(lock: Path) -> None:
    """Make `.venv` as the lock file says; quick when it is so already."""
    stamp = VENV / "ready"
    # The packages for the tests hold those of the program.
    good = {_state(lock), _state(LOCKS["test"])}
    if stamp.is_file() and stamp.read_text() in good:
        return
    print("Setting up .venv: some 200 MB to fetch, a few minutes the first time.", flush=True)
    made = subprocess.run(
        [sys.executable, "-m", "venv", "--clear", VENV], capture_output=True, text=True
    )
    if made.returncode != 0:
        raise NotReady(
            f"{VENV} could not be made. Check who may write there, that the disk is not full,\n"
            "and that benchmeter is not running; then run this again. What was said:\n"
            f"{_reason(made.stdout + made.stderr)}"
        )
    pip = [BIN / "python", "-m", "pip", "--disable-pip-version-check", "--no-input", "install"]
    _fetch([*pip, "--require-hashes", "--only-binary", ":all:", "-r", lock])
    _fetch([*pip, "--no-deps", "--no-build-isolation", "--no-index", "-e", ROOT])
    stamp.write_text(_state(lock))


def _fetch(command: list[str | Path]) -> None:
    """Run pip with its words in a file, and a dot now and then for whoever waits."""
    with LOG.open("a") as log:
        running = subprocess.Popen(command, stdout=log, stderr=subprocess.STDOUT)
        try:
            while True:
                try:
                    code = running.wait(timeout=3)
                    break
                except subprocess.TimeoutExpired:
                    print(".", end="", flush=True)
        finally:
            running.kill()
    print(flush=True)
    if code != 0:
        raise NotReady(
            "The packages could not be installed. Most often there is no connection to the "
            "internet,\nor the disk is full; then run this again. What pip said (all of it is in "
            f"{LOG}):\n{_reason(LOG.read_text(errors='replace'))}"
        )


def _state(lock: Path) -> str:
    # With its own place: what is installed knows the folder that it was made in.
    told = (sys.version, str(ROOT), (ROOT / "pyproject.toml").read_text(), lock.read_text())
    return hashlib.sha256("\0".join(told).encode()).hexdigest()


# --- the tests ----------------------------------------------------------------------------------


def test(rest: list[str]) -> int:
    """Everything that must hold before a change goes in; stops at the first that does not.

    Args:
        rest: passed on to pytest; a choice of tests may leave a step without any. `--slow` runs
            the long tests as well.
    """
    slow = "--slow" in rest
    rest = [argument for argument in rest if argument != "--slow"]
    # Many tests start a process: without its byte code each would compile the program anew.
    kept = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    offscreen = {**kept, "QT_QPA_PLATFORM": "offscreen"}
    without_qt = {**offscreen, "BENCHMETER_WITHOUT_QT": "1"}
    on_x = {**kept, "QT_QPA_PLATFORM": "xcb"}
    on_x.pop("WAYLAND_DISPLAY", None)
    pytest = [str(BIN / "python"), "-m", "pytest", *rest]
    # Many tests wait for a process or a line: one more at once than there are processors.
    shared = [*pytest, "-n", str(1 + (os.cpu_count() or 1)), "--dist", "worksteal"]
    below = [
        "--ignore=tests/window",
        "-p",
        "no:pytest-qt",
        "-m",
        "not gui and not x11 and not slow",
    ]
    xvfb = ["xvfb-run", "-a", "-s", "-screen 0 1920x1080x24"]
    steps: list[tuple[str, list[str], dict[str, str]]] = [
        ("format", [str(BIN / "ruff"), "format", "--check", "."], offscreen),
        ("lint", [str(BIN / "ruff"), "check", "."], offscreen),
        ("rooms", [str(BIN / "lint-imports")], offscreen),
        ("everything below the window, without Qt", [*shared, *below], without_qt),
        ("the window, offscreen", [*shared, "-m", "gui and not x11 and not slow"], offscreen),
    ]
    left_out = list(AT_LENGTH)
    if shutil.which("xvfb-run"):
        x11 = [*xvfb, *pytest, "-m", "x11 and not slow"]
        steps.append(("the window, on an X server", x11, on_x))
    else:
        left_out.insert(0, "the window on an X server (there is no xvfb-run)")
    if rest:
        left_out.insert(0, "the tests that were not chosen")
    else:
        mutants = [str(BIN / "python"), "-m", "tests.mutation", "--count", MUTANTS]
        steps.append(("mistakes that the tests must notice", mutants, without_qt))
        left_out.insert(0, f"all mutants but {MUTANTS}")
    if slow:
        long = [*shared, "--ignore=tests/window", "-p", "no:pytest-qt", "-m", "slow and not gui"]
        long += ["-o", "faulthandler_timeout=1000"]
        steps.append(("the long tests", [*long, *([] if rest else LONG)], without_qt))
    else:
        left_out.insert(0, "the long tests (packaging/ready.py test --slow)")
    with _Beside("types", [str(BIN / "mypy")], offscreen) as types:
        for title, command, environment in steps:
            print(f"\n== {title}", flush=True)
            try:
                code = subprocess.call(command, cwd=ROOT, env=environment, timeout=HANGS_S)
            except subprocess.TimeoutExpired:
                code = 1
                print(f"\n{title}: hangs, and was ended after {HANGS_S} s.")
            if code != 0 and not (rest and code == NO_TESTS_CHOSEN):
                print(f"\n{title}: failed.")
                return code
        if (code := types.finished()) != 0:
            return code
    print(f"\nAll that was run holds. Left out: {'; '.join(left_out)}.")
    return 0


class _Beside:
    """A check that keeps one processor busy while others run."""

    def __init__(self, title: str, command: list[str], environment: dict[str, str]) -> None:
        self._title = title
        self._said = tempfile.TemporaryFile("w+")  # noqa: SIM115 - closed in __exit__
        self._running = subprocess.Popen(
            command, cwd=ROOT, env=environment, stdout=self._said, stderr=subprocess.STDOUT
        )

    def __enter__(self) -> _Beside:
        return self

    def __exit__(self, *_: object) -> None:
        self._running.kill()
        self._running.wait()
        self._said.close()

    def finished(self) -> int:
        """Wait for it and say what it said; its exit status."""
        code = self._running.wait()
        self._said.seek(0)
        print(f"\n== {self._title}\n{self._said.read()}", flush=True)
        if code != 0:
            print(f"{self._title}: failed.")
        return code


if __name__ == "__main__":
    sys.exit(main())
