"""Memory: of the samples that are held for the plot, and of a session that runs for three days.

Floor: 16 bytes a sample, a time and a value of 64 bits each; and the session's own first part.
"""

import numpy as np
import psutil

from benchmeter.chain.measuring import MeasuringChain
from benchmeter.gui.plot.history import ChannelHistory
from benchmeter.readings.inputs import Chunk
from tests.benchmarks.measure import Row
from tests.benchmarks.scenes import SECOND_NS, bench_of, line_of

__all__ = ["run"]

_MB = 2**20
_PIECE = 1000


def run(quick: bool) -> list[Row]:
    return [*_held(70_000 if quick else 7_000_000), *_three_days(1 if quick else 72)]


def _held(samples: int) -> list[Row]:
    """Filled piece by piece, as a session does."""
    before = _resident()
    histories = [ChannelHistory() for _ in range(2)]
    values = np.random.default_rng(1).normal(300, 0.3, _PIECE)
    for first in range(0, samples, _PIECE):
        times = np.arange(first, first + _PIECE) / 100
        for history in histories:
            history.add(times, values)
    grown = _resident() - before
    count = len(histories) * samples
    asked = sum(history.nbytes for history in histories)
    return [
        Row("memory held for the plot, as counted", asked / count, "B/sample", 1.15, 16.0),
        Row("memory held for the plot, resident", grown / count, "B/sample", 1.15, 16.0),
    ]


def _three_days(hours: int) -> list[Row]:
    """Two probes once a second through the measuring chain; a part of the time warms it up."""
    chain = MeasuringChain(bench_of(2))
    seconds = hours * 3600
    marks = []
    random = np.random.default_rng(2)
    for second in range(seconds):
        swing = 6 * np.sin(second / 600)
        kelvin = np.array((310 + swing, 303)) + random.normal(0, 0.05, 2)
        chain.feed(Chunk(time_ns=second * SECOND_NS, link="probes", data=line_of(kelvin)))
        if second % (seconds // 12) == 0:
            marks.append(_resident())
    # The last sixth against the second: the first one imports and fills its windows.
    return [
        Row("memory of the chain, 72 h against 12 h", marks[-1] / _MB, "MB", 1.02, marks[2] / _MB)
    ]


def _resident() -> int:
    return int(psutil.Process().memory_info().rss)
