"""Memory: of the samples that are held for the plot, and of a session that runs for three days.

Floor: 16 bytes a sample, a time and a value of 64 bits each; and the session's own first part.
"""

import gc

import numpy as np
import psutil

from benchmeter.checking.commands import PowerRestored
from benchmeter.readings.inputs import Chunk
from benchmeter.readings.status import Status
from benchmeter.session.engine import MeasuringChain
from benchmeter.session.outcome import Outcome
from benchmeter.window.control.session_model import BenchView
from benchmeter.window.plot.history import ChannelHistory
from tests.benchmarks.measure import Row
from tests.benchmarks.scenes import SECOND_NS, bench_of, line_of
from tests.fakes.outcomes import recovery_in
from tests.fakes.readings import reading_in_si

__all__ = ["run"]

_MB = 2**20
_PIECE = 1000


def run(quick: bool) -> list[Row]:
    return [
        *_held(70_000 if quick else 7_000_000),
        _window(10_000 if quick else 2_000_000),
        *_three_days(1 if quick else 72),
    ]


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


def _window(samples: int) -> Row:
    """What the window holds of a session in all: its view, and the plot."""
    view, history = BenchView(bench_of(2)), ChannelHistory()
    gc.collect()
    before = _resident()
    for first in range(0, samples, _PIECE):
        view.take(
            Outcome(n, readings=(reading_in_si("probe 0", n, 300.0 + n % 7, Status.OK, 0.01, ""),))
            for n in range(first, first + _PIECE)
        )
        times, values = view.traces["probe 0"].taken()
        history.add(np.asarray(times), np.asarray(values))
    grown = (_resident() - before) / samples
    return Row("memory of the window's view and plot, resident", grown, "B/sample", 1.15, 16.0)


def _three_days(hours: int) -> list[Row]:
    """Two probes once a second through the measuring chain and the view: a start each half day.

    A sixth of the time warms it up. The plot, which keeps its 16 bytes a sample, is not in it.
    """
    chain, view = MeasuringChain(bench_of(2)), BenchView(bench_of(2))
    seconds = hours * 3600
    marks: list[int] = []
    fits = 0
    random = np.random.default_rng(2)
    for second in range(seconds):
        running_s = second % 43_200 - 1800
        rise = 0.0 if running_s < 0 else 12 * (1 - np.exp(-running_s / 150))
        kelvin = np.array((303.4 + rise, 303.1)) + random.normal(0, 0.05, 2)
        time_ns = second * SECOND_NS
        if running_s == -120:
            chain.feed(PowerRestored(time_ns=time_ns))
        outcome = chain.feed(Chunk(time_ns=time_ns, link="probes", data=line_of(kelvin)))
        view.take([outcome])
        for trace in view.traces.values():
            trace.taken()
        recovery = recovery_in(outcome)
        fits += recovery is not None and recovery.fit is not None
        if second % (seconds // 12) == 0:
            marks.append(_resident())
    assert fits, "no recovery was watched"
    # The last sixth against the second: the first one imports and fills its windows.
    return [
        Row(
            "memory of chain and view, 72 h against 12 h",
            marks[-1] / _MB, "MB", 1.02, marks[2] / _MB,
        )
    ]  # fmt: skip


def _resident() -> int:
    return int(psutil.Process().memory_info().rss)
