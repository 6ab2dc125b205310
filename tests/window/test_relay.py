"""The relay: nothing is lost or put out of order, and the GUI is called once until it answers."""

import threading
import time

import pytest
from PySide6.QtCore import QEventLoop, QTimer
from pytestqt.qtbot import QtBot

from benchmeter.session.outcome import Outcome
from benchmeter.window.control.relay import OutcomeRelay

pytestmark = pytest.mark.gui


class _Taker:
    """Takes batches, each in so many seconds."""

    def __init__(self, relay: OutcomeRelay, lasting_s: float = 0.0) -> None:
        self.lasting_s = lasting_s
        self.taken: list[int] = []
        self.batches: list[tuple[float, float]] = []  # begin and end
        relay.batch.connect(self.take)

    def take(self, outcomes: list[Outcome]) -> None:
        begin = time.monotonic()
        self.taken += [outcome.time_ns for outcome in outcomes]
        time.sleep(self.lasting_s)
        self.batches.append((begin, time.monotonic()))


def _spin(seconds: float) -> None:
    loop = QEventLoop()
    QTimer.singleShot(int(seconds * 1000), loop.quit)
    loop.exec()


def _publish(relay: OutcomeRelay, first: int, last: int, pause_s: float = 0.0) -> threading.Thread:
    def work() -> None:
        for number in range(first, last):
            relay.publish(Outcome(number))
            time.sleep(pause_s)

    thread = threading.Thread(target=work)
    thread.start()
    return thread


def test_all_that_several_threads_publish_comes_once(qtbot: QtBot) -> None:
    relay = OutcomeRelay()
    taker = _Taker(relay)
    relay.start()
    threads = [_publish(relay, n * 10_000, n * 10_000 + 5_000) for n in range(3)]
    qtbot.waitUntil(lambda: len(taker.taken) == 15_000, timeout=10_000)
    for thread in threads:
        thread.join()
    _spin(0.05)
    assert len(taker.taken) == 15_000
    for n in range(3):  # each thread's own order is kept
        own = [t for t in taker.taken if t // 10_000 == n]
        assert own == list(range(n * 10_000, n * 10_000 + 5_000))


def test_what_came_before_the_start_is_handed_over_after_it(qtbot: QtBot) -> None:
    relay = OutcomeRelay()
    taker = _Taker(relay)
    _publish(relay, 0, 3).join()
    _spin(0.03)
    assert taker.taken == []
    relay.start()
    qtbot.waitUntil(lambda: taker.taken == [0, 1, 2])


def test_it_works_at_most_half_of_the_time(qtbot: QtBot) -> None:
    relay = OutcomeRelay()
    taker = _Taker(relay, lasting_s=0.03)
    relay.start()
    thread = _publish(relay, 0, 400, pause_s=0.001)
    qtbot.waitUntil(lambda: len(taker.taken) == 400, timeout=10_000)
    thread.join()
    rests = [b[0] - a[1] for a, b in zip(taker.batches, taker.batches[1:], strict=False)]
    assert len(rests) > 3 and min(rests) > 0.027  # a timer may be a millisecond early or two


def test_the_stop_hands_over_the_rest_and_then_nothing(qtbot: QtBot) -> None:
    relay = OutcomeRelay()
    taker = _Taker(relay)
    relay.start()
    _publish(relay, 0, 4000).join()
    relay.stop()
    assert taker.taken == list(range(4000))
    _publish(relay, 4000, 4010).join()
    _spin(0.05)
    assert len(taker.taken) == 4000
