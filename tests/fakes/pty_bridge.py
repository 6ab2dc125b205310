"""A virtual instrument on a real line of the operating system, in real time."""

import os
import select
import threading
import time
import tty
from collections.abc import Callable
from types import TracebackType

from benchmeter.simulator.simulated_line import VirtualInstrument


class PtyBridge:
    """Runs `instrument` at the far end of a pty; open `path` as a serial port.

    Args:
        byte_ns: time of one byte on the line; 0: as fast as the pty goes.
        before_each: called with the time in ns before the instrument is looked at, e.g. to move
            the leads of its world.
    """

    def __init__(
        self,
        instrument: VirtualInstrument,
        byte_ns: int = 0,
        before_each: Callable[[int], None] | None = None,
    ) -> None:
        self._instrument = instrument
        self._byte_s = byte_ns / 1e9
        self._before_each = before_each
        self._master, self._slave = os.openpty()
        tty.setraw(self._slave)  # a pty echoes until someone opens it as a serial port
        self.path = os.ttyname(self._slave)
        self._stop, self._stopper = os.pipe()
        self._thread = threading.Thread(target=self._run, name="pty bridge")

    def __enter__(self) -> "PtyBridge":
        self._thread.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        value: BaseException | None,
        tb: TracebackType | None,
    ) -> None:
        os.write(self._stopper, b".")
        self._thread.join(5)
        for handle in (self._master, self._slave, self._stop, self._stopper):
            os.close(handle)

    def _run(self) -> None:
        started_ns = time.monotonic_ns()
        while True:
            now_ns = time.monotonic_ns() - started_ns
            if self._before_each:
                self._before_each(now_ns)
            for byte in self._instrument.speak(now_ns):
                if self._byte_s:
                    time.sleep(self._byte_s)
                os.write(self._master, bytes([byte]))
            wake_ns = self._instrument.wake_ns()
            wait_s = 0.05 if wake_ns is None else min(0.05, max(0.001, (wake_ns - now_ns) / 1e9))
            readable, _, _ = select.select([self._master, self._stop], [], [], wait_s)
            if self._stop in readable:
                return
            if self._master in readable:
                heard = os.read(self._master, 1024)
                self._instrument.hear(heard, time.monotonic_ns() - started_ns)
