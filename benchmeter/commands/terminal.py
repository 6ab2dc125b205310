"""What is printed reaches a terminal here, and only as plain text."""

import sys
from typing import Any, TextIO

from benchmeter.words.plain_text import plain

__all__ = ["line_anew", "print_plainly"]


class _Plain:
    """A stream of text that shows no sign that steers, whatever is written to it."""

    def __init__(self, stream: TextIO) -> None:
        self.bare = stream

    def write(self, text: str) -> int:
        return self.bare.write(plain(text))

    def __getattr__(self, name: str) -> Any:
        return getattr(self.bare, name)


def line_anew(stream: TextIO) -> None:
    """Go back to the beginning of the line: the one sign that steers a terminal and is ours."""
    (stream.bare if isinstance(stream, _Plain) else stream).write("\r")


def print_plainly() -> None:
    """From now on standard output and standard error take plain text only; again is harmless."""
    for name in ("stdout", "stderr"):
        stream = getattr(sys, name)
        if stream is not None and not isinstance(stream, _Plain):  # None: closed by the caller
            setattr(sys, name, _Plain(stream))
