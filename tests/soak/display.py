"""An X server to look at: the one that there is, or Xvfb."""

import os
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager

__all__ = ["NoDisplay", "display"]

_SCREEN = "1920x1080x24"


class NoDisplay(Exception):
    """There is no X server, and none can be started."""


@contextmanager
def display() -> Iterator[None]:
    """DISPLAY names a server until the end of the block.

    Raises:
        NoDisplay: none is there, and Xvfb is not installed or does not start.
    """
    os.environ["QT_QPA_PLATFORM"] = "xcb"
    if os.environ.get("DISPLAY"):
        yield
        return
    if shutil.which("Xvfb") is None:
        raise NoDisplay("there is no DISPLAY, and Xvfb is not installed")
    read, write = os.pipe()
    # -terminate: it goes with its only client, however that one ends.
    command = ["Xvfb", "-displayfd", str(write), "-screen", "0", _SCREEN]
    command += ["-nolisten", "tcp", "-terminate"]
    with subprocess.Popen(command, pass_fds=(write,), stderr=subprocess.DEVNULL) as server:
        os.close(write)
        with os.fdopen(read) as said:
            number = said.readline().strip()
        if not number:
            raise NoDisplay("Xvfb does not start")
        os.environ["DISPLAY"] = f":{number}"
        try:
            yield
        finally:
            del os.environ["DISPLAY"]
            server.terminate()
