#!/usr/bin/env python3
"""Make this checkout ready and run it: the two commands of the README.

    python3 packaging/ready.py simulate    the main job on the simulated bench
    python3 packaging/ready.py test        format, lint, types, rooms, all tests

Needs Python 3.11 to 3.13 and nothing else; on Debian and its kin it installs what is missing, as
root or with sudo. Everything else goes into `.venv` beside this checkout's files.
"""

import argparse
import hashlib
import os
import shlex
import shutil
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
BIN = VENV / ("Scripts" if os.name == "nt" else "bin")
LOCKS = {
    "simulate": ROOT / "packaging" / "lock-run.txt",
    "test": ROOT / "packaging" / "lock-test.txt",
}

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
    "",
]
FOR_TESTS = ["xvfb", "xauth", "xdotool", "socat", "procps", "git"]


def main() -> int:
    """Exit status: that of what was run; 1 if it could not be made ready."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("what", choices=["simulate", "test"])
    parser.add_argument("rest", nargs=argparse.REMAINDER, help="passed on")
    args = parser.parse_args()
    if not (3, 11) <= sys.version_info[:2] <= (3, 13):
        print(f"Python 3.11, 3.12 or 3.13 is needed; this is {sys.version.split()[0]}.")
        return 1
    if not system_ready(QT_LIBRARIES + (FOR_TESTS if args.what == "test" else [])):
        return 1
    packages_ready(LOCKS[args.what])
    if args.what == "simulate":
        return subprocess.call([BIN / "benchmeter", "--simulate", *args.rest])
    return test(args.rest)


# --- the system ---------------------------------------------------------------------------------


def system_ready(packages: list[str]) -> bool:
    """Install missing Debian packages; whether all is there. Other systems: nothing to do."""
    if not shutil.which("dpkg-query"):
        return True
    wanted = list(packages)
    if find_spec("ensurepip") is None or find_spec("venv") is None:
        wanted.append("python3-venv")
    missing = [name for name in wanted if not installed(name)]
    if not missing:
        return True
    print("Installing from Debian:", " ".join(missing), flush=True)
    become = [] if os.geteuid() == 0 else ["sudo", "-n"]
    may = os.geteuid() == 0 or sudo_works()
    install = ["apt-get", "install", "-y", "--no-install-recommends", *missing]
    if not may:
        print("This needs root once. Run this line, then the same command again:\n")
        print(f"    sudo apt-get update && sudo {shlex.join(install)}\n")
        return False
    quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    for command in (["apt-get", "update", "-q"], install):
        done = subprocess.run([*become, *command], env=quiet, stdout=subprocess.DEVNULL)
        if done.returncode != 0:
            print(f"“{shlex.join(command)}” failed; see above. Mend that, then run this again.")
            return False
    return True


def installed(package: str) -> bool:
    """Whether a Debian package is installed."""
    query = ["dpkg-query", "-W", "-f=${db:Status-Status}", package]
    found = subprocess.run(query, capture_output=True, text=True)
    # Qualified by architecture there may be several answers.
    return found.returncode == 0 and "installed" in found.stdout


def sudo_works() -> bool:
    """Whether sudo works, asking for the password where there is someone to ask."""
    if not shutil.which("sudo"):
        return False
    ask = ["sudo", "-v"] if sys.stdin.isatty() else ["sudo", "-n", "true"]
    return subprocess.run(ask, stderr=subprocess.DEVNULL).returncode == 0


# --- the Python packages ------------------------------------------------------------------------


def packages_ready(lock: Path) -> None:
    """Make `.venv` as the lock file says; quick when it is so already."""
    stamp = VENV / "ready"
    if lock == LOCKS["simulate"] and stamp.is_file() and stamp.read_text() == _state(LOCKS["test"]):
        return  # the packages for the tests hold those of the program
    state = _state(lock)
    if stamp.is_file() and stamp.read_text() == state:
        return
    print("Setting up .venv (a few minutes the first time) …", flush=True)
    subprocess.run([sys.executable, "-m", "venv", "--clear", VENV], check=True)
    pip = [BIN / "python", "-m", "pip", "install", "-q", "--disable-pip-version-check"]
    subprocess.run([*pip, "--require-hashes", "--only-binary", ":all:", "-r", lock], check=True)
    subprocess.run([*pip, "--no-deps", "--no-build-isolation", "-e", ROOT], check=True)
    stamp.write_text(state)


def _state(lock: Path) -> str:
    parts = (lock.read_bytes(), (ROOT / "pyproject.toml").read_bytes(), sys.version.encode())
    return hashlib.sha256(b"".join(parts)).hexdigest()


# --- the tests ----------------------------------------------------------------------------------


def test(rest: list[str]) -> int:
    """Everything that must hold before a change goes in; stops at the first that does not."""
    python = str(BIN / "python")
    offscreen = {**os.environ, "QT_QPA_PLATFORM": "offscreen"}
    on_x = {k: v for k, v in os.environ.items() if k not in ("QT_QPA_PLATFORM", "WAYLAND_DISPLAY")}
    on_x["QT_QPA_PLATFORM"] = "xcb"
    pytest = [python, "-m", "pytest", *rest]
    xvfb = ["xvfb-run", "-a", "-s", "-screen 0 1920x1080x24"]
    steps: list[tuple[str, list[str], dict[str, str]]] = [
        ("format", [str(BIN / "ruff"), "format", "--check", "."], offscreen),
        ("lint", [str(BIN / "ruff"), "check", "."], offscreen),
        ("types", [str(BIN / "mypy")], offscreen),
        ("rooms", [str(BIN / "lint-imports")], offscreen),
        (
            "everything below the window, without Qt",
            [*pytest, "--ignore=tests/gui", "-p", "no:pytest-qt", "-m", "not gui and not x11"],
            {**offscreen, "BENCHMETER_WITHOUT_QT": "1"},
        ),
        ("the window, offscreen", [*pytest, "-m", "gui and not x11"], offscreen),
    ]
    if shutil.which("xvfb-run"):
        steps.append(("the window, on an X server", [*xvfb, *pytest, "-m", "x11"], on_x))
    else:
        print("No xvfb-run here: the tests on an X server are left out.")
    for title, command, environment in steps:
        print(f"\n== {title}", flush=True)
        code = subprocess.call(command, cwd=ROOT, env=environment)
        if code != 0:
            print(f"\n{title}: failed.")
            return code
    print("\nAll holds.")
    return 0


if __name__ == "__main__":
    sys.exit(main())
