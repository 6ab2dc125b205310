"""Runs benchmeter while every socket, every other program and every write is written down.

First argument: a file for what was done, one line of JSON each: [event, detail].
The rest: arguments of benchmeter, or "window" to open the real window offscreen for a moment.
"""

import json
import sys
from pathlib import Path
from typing import Any

_PROGRAMS = {
    "subprocess.Popen", "os.system", "os.exec", "os.posix_spawn", "os.spawn", "os.startfile",
    "os.startfile/2", "os.fork", "os.forkpty", "pty.spawn", "webbrowser.open",
}  # fmt: skip


def main() -> int:
    with Path(sys.argv[1]).open("w", encoding="utf-8", buffering=1) as log:

        def write_down(event: str, arguments: tuple[Any, ...]) -> None:
            if not log.closed and (event.startswith("socket.") or event in _PROGRAMS):
                log.write(json.dumps([event, repr(arguments)]) + "\n")

        sys.addaudithook(write_down)
        if sys.argv[2] == "window":
            return _window(sys.argv[3])
        from benchmeter.__main__ import main as run

        return run(sys.argv[2:])


def _window(data: str) -> int:
    """The real window with the simulated bench, closed after some seconds."""
    from PySide6.QtCore import QTimer
    from PySide6.QtWidgets import QApplication

    from benchmeter.app import run
    from benchmeter.files.folders import Folders

    app = QApplication([])
    QTimer.singleShot(4000, app.closeAllWindows)
    QTimer.singleShot(8000, app.quit)
    return run(Folders(Path(data)), simulate="short-visit")


if __name__ == "__main__":
    sys.exit(main())
