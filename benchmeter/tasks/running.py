"""A session in progress: a source, the chain that it feeds, and the record."""

import queue
import threading
from collections.abc import Callable, Iterator
from typing import Protocol

import msgspec

from benchmeter.checking.commands import Command
from benchmeter.errors import Message, StoreError, WorldError
from benchmeter.links.instruments.setup import BenchSetup
from benchmeter.links.ports.source import Hands, Source
from benchmeter.readings.inputs import Ended, Input
from benchmeter.readings.reading import Garbled, Indication
from benchmeter.record.recorder import Held, Recorder
from benchmeter.session.acquisition.link_decoder import run_here
from benchmeter.session.engine import MeasuringChain
from benchmeter.session.outcome import Notice, Outcome, Severity
from benchmeter.tasks.time_limit import TimeLimit

__all__ = ["Publish", "ReplayControl", "RunningSession", "held_message"]

_LONGEST_DECODING_S = 2.0  # some 50 µs are usual

Publish = Callable[[Outcome], None]
"""Takes each outcome; called on the measuring thread, must not wait. What concerns the record or a
command that is refused is told on the thread that found it out."""


class ReplayControl(Protocol):
    """What can be done with a replay, from any thread."""

    @property
    def pace(self) -> float | None: ...
    @property
    def paused(self) -> bool: ...
    @property
    def position_ns(self) -> int: ...
    @property
    def length_ns(self) -> int: ...
    def set_pace(self, pace: float | None) -> None: ...
    def pause(self) -> None: ...
    def resume(self) -> None: ...
    def step(self) -> None: ...
    def seek(self, time_ns: int) -> bool: ...


class RunningSession:
    """One session, live, simulated or replayed: they differ in their source alone.

    Args:
        setup: what is measured with.
        source: where the stream comes from.
        publish: takes each outcome, on the measuring thread.
        recorder: keeps stream and outcomes; None for a replay, which is in the record already.
        hands: at a simulated bench.
        replay: of a replay.
        session_id: of the record.
    """

    def __init__(
        self,
        setup: BenchSetup,
        source: Source,
        publish: Publish,
        *,
        session_id: str,
        recorder: Recorder | None = None,
        hands: Hands | None = None,
        replay: ReplayControl | None = None,
    ) -> None:
        self.setup = setup
        self.session_id = session_id
        self.hands = hands
        self.replay = replay
        self.failure: BaseException | None = None
        self._source = source
        self._publish = publish
        self._recorder = recorder
        self._limit: TimeLimit[list[Indication | Garbled]] | None = None
        if recorder is not None:
            self._limit = TimeLimit(_LONGEST_DECODING_S)
        self._chain = MeasuringChain(setup, run=self._limit or run_here)
        self._commands: queue.SimpleQueue[Command] = queue.SimpleQueue()
        self._taking = threading.Lock()  # guards the one below
        self._over = False  # no command is taken any more
        self._last_ns = 0
        self._thread = threading.Thread(target=self._run, name="measuring")

    @property
    def running(self) -> bool:
        return self._thread.is_alive()

    def elapsed_ns(self) -> int:
        """Session time of the last input."""
        return self._last_ns

    def start(self) -> None:
        self._thread.start()

    def send(self, command: Command) -> None:
        """Let the technician do something; stamped when it is taken in. Any thread.

        Refused with a notice: a command to a replay, which shows what was done then, and one that
        comes after the session's end.
        """
        if self._recorder is None:
            self._tell(Severity.INFO, Message("tasks.replay_takes_no_command"))
            return
        with self._taking:
            if not self._over:
                self._commands.put(_storable(command))
                return
        self._tell_too_late()

    def stop(self) -> None:
        """End the session and close its record; waits for that, about a second at most."""
        self._source.close()
        if self._thread.is_alive():
            self._thread.join()

    def wait(self, timeout_s: float | None = None) -> bool:
        """Wait for the source to end; whether it has."""
        self._thread.join(timeout_s)
        return not self._thread.is_alive()

    @property
    def held(self) -> Held | None:
        """What waits in memory for a disk that does not take it; None where nothing does."""
        return None if self._recorder is None else self._recorder.held

    def give_up(self) -> Held | None:
        """Leave the record without what the disk does not take. After the end.

        Returns:
            what is lost; None where the disk took all in the end.
        """
        return None if self._recorder is None else self._recorder.give_up()

    def store_trouble(self, error: StoreError | None) -> None:
        """The recorder cannot write (or can again); called on the writer thread."""
        if error is None:
            self._tell(Severity.INFO, Message("tasks.record_written_again"))
        else:
            self._tell(Severity.ERROR, error.message)

    def _tell(self, severity: Severity, message: Message) -> None:
        self._publish(Outcome(self._last_ns, notices=(Notice(severity, message),)))

    # --- on the measuring thread ------------------------------------------------------------

    def _run(self) -> None:
        try:
            for item in self._inputs():
                self._take(item)
        except WorldError as error:
            self.failure = error
            self._tell(Severity.ERROR, error.message)
        except BaseException as fault:
            self.failure = fault
            self._tell(Severity.ERROR, Message("tasks.measuring_stopped"))
            raise
        finally:
            self._source.close()
            self._take_no_more()
            self._close_record()
            if self._limit is not None:
                self._limit.close()
            if not self._commands.empty():  # a fault came before them
                self._tell_too_late()

    def _close_record(self) -> None:
        """What the disk refuses stays in memory, and is tried again each second."""
        if self._recorder is None:
            return
        try:
            self._recorder.close(ended=self.failure is None)
        except StoreError as error:
            self.store_trouble(error)

    def _inputs(self) -> Iterator[Input]:
        """The source's stream with the commands put in between, at the time of the last input."""
        for item in self._source.inputs():
            yield from self._waiting_commands()
            yield item
        self._take_no_more()
        yield from self._waiting_commands()
        if self._recorder is not None:
            yield Ended(time_ns=self._last_ns)

    def _take_no_more(self) -> None:
        with self._taking:
            self._over = True

    def _tell_too_late(self) -> None:
        self._tell(Severity.ERROR, Message("tasks.session_over"))

    def _waiting_commands(self) -> Iterator[Command]:
        while not self._commands.empty():
            yield msgspec.structs.replace(self._commands.get(), time_ns=self._last_ns)

    def _take(self, item: Input) -> None:
        self._last_ns = max(self._last_ns, item.time_ns)
        try:
            outcome = self._chain.feed(item)
        except BaseException:
            if self._recorder is not None:
                self._recorder.take(item)
            raise
        if self._recorder is not None:
            self._recorder.take(item, outcome.readings, outcome.events, outcome.verdicts)
        self._publish(outcome)


def held_message(code: str, held: Held) -> Message:
    """A message on readings that the disk does not take."""
    since, until = held.since_ns / 1e9, held.until_ns / 1e9
    return Message(code, {"count": held.readings, "since": since, "until": until})


def _storable(command: Command) -> Command:
    """Halves of characters, which a field of text lets through, stand as “\ufffd” in the record."""
    texts = {
        name: value.encode("utf-16", "surrogatepass").decode("utf-16", "replace")
        for name, value in msgspec.structs.asdict(command).items()
        if type(value) is str  # a word of a program cannot hold one
    }
    return msgspec.structs.replace(command, **texts)
