"""The wheel holds all that the program opens, and works without the checkout."""

import os
import subprocess
import sys
import zipfile
from email import message_from_string
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]

READ_ALL = """
import hashlib, sys
from pathlib import Path
sys.path.insert(0, sys.argv[1])
from benchmeter.files.resources import demo_session, demo_sessions, resource
for line in sys.stdin.read().splitlines():
    kind, name = line.split(" ", 1)
    path = resource(name) if kind == "resource" else demo_session(name)
    assert path.is_relative_to(sys.argv[1]), path
    print(hashlib.sha256(path.read_bytes()).hexdigest())
assert demo_sessions().is_relative_to(sys.argv[1])
"""


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The built wheel."""
    out = tmp_path_factory.mktemp("wheel")
    build = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(out)]
    built = subprocess.run(build, cwd=ROOT, capture_output=True, text=True, check=False)
    assert built.returncode == 0, built.stderr
    (path,) = out.glob("*.whl")
    return path


@pytest.fixture(scope="module")
def unpacked(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the wheel's files and nothing else."""
    folder = tmp_path_factory.mktemp("unpacked")
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(folder)
    return folder


def _sums(asked: list[str], where: Path) -> list[str]:
    # -I -S: neither the checkout nor any installed package is on the path.
    command = [sys.executable, "-I", "-S", "-c", READ_ALL, str(where)]
    text = "\n".join(asked)
    done = subprocess.run(command, input=text, capture_output=True, text=True, cwd=where)
    assert done.returncode == 0, done.stderr
    return done.stdout.split()


def test_every_resource_and_demo_session_opens_from_the_wheel_as_from_the_checkout(
    unpacked: Path,
) -> None:
    resources = ROOT / "resources"
    asked = [
        f"resource {path.relative_to(resources).as_posix()}"
        for path in sorted(resources.rglob("*"))
        if path.is_file()
    ]
    asked += [f"scenario {path.stem}" for path in sorted((ROOT / "demo_sessions").glob("*.toml"))]
    assert any(line.startswith("resource fonts/") for line in asked)
    assert "scenario walk-in-cooler" in asked

    assert _sums(asked, unpacked) == _sums(asked, ROOT)


def test_the_wheel_carries_licences_and_the_command_but_no_tests(unpacked: Path) -> None:
    (about,) = unpacked.glob("*.dist-info")
    metadata = message_from_string((about / "METADATA").read_text(encoding="utf-8"))
    assert metadata["Name"] == "benchmeter"
    assert metadata["License-Expression"] == "MIT"
    licences = about / "licenses" / "packaging"
    assert "MIT License" in (licences / "LICENSE").read_text()
    assert (licences / "THIRD-PARTY.md").is_file()
    assert "benchmeter = benchmeter.__main__:main" in (about / "entry_points.txt").read_text()
    assert {path.name for path in unpacked.iterdir()} == {"benchmeter", about.name}


def test_a_command_runs_from_the_wheel(unpacked: Path, tmp_path: Path) -> None:
    # Limits of 45 µF ±6 %: 42.3 to 47.7 µF (arithmetic).
    command = [sys.executable, "-m", "benchmeter", "judge", "45 uF ±6% 440 V", "--read", "45.1uF"]
    environment = {**os.environ, "PYTHONPATH": str(unpacked), "PYTHONUTF8": "1"}
    done = subprocess.run(
        command, cwd=tmp_path, env=environment, capture_output=True, text=True, encoding="utf-8"
    )
    assert done.returncode == 0, done.stderr
    assert "42.3 to 47.7" in done.stdout
