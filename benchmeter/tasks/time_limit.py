"""Work that may never end, done on a thread that can be left behind."""

import queue
import threading
from collections.abc import Callable
from typing import Generic, TypeVar

__all__ = ["TimeLimit"]

T = TypeVar("T")


class TimeLimit(Generic[T]):
    """Runs one piece of work after the other, each for so long at most. For one thread.

    Work that takes longer is left behind on its thread, and the next is done on a fresh one.

    Args:
        limit_s: far above what the work takes on a busy machine.
    """

    def __init__(self, limit_s: float) -> None:
        self._limit_s = limit_s
        self._worker: _Worker[T] | None = None

    def __call__(self, work: Callable[[], T]) -> T:
        """Its result.

        Raises:
            TimeoutError: it took too long.
            Exception: what the work raised.
        """
        worker = self._worker = self._worker or _Worker()
        worker.tasks.put(work)
        try:
            result, fault = worker.results.get(timeout=self._limit_s)
        except queue.Empty:
            self._worker = None
            worker.leave()
            raise TimeoutError from None
        if fault is not None:
            raise fault
        return result[0]

    def close(self) -> None:
        """End the thread."""
        if self._worker is not None:
            self._worker.tasks.put(None)
            self._worker.thread.join()
            self._worker = None


class _Left(BaseException):
    """Nobody waits for this work any more."""


class _Worker(Generic[T]):
    """A thread that does what is put into `tasks`, until None."""

    def __init__(self) -> None:
        self.tasks: queue.SimpleQueue[Callable[[], T] | None] = queue.SimpleQueue()
        self.results: queue.SimpleQueue[tuple[tuple[T, ...], Exception | None]]
        self.results = queue.SimpleQueue()
        self.thread = threading.Thread(target=self._run, name="decoders", daemon=True)
        self.thread.start()

    def leave(self) -> None:
        """Let it end: a loop of Python at once, a wait in the system when that is over."""
        import ctypes

        number = ctypes.c_ulong(self.thread.ident or 0)
        ctypes.pythonapi.PyThreadState_SetAsyncExc(number, ctypes.py_object(_Left))
        self.tasks.put(None)

    def _run(self) -> None:
        try:
            while (work := self.tasks.get()) is not None:
                try:
                    self.results.put(((work(),), None))
                except Exception as fault:  # noqa: BLE001 - raised again where it is waited for
                    self.results.put(((), fault))
        except _Left:
            return
