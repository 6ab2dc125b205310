"""Opens the window."""

import logging
import sys
from collections.abc import Sequence
from io import TextIOWrapper
from logging.handlers import RotatingFileHandler
from pathlib import Path

from PySide6.QtWidgets import QApplication

from benchmeter import __version__
from benchmeter.files.folders import Folders
from benchmeter.files.privacy import private_file
from benchmeter.window.control.faults import FaultWatch
from benchmeter.window.control.garbage import GarbageCollector
from benchmeter.window.control.services import Services
from benchmeter.window.control.session_controller import SessionController
from benchmeter.window.shell.signals import EndSignals
from benchmeter.window.shell.window import Window

__all__ = ["run"]


def run(folders: Folders, *, simulate: str | None = None, arguments: Sequence[str] = ()) -> int:
    """Show the window until it is closed; returns the exit status.

    Args:
        simulate: scenario of the simulated bench to start with.
        arguments: for Qt.
    """
    _log_to_file(folders)
    app = QApplication.instance() or QApplication([sys.argv[0], *arguments])
    app.setApplicationName("benchmeter")
    app.setApplicationVersion(__version__)
    controller = SessionController(Services(folders))
    FaultWatch(controller).install()
    GarbageCollector(controller)
    window = Window(controller)
    if simulate is not None:
        window.ready.connect(lambda: window.start_simulated(simulate))
    EndSignals(app).asked.connect(window.close)
    window.show()
    return app.exec()


class _PrivateLog(RotatingFileHandler):
    """A log that is for this user alone from its first byte."""

    def _open(self) -> TextIOWrapper:
        private_file(Path(self.baseFilename))
        return super()._open()


def _log_to_file(folders: Folders) -> None:
    folders.make()
    handler = _PrivateLog(
        folders.log, maxBytes=1_000_000, backupCount=2, encoding="utf-8", delay=True
    )
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(name)s: %(message)s"))
    logging.getLogger("benchmeter").addHandler(handler)
    logging.getLogger("benchmeter").setLevel(logging.INFO)
