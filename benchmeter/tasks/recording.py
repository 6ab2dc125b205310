"""Record a session without a window: wait for its end, and count what comes."""

import signal
import threading
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from benchmeter.conformity.verdict import Verdict
from benchmeter.errors import Message, StoreFull
from benchmeter.readings.events import EventKind
from benchmeter.session.analyzers.part_check_analyzer import PartFinding
from benchmeter.session.outcome import Outcome
from benchmeter.tasks.running import RunningSession, held_message

__all__ = ["Tally", "asked_to_end", "record_until"]

_SILENT_NS = 10_000_000_000
_TICK_S = 0.02
_LOOK_AT_DISK_S = 0.2


@dataclass
class Tally:
    """What a session has brought so far. `take` runs on the measuring thread.

    Attributes:
        awaited: channels without any reading yet.
        counts, without_value: readings by channel.
        reasons: of those without a value, by channel.
        verdicts: on parts, as they were reached.
        never_opened: why a link could not be opened at all.
    """

    awaited: set[str] = field(default_factory=set)
    counts: Counter[str] = field(default_factory=Counter)
    without_value: Counter[str] = field(default_factory=Counter)
    reasons: dict[str, Counter[str]] = field(default_factory=dict)
    verdicts: list[tuple[str, Verdict]] = field(default_factory=list)
    never_opened: Message | None = None
    _ever_up: set[str] = field(default_factory=set)

    def take(self, outcome: Outcome) -> list[tuple[str, Verdict]]:
        """Count an outcome; returns the verdicts that it brought."""
        for reading in outcome.readings:
            self.awaited.discard(reading.channel)
            self.counts[reading.channel] += 1
            if reading.value is None:
                self.without_value[reading.channel] += 1
                why = self.reasons.setdefault(reading.channel, Counter())
                why[reading.status.value] += 1
        for event in outcome.events:
            if event.kind is EventKind.LINK_UP:
                self._ever_up.add(event.subject)
            elif event.kind is EventKind.LINK_LOST and event.subject not in self._ever_up:
                self.never_opened = event.reason or Message(
                    "events.link_lost", {"link": event.subject}
                )
        found = outcome.of(PartFinding)
        reached = [
            (check.part, check.verdict.verdict)
            for check in (found.stored if found is not None else ())
            if check.verdict is not None
        ]
        self.verdicts += reached
        return reached

    def silent(self, time_ns: int) -> bool:
        """Whether a channel should have sent something by now, and has not."""
        return bool(self._ever_up and self.awaited) and time_ns > _SILENT_NS


@contextmanager
def asked_to_end() -> Iterator[threading.Event]:
    """Set when a signal asks for the end: from before a session begins until its record is closed.

    Runs on the main thread.
    """
    over = threading.Event()
    before = {s: signal.signal(s, lambda *_: over.set()) for s in _ending_signals()}
    try:
        yield over
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


def record_until(
    session: RunningSession,
    length_ns: int | None,
    over: threading.Event,
    given_up: Callable[[], bool],
    tell: Callable[[Message], None],
) -> None:
    """Until the source ends, the time is over, the caller gives up, or the end is asked for.

    Then until the disk has taken all, or the end is asked for once more.

    Args:
        tell: told when readings are held for a disk that does not take them.

    Raises:
        WorldError: the session failed, or readings are lost.
    """
    try:
        session.start()
        while session.running and not over.is_set() and not given_up():
            if length_ns is not None and session.elapsed_ns() >= length_ns:
                break
            over.wait(_TICK_S)
    finally:
        session.stop()
    held = session.held
    if held is not None:
        over.clear()
        tell(held_message("tasks.held", held))
        while session.held is not None and not over.wait(_LOOK_AT_DISK_S):
            pass
        lost = session.give_up()
        if lost is not None:
            code = "tasks.lost" if lost.readings else "tasks.left_open"
            raise StoreFull.of(held_message(code, lost))
    if session.failure is not None:
        raise session.failure


def _ending_signals() -> list[signal.Signals]:
    """Those that ask for the end; a closed terminal, too, unless it was to be ignored (nohup)."""
    signals = [signal.SIGINT, signal.SIGTERM]
    if hasattr(signal, "SIGHUP") and signal.getsignal(signal.SIGHUP) is not signal.SIG_IGN:
        signals.append(signal.SIGHUP)
    return signals
