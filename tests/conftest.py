"""What every test has: a data folder of its own and no leftovers."""

import os
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

from benchmeter.files.folders import Folders

# A machine that is busy makes no rule false; a red run can be repeated. New examples: "explore".
settings.register_profile("benchmeter", deadline=None, derandomize=True)
settings.register_profile("explore", deadline=None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "benchmeter"))

if os.environ.get("BENCHMETER_WITHOUT_QT"):
    # One run proves that all below the window works where Qt is not installed.
    sys.modules["PySide6"] = sys.modules["pyqtgraph"] = None  # type: ignore[assignment]

    def pytest_addoption(parser: pytest.Parser) -> None:
        for name in ("qt_api", "qt_log_level_fail"):
            parser.addini(name, "of pytest-qt, which is not loaded in this run")


@pytest.fixture
def folders(tmp_path: Path) -> Folders:
    """A fresh data folder."""
    made = Folders(tmp_path / "data")
    made.make()
    return made


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of 8 MB of its own."""
    folder = tmp_path / "disk"
    folder.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=8m", "tmpfs", str(folder)]
    if sys.platform != "linux" or subprocess.run(mount, capture_output=True).returncode:
        pytest.skip("needs the right to mount a small file system")
    try:
        yield folder
    finally:
        subprocess.run(["umount", "-l", str(folder)], check=True)


@pytest.fixture(autouse=True)
def _no_thread_outlives_its_test() -> Iterator[None]:
    before = set(threading.enumerate())
    yield
    for thread in set(threading.enumerate()) - before:
        if not thread.daemon:
            thread.join(5)
    left = [t.name for t in set(threading.enumerate()) - before if t.is_alive() and not t.daemon]
    assert not left, f"threads left running: {left}"
