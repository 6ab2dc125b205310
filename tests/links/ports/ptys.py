"""A serial line of the operating system's own making, and someone who listens to a source."""

import os
import select
import threading
import time
import tty
from collections.abc import Callable
from pathlib import Path

from benchmeter.links.ports.source import Source
from benchmeter.readings.inputs import Chunk, Input, LinkChange


class PtyInstrument:
    """The instrument's end of a pty; `path` is a link that follows it, like a name by udev."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.plug()

    def plug(self) -> None:
        self.master, slave = os.openpty()
        tty.setraw(slave)  # a pty echoes until someone opens it as a serial port
        self.device = os.ttyname(slave)
        self.slave = slave
        self.path.unlink(missing_ok=True)
        self.path.symlink_to(self.device)

    def unplug(self) -> None:
        """Hang up: what the kernel does when an adapter is pulled out."""
        os.close(self.master)
        os.close(self.slave)
        self.path.unlink(missing_ok=True)

    def send(self, data: bytes) -> None:
        while data:
            data = data[os.write(self.master, data) :]

    def hear(self, count: int) -> bytes:
        """The next bytes that were sent to the instrument; waits for them."""
        data = b""
        while len(data) < count:
            assert select.select([self.master], [], [], 5)[0], f"heard only {data!r}"
            data += os.read(self.master, count - len(data))
        return data


class Listener:
    """Consumes a source on a thread of its own and keeps what came."""

    def __init__(self, source: Source) -> None:
        self.source = source
        self.items: list[Input] = []
        self.hold = threading.Event()
        self.hold.set()
        self._thread = threading.Thread(target=self._consume, name="listener")
        self._thread.start()

    def __enter__(self) -> "Listener":
        return self

    def __exit__(self, *_: object) -> None:
        self.hold.set()
        self.source.close()
        self._thread.join(5)

    @property
    def ended(self) -> bool:
        return not self._thread.is_alive()

    def data(self, link: str, *, sent: bool = False) -> bytes:
        chunks = [i for i in tuple(self.items) if isinstance(i, Chunk) and i.link == link]
        return b"".join(c.data for c in chunks if c.sent is sent)

    def silences(self, link: str) -> list[Chunk]:
        chunks = [i for i in tuple(self.items) if isinstance(i, Chunk) and i.link == link]
        return [c for c in chunks if not c.data]

    def changes(self) -> list[LinkChange]:
        return [i for i in tuple(self.items) if isinstance(i, LinkChange)]

    def wait_for(self, condition: Callable[[], object], timeout_s: float = 5) -> None:
        until = time.monotonic() + timeout_s
        while not condition():
            assert time.monotonic() < until, f"waited in vain; came: {self.items[-20:]}"
            time.sleep(0.005)

    def wait_up(self, times: int = 1) -> None:
        self.wait_for(lambda: sum(c.up for c in self.changes()) >= times)

    def wait_down(self, times: int = 1) -> None:
        self.wait_for(lambda: sum(not c.up for c in self.changes()) >= times)

    def _consume(self) -> None:
        for item in self.source.inputs():
            self.hold.wait()
            self.items.append(item)
