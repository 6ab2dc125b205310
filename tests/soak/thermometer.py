"""A thermometer on a pty, for connecting; its plug can be pulled."""

import contextlib
import os
import random
import threading
from pathlib import Path

from tests.links.ports.ptys import PtyInstrument

__all__ = ["Thermometer"]

_EVERY_S = 0.5


class Thermometer:
    """Sends two temperatures twice a second, whether somebody listens or not."""

    profile = "text-two-probes"

    def __init__(self, path: Path, chance: random.Random) -> None:
        self._line = PtyInstrument(path)
        self._chance = chance
        self._plugged = True
        self._lock = threading.Lock()
        self._over = threading.Event()
        self._thread = threading.Thread(target=self._run, name="thermometer")
        self._thread.start()

    @property
    def path(self) -> Path:
        return self._line.path

    def pull_or_plug(self) -> None:
        """Pull the plug, or put it in again."""
        with self._lock:
            if self._plugged:
                self._line.unplug()
            else:
                self._line.plug()
            self._plugged = not self._plugged

    def close(self) -> None:
        self._over.set()
        self._thread.join()
        if self._plugged:
            self._line.unplug()

    def _run(self) -> None:
        while not self._over.wait(_EVERY_S):
            celsius = 20 + 15 * self._chance.random()
            with self._lock:
                if not self._plugged:
                    continue
                os.set_blocking(self._line.master, False)
                with contextlib.suppress(BlockingIOError):  # nobody listens and the line is full
                    os.write(self._line.master, f"T1={celsius:.1f}C T2=20.0C\r\n".encode())
