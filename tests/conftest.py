"""What every test has: a data folder of its own and no leftovers."""

import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from benchmeter.settings.folders import Folders


@pytest.fixture
def folders(tmp_path: Path) -> Folders:
    """A fresh data folder."""
    made = Folders(tmp_path / "data")
    made.make()
    return made


@pytest.fixture(autouse=True)
def _no_thread_outlives_its_test() -> Iterator[None]:
    before = set(threading.enumerate())
    yield
    for thread in set(threading.enumerate()) - before:
        if not thread.daemon:
            thread.join(5)
    left = [t.name for t in set(threading.enumerate()) - before if t.is_alive() and not t.daemon]
    assert not left, f"threads left running: {left}"
