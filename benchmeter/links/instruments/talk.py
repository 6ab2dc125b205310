"""Talks with instruments, step by step. No input or output, no clock: links ask and tell."""

from collections.abc import Generator
from dataclasses import dataclass

from benchmeter.links.ports.source import SILENCE_NS

__all__ = ["MS", "Ask", "Listening", "Pause", "Say", "Script", "Talk"]

MS = 1_000_000


@dataclass(frozen=True, slots=True)
class Ask:
    """Send, and wait for an answer or the time-out."""

    data: bytes
    timeout_ns: int


@dataclass(frozen=True, slots=True)
class Say:
    """Send."""

    data: bytes


@dataclass(frozen=True, slots=True)
class Pause:
    until_ns: int


Script = Generator[Ask | Say | Pause, bool | None, None]
"""A talk, step by step. An `Ask` yields whether the answer is of use; None after the time-out."""


class Listening:
    """Never says a word: the instrument sends by itself."""

    def due(self, now_ns: int) -> bytes:
        return b""

    def wake_ns(self) -> int | None:
        return None

    def received(self, data: bytes, now_ns: int) -> None:
        pass

    def restarted(self, now_ns: int) -> None:
        pass

    def farewell(self) -> bytes:
        return b""


class Talk:
    """Follows a script: one question at a time."""

    _now_ns: int
    _heard_ns: int
    _steps: Script
    _step: Ask | Say | Pause
    _asked: bool
    _asked_ns: int

    def __init__(self) -> None:
        self.restarted(0)

    def _script(self) -> Script:
        """The talk from the opening of the link on; it has no end."""
        raise NotImplementedError

    def _forget(self) -> None:
        """The link was opened: begin anew."""

    def _said(self, data: bytes) -> None:
        """This is being sent."""

    def _answers(self, data: bytes) -> list[bool]:
        """Whether each answer to the open question that ends in `data` is of use; b"": silence."""
        raise NotImplementedError

    def due(self, now_ns: int) -> bytes:
        self._now_ns = now_ns
        self._notice_silence()
        if self._asked and now_ns >= self.wake_ns():
            self._go_on(None)
        while isinstance(self._step, Pause) and now_ns >= self._step.until_ns:
            self._go_on(None)
        step = self._step
        if self._asked or isinstance(step, Pause):
            return b""
        self._said(step.data)
        if isinstance(step, Ask):
            self._asked, self._asked_ns = True, now_ns
        else:
            self._go_on(None)
        return step.data

    def wake_ns(self) -> int:
        if isinstance(self._step, Pause):
            return self._step.until_ns
        if isinstance(self._step, Ask) and self._asked:
            return self._asked_ns + self._step.timeout_ns
        return self._now_ns

    def received(self, data: bytes, now_ns: int) -> None:
        self._now_ns = now_ns
        self._notice_silence()
        self._heard_ns = now_ns
        for of_use in self._answers(data):
            if self._asked:
                self._go_on(of_use)

    def restarted(self, now_ns: int) -> None:
        self._now_ns = self._heard_ns = now_ns
        self._forget()
        self._steps = self._script()
        self._asked, self._asked_ns = False, 0
        self._step = next(self._steps)

    def farewell(self) -> bytes:
        return b""

    def _notice_silence(self) -> None:
        """Of a link that does not tell it: half as often, so that the decoder has seen no less."""
        while self._now_ns - self._heard_ns >= 2 * SILENCE_NS:
            self._heard_ns += 2 * SILENCE_NS
            self._answers(b"")

    def _go_on(self, answer: bool | None) -> None:
        self._asked = False
        self._step = self._steps.send(answer)
