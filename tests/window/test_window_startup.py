"""What is imported before the window is painted; `tests.benchmarks` times it (`start`)."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

pytestmark = pytest.mark.gui

_OURS = """
import sys
from pathlib import Path
from PySide6.QtWidgets import QApplication
from benchmeter.window.control.services import Services
from benchmeter.window.shell.window import Window
from benchmeter.window.control.session_controller import SessionController
from benchmeter.files.folders import Folders
app = QApplication([])
window = Window(SessionController(Services(Folders(Path(sys.argv[1])))))
def painted():
    print("HEAVY", sorted(HEAVY & set(sys.modules)))
    app.quit()
HEAVY = {"pyqtgraph", "sqlalchemy", "pint", "scipy", "numpy", "alembic", "serial"}
window.first_painted.connect(painted)
window.show()
app.exec()
window.close()
"""


def _environment(folder: Path) -> dict[str, str]:
    """As installed: with compiled modules, which the tests of this run may not write."""
    kept = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    cache = {"PYTHONPYCACHEPREFIX": str(folder / "compiled")}
    return {**kept, **cache, "QT_QPA_PLATFORM": "offscreen"}


def _run(code: str, folder: Path) -> dict[str, str]:
    done = subprocess.run(
        [sys.executable, "-c", code, str(folder)],
        env=_environment(folder),
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return dict(line.split(" ", 1) for line in done.stdout.splitlines() if " " in line)


def test_nothing_heavy_is_imported_before_the_first_paint(tmp_path: Path) -> None:
    """They take seconds together, and the first window must not wait for them (our own rule)."""
    assert _run(_OURS, tmp_path)["HEAVY"] == "[]"
