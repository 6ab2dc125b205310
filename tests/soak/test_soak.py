"""Half a minute of somebody who works at the window. `python -m tests.soak` is the long version."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

_COMMAND = [sys.executable, "-m", "tests.soak"]
_SLOW_MACHINE_MS = "500"


@pytest.mark.x11
@pytest.mark.skipif(not os.environ.get("DISPLAY"), reason="needs an X server")
def test_nothing_goes_wrong_while_somebody_works_at_the_window() -> None:
    done = subprocess.run(
        [*_COMMAND, "--minutes", "0.5", "--seed", "1", "--longest-ms", _SLOW_MACHINE_MS],
        cwd=Path(__file__).parents[2],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    sys.stdout.write(done.stdout)
    assert done.returncode == 0, done.stdout + done.stderr
