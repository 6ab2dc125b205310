"""What must stay bounded, in seconds of the processor: long texts, long lists, long sessions.

No floor: the goals are our own, ten times and more of what it takes, and find what grows with the
square of its input.
"""

import contextlib
import io
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from benchmeter.checking.commands import Mark
from benchmeter.commands.main import run as command
from benchmeter.cooling.watch import RecoveryWatch
from benchmeter.errors import DataFileError, InputError
from benchmeter.links.ports.recorded import RecordedSource
from tests.benchmarks.measure import Row
from tests.hostile.long_text import long_texts
from tests.hostile.parts import PARTS
from tests.hostile.writing import WRITINGS, Writing

__all__ = ["run"]

_S = 1_000_000_000
_OF_THE_WINDOW = {"command line", "scanned code"}


def run(quick: bool) -> list[Row]:
    """The rows."""
    readers = [w for w in (*WRITINGS, *PARTS) if w.name not in _OF_THE_WINDOW]
    longest = max(_longest(writing) for writing in (readers[:1] if quick else readers))
    rows = 100 if quick else 10_000
    with tempfile.TemporaryDirectory() as folder:
        lot = Path(folder) / "lot.csv"
        lot.write_text(
            "part,HERM,FAN\n" + "".join(f"{i},45.{i % 100:02},5.02\n" for i in range(rows))
        )
        many = _seconds(lambda: _judge(lot))
        lot.write_text("part,HERM,FAN\n" + '"a,45,5\n' * (rows // 2))
        quoted = _seconds(lambda: _judge(lot))
    source = RecordedSource([Mark(time_ns=_S, text="end")], pace=1)
    waited = _seconds(lambda: list(source.inputs()))
    return [
        Row("50,000 signs to any reader, the slowest", longest, "s", 2.0),
        Row("a lot of 10,000 rows at the command line", many, "s", 5.0),
        Row("5,000 quotation marks that are never closed", quoted, "s", 5.0),
        Row(
            "a second of recovery, followed for an hour", _watched(60 if quick else 3600), "s", 0.02
        ),
        Row("a second of replay, waited for", waited, "s", 0.1),
    ]


def _seconds(work: Callable[[], object]) -> float:
    began = time.thread_time()
    work()
    return time.thread_time() - began


def _longest(writing: Writing) -> float:
    def read(text: str) -> None:
        with contextlib.suppress(InputError, DataFileError, AssertionError):
            writing.read(text)

    return max(_seconds(lambda text=text: read(text)) for text in long_texts(writing))


def _judge(lot: Path) -> None:
    nowhere = io.StringIO()
    with contextlib.redirect_stdout(nowhere), contextlib.redirect_stderr(nowhere):
        command(["judge", "45/5 µF ±6 %", "--lot", str(lot), "--accuracy", "1.2 % + 2 counts"])


def _watched(seconds: int) -> float:
    watch = RecoveryWatch()

    def follow() -> None:
        for number in range(2 * seconds):
            warmth = 15 * (1 - 2 ** (-max(0, number - 120) / 240))
            watch.discharge(number * _S // 2, 290 + warmth + number % 3 / 20)

    return _seconds(follow) / seconds
