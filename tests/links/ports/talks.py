"""Conversations for tests of the line itself."""


class Asking:
    """Asks the same question again as soon as an answer is complete, or after a second."""

    def __init__(self, question: bytes, *, ends: bytes = b"", length: int = 0) -> None:
        self._question = question
        self._ends, self._length = ends, length
        self._answer = b""
        self._next_ns: int | None = None
        self.restarts: list[int] = []

    def due(self, now_ns: int) -> bytes:
        if self._next_ns is None or now_ns < self._next_ns:
            return b""
        self._answer = b""
        self._next_ns = now_ns + 1_000_000_000
        return self._question

    def wake_ns(self) -> int | None:
        return self._next_ns

    def received(self, data: bytes, now_ns: int) -> None:
        self._answer += data
        if self._ends and self._answer.endswith(self._ends):
            self._next_ns = now_ns
        elif self._length and len(self._answer) >= self._length:
            self._next_ns = now_ns + 10_000_000  # more than 3.5 characters at 9600 baud

    def restarted(self, now_ns: int) -> None:
        self.restarts.append(now_ns)
        self._next_ns = now_ns

    def farewell(self) -> bytes:
        return b"BYE\n"


class Faulty(Asking):
    """A fault of ours."""

    def received(self, data: bytes, now_ns: int) -> None:
        if data:
            raise ZeroDivisionError
