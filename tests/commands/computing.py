"""`benchmeter compute` as the tests call it."""

import json
from typing import Any

import pytest

from benchmeter.commands.main import run

__all__ = ["compute", "refused"]


def compute(capsys: pytest.CaptureFixture[str], *arguments: str) -> dict[str, Any]:
    """The JSON document of a computation that must succeed without a word."""
    assert run(["compute", *arguments, "--json"]) == 0
    shown = capsys.readouterr()
    assert shown.err == ""
    found: dict[str, Any] = json.loads(shown.out)
    assert found["source"] and found["assumes"]
    return found


def refused(capsys: pytest.CaptureFixture[str], *arguments: str, status: int = 2) -> str:
    """The one sentence with which a computation is refused."""
    assert run(["compute", *arguments]) == status
    shown = capsys.readouterr()
    assert shown.out == ""
    assert shown.err.count("\n") == 1
    return shown.err
