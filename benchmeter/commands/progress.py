"""How far a long command has come: a line on a terminal that is written over."""

import sys
import time

from benchmeter.commands.terminal import line_anew
from benchmeter.words.presentation import Presentation

__all__ = ["RowProgress"]

_EVERY_S = 0.2


class RowProgress:
    """Tells on standard error how many rows are done, where a person may be looking."""

    def __init__(self, say: Presentation) -> None:
        self._say = say
        self._seen = sys.stderr.isatty()
        self._next = time.monotonic() + _EVERY_S
        self._width = 0

    def told(self, rows: int, share: float) -> None:
        """Called often; it writes now and then."""
        if self._seen and time.monotonic() >= self._next:
            self._next = time.monotonic() + _EVERY_S
            percent = self._say.amount(f"{share * 100:.0f}", "%")
            self._write(self._say.text("commands.rows_done", rows=rows, percent=percent))

    def clear(self) -> None:
        """Take the line away before something else is written."""
        if self._width:
            self._write("")
            self._write("")

    def _write(self, line: str) -> None:
        line_anew(sys.stderr)
        sys.stderr.write(line.ljust(self._width))
        sys.stderr.flush()
        self._width = len(line)
