"""The recorder: takes what the bench reports and has it on disk within a second."""

import logging
import threading
import time
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from uuid import UUID

from sqlalchemy import Engine

from benchmeter.checking.check import PartCheck
from benchmeter.cooling.recovery import Recovery
from benchmeter.errors import StoreError, StoreFull
from benchmeter.readings.events import Event
from benchmeter.readings.inputs import Input
from benchmeter.readings.reading import Reading
from benchmeter.record.ledger import Entry, Ledger, end_session
from benchmeter.record.records import SessionState
from benchmeter.record.store_faults import fault_of_ours, telling, vanished

__all__ = ["Held", "Recorder", "TroubleListener"]

TroubleListener = Callable[[StoreError | None], None]
"""Told on the writer thread: the disk does not take the readings (they are kept in memory and tried
again each second); None: it takes them again."""

_COMMIT_EVERY_S = 0.5
_RETRY_EVERY_S = 1.0
_CHORE_RETRY_S = 10.0
_MOST_IN_A_COMMIT = 5_000
_MOST_WAITING = 1_000_000  # hours of a full bench on a dead disk

_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Held:
    """What waits in memory for a disk that does not take it.

    Attributes:
        readings: how many; 0 where the session is only to be closed.
        since_ns, until_ns: session time of the first and the last input.
    """

    readings: int
    since_ns: int
    until_ns: int


class Recorder:
    """Writes one session on a thread of its own.

    What was taken is on disk half a second later, a verdict at once. Nothing is dropped while
    the disk refuses: it waits in memory, in order.
    """

    def __init__(
        self,
        engine: Engine,
        path: Path,
        session: UUID,
        ledger: Ledger,
        on_trouble: TroubleListener | None,
        on_closed: Callable[[UUID], None],
    ) -> None:
        self._engine = engine
        self._path = path
        self._file = _identity(path)
        self._session = session
        self._ledger = ledger
        self._on_trouble = on_trouble
        self._on_closed = on_closed
        self._change = threading.Condition()  # guards all below
        self._waiting: deque[Entry] = deque()
        self._taken = 0
        self._written = 0
        self._due = 0.0  # when the next commit should begin, if anything waits
        self._trouble: StoreError | None = None
        self._failures = 0
        self._chores_from = 0.0
        self._closing = False
        self._state_at_end: SessionState | None = None
        self._closed = False
        self._thread = threading.Thread(target=self._write, name="record writer", daemon=True)
        self._thread.start()

    @property
    def session_id(self) -> str:
        """The session's UUID as text."""
        return str(self._session)

    @property
    def held(self) -> Held | None:
        """What the disk does not take; None where it takes all."""
        with self._change:
            if self._closed or (self._trouble is None and not self._closing):
                return None
            return self._what_waits()

    @property
    def trouble(self) -> StoreError | None:
        """Why the disk does not take the readings now."""
        with self._change:
            return self._trouble

    def take(
        self,
        inp: Input,
        readings: tuple[Reading, ...] = (),
        events: tuple[Event, ...] = (),
        verdicts: tuple[PartCheck | Recovery, ...] = (),
    ) -> None:
        """Take one input of the stream with what it led to. Any thread; the order is kept.

        Waits only when a million inputs are waiting for a slow disk.

        Raises:
            StoreError: a million are waiting, and the disk does not take them. This one is not
                taken; those that wait are still tried.
        """
        entry = Entry.of(self._session, inp, readings, events, verdicts)
        with self._change:
            while len(self._waiting) >= _MOST_WAITING and not self._closing:
                if self._trouble is not None:
                    held = self._what_waits().readings
                    raise StoreFull("record.memory_full", count=held, file=self._path)
                self._change.wait()
            if self._closing:
                raise RuntimeError("the recorder has been closed")
            now = time.monotonic()
            due = now if verdicts else now + _COMMIT_EVERY_S
            if not self._waiting or (due < self._due and self._trouble is None):
                self._due = due
                self._change.notify_all()
            self._waiting.append(entry)
            self._taken += 1

    def flush(self) -> None:
        """Wait until all that was taken before is on disk.

        Raises:
            StoreError: the disk does not take it now; it stays in memory and is tried again.
        """
        with self._change:
            target = self._taken
            self._until(lambda: self._written >= target)

    def close(self, ended: bool = True) -> None:
        """Write what is left, seal the session and stop. May be called again.

        Args:
            ended: False leaves the session open, to be offered as cut off at the next start.

        Raises:
            StoreError: the disk does not take it now; it stays in memory and is tried again as
                long as the program runs.
        """
        with self._change:
            if not self._closing:
                self._closing = True
                self._state_at_end = SessionState.ENDED if ended else None
            self._until(lambda: self._closed)
        self._thread.join()
        self._on_closed(self._session)

    def give_up(self) -> Held | None:
        """Stop without what the disk does not take: that is lost, and the session is left open.

        Returns:
            what is lost; None where the disk took all in the end.
        """
        with self._change:
            held = None if self._closed else self._what_waits()
            self._closing = self._closed = True
            self._change.notify_all()
        self._thread.join()
        self._on_closed(self._session)
        with self._change:  # the disk may have taken some meanwhile
            return held and self._what_waits()

    def _what_waits(self) -> Held:
        times = [entry.time_ns for entry in self._waiting]
        readings = sum(len(entry.readings) for entry in self._waiting)
        return Held(readings, min(times, default=0), max(times, default=0))

    def _until(self, done: Callable[[], bool]) -> None:
        """Hurry the writer and wait; raise if it fails meanwhile. With the condition held."""
        failures = self._failures
        self._due = time.monotonic()
        self._change.notify_all()
        while not done():
            self._change.wait()
            if self._failures > failures and self._trouble is not None and not done():
                raise self._trouble

    # On the writer thread.

    def _write(self) -> None:
        while (work := self._wait_for_work()) is not None:
            batch, closing = work
            if batch:
                self._attempt(lambda batch=batch: self._append(batch))  # type: ignore[misc]
            elif closing:
                self._attempt(self._end)
            else:
                self._do_chore()

    def _wait_for_work(self) -> tuple[list[Entry], bool] | None:
        """What to write, and whether it is time to end; neither: time for a chore; None: closed."""
        with self._change:
            while not self._closed:
                now = time.monotonic()
                if now >= self._due and (self._waiting or self._closing):
                    # What is taken while this is being written makes its own due time.
                    self._due = now if self._closing else now + _COMMIT_EVERY_S
                    return list(islice(self._waiting, _MOST_IN_A_COMMIT)), self._closing
                wakes = [self._due] if self._waiting or self._closing else []
                if self._ledger.has_chore():
                    if now >= self._chores_from:
                        return [], False
                    wakes.append(self._chores_from)
                self._change.wait(min(wakes) - now if wakes else None)
            return None

    def _attempt(self, work: Callable[[], None]) -> None:
        try:
            with telling(self._path):
                if _identity(self._path) != self._file:
                    raise vanished(self._path)
                work()
        except StoreError as error:
            self._fail(error)
        except Exception as error:  # noqa: BLE001  a dead writer would lose readings unseen
            _log.exception("the record writer failed")
            self._fail(fault_of_ours(self._path, repr(error)))
        else:
            self._succeed()

    def _append(self, batch: list[Entry]) -> None:
        self._ledger.append(batch)
        with self._change:
            for _ in batch:
                self._waiting.popleft()
            self._written += len(batch)
            if len(batch) == _MOST_IN_A_COMMIT:
                self._due = time.monotonic()

    def _end(self) -> None:
        if self._state_at_end is not None:
            end_session(self._engine, self._session, self._state_at_end)
        with self._change:
            self._closed = True

    def _do_chore(self) -> None:
        try:
            with telling(self._path):
                self._ledger.do_chore()
        except Exception:  # noqa: BLE001  the small rows hold all that a block would
            _log.warning("sealing is put off", exc_info=True)
            self._chores_from = time.monotonic() + _CHORE_RETRY_S

    def _fail(self, error: StoreError) -> None:
        if not isinstance(error, StoreFull):
            self._engine.dispose()  # the drive may come back, its old connection does not
        with self._change:
            is_news = type(self._trouble) is not type(error)
            self._trouble = error
            self._failures += 1
            self._due = time.monotonic() + _RETRY_EVERY_S
            self._change.notify_all()
        if is_news:
            _log.error("the record is not written: %s (%s)", error, error.detail)
            self._tell(error)

    def _succeed(self) -> None:
        with self._change:
            was, self._trouble = self._trouble, None
            self._change.notify_all()
        if was is not None:
            self._tell(None)

    def _tell(self, trouble: StoreError | None) -> None:
        if self._on_trouble is None:
            return
        try:
            self._on_trouble(trouble)
        except Exception:  # noqa: BLE001  nobody to listen is no reason to stop writing
            _log.exception("nobody could be told of the record's trouble")


def _identity(path: Path) -> tuple[int, int] | None:
    """Which file it is: one that was moved away still takes writes, and loses them."""
    try:
        found = path.stat()
    except FileNotFoundError:
        return None
    return found.st_dev, found.st_ino
