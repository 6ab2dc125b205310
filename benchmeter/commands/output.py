"""Standard output as a command finds it: closed, full, or of few letters."""

import codecs
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from benchmeter.errors import WorldError
from benchmeter.words.presentation import Presentation

__all__ = ["knows_every_letter", "telling_of_output"]


@contextmanager
def telling_of_output(say: Presentation) -> Iterator[None]:
    """Run a command inside; what standard output lacks of a letter is written as its code.

    Raises:
        WorldError: the output cannot be written.
    """
    if sys.stdout is None:  # closed by whoever called: nothing is wanted
        sys.stdout = Path(os.devnull).open("w")  # noqa: SIM115 - for as long as the process
    coded: set[str] = set()

    def write_code(error: UnicodeError) -> tuple[str | bytes, int]:
        if isinstance(error, UnicodeEncodeError):
            coded.update(error.object[error.start : error.end])
        return codecs.backslashreplace_errors(error)

    if not knows_every_letter():
        codecs.register_error("benchmeter.code", write_code)
        sys.stdout.reconfigure(errors="benchmeter.code")  # type: ignore[union-attr]
    try:
        try:
            yield
        finally:
            sys.stdout.flush()
    except OSError as error:
        if error.filename is not None:  # of another file
            raise
        _drop_output()
        if isinstance(error, BrokenPipeError):
            raise WorldError("commands.output_closed") from error
        raise WorldError("commands.output_not_written", why=error.strerror or "") from error
    if coded:
        signs = " ".join(sorted(coded)).encode("ascii", "backslashreplace").decode()
        with suppress(OSError):
            print(say.tell(WorldError("commands.letters_coded", signs=signs)), file=sys.stderr)


def knows_every_letter() -> bool:
    """Whether standard output takes every letter."""
    return (getattr(sys.stdout, "encoding", None) or "utf-8").lower().startswith("utf")


def _drop_output() -> None:
    """Send what is still to be written nowhere, so that the end of the process finds no fault."""
    with suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)
