"""The command line as the tests call it: in this process, what it prints caught."""

import contextlib
import io
import json
from dataclasses import dataclass
from typing import Any

from benchmeter.commands.main import run

__all__ = ["Call", "call", "document"]


@dataclass(frozen=True, slots=True)
class Call:
    """How a command ended and what it printed."""

    status: int
    out: str
    err: str


def call(*arguments: str) -> Call:
    """Run a command."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        status = run(arguments)
    return Call(status, out.getvalue(), err.getvalue())


def document(*arguments: str) -> Any:
    """The JSON document of a command that must succeed."""
    done = call(*arguments, "--json")
    assert done.status == 0, done.err
    return json.loads(done.out)
