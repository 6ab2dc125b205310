"""What was asked of an instrument, as long as an answer to it may still come."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Generic, TypeVar

__all__ = ["MOST_OPEN", "QUIET_SILENCES", "OpenQuestions", "quiet_silences"]

QUIET_SILENCES = 20
"""After 5 s without an answer none comes any more, counted in silences of a quarter of a second."""

MOST_OPEN = 64
"""An answer is not waited for behind so many questions more."""

Q = TypeVar("Q")


def quiet_silences(timeout_ms: int) -> int:
    """So many silences for an instrument with that time-out: 5 s, or twice as long as that."""
    return max(QUIET_SILENCES, math.ceil(2 * timeout_ms / 250))


@dataclass(slots=True)
class _AskedQuestion(Generic[Q]):
    question: Q
    answered: bool = False
    silences: int = 0


class OpenQuestions(Generic[Q]):
    """Matches answers that do not name their question, by their form and by the order.

    An instrument answers in the order in which it was asked: late, twice, or never. So nothing
    more comes to what was asked before an answered question, and an answer that fits two open
    questions is no use to either. Who asks sees to it (`told_apart`) that this does not happen.

    Args:
        quiet: after so many silences an open question is not answered any more, and after one an
            answer is not repeated; None: only a later answer tells.
        asks: of the side that asks, which never asks before it must: an answer that fits several
            questions is one to the first of them. Else it ends the waiting for all of them, and is
            of use where they are the same.
    """

    def __init__(self, quiet: int | None = QUIET_SILENCES, *, asks: bool = False) -> None:
        self._quiet = quiet
        self._asks = asks
        self._asked: list[_AskedQuestion[Q]] = []

    def clear(self) -> None:
        """No answer comes any more."""
        self._asked.clear()

    @property
    def questions(self) -> list[Q]:
        """Those that are open, oldest first."""
        return [a.question for a in self._asked if not a.answered]

    def asked(self, question: Q) -> None:
        self._asked = [a for a in self._asked if not (a.answered and a.question == question)]
        self._asked.append(_AskedQuestion(question))
        del self._asked[:-MOST_OPEN]

    def answer(self, fits: Callable[[Q], bool]) -> tuple[Q | None, bool]:
        """An answer has come: to the last question that it fits, and whether to that alone."""
        fitting = [a for a in self._asked if not a.answered and fits(a.question)]
        if not fitting:
            return None, False
        first = next(i for i, a in enumerate(self._asked) if a is fitting[0])
        del self._asked[:first]
        for asked in self._asked:
            asked.silences = 0
        for asked in fitting[:1] if self._asks else fitting:
            asked.answered = True
        last = fitting[-1].question
        alone = all(a.question == last for a in fitting)
        return last, len(fitting) == 1 if self._asks else alone

    def silence(self) -> None:
        """A quarter of a second without a byte."""
        if self._quiet is None:
            return
        for asked in self._asked:
            asked.silences += 1
        self._asked = [a for a in self._asked if not a.answered and a.silences < self._quiet]

    def told_apart(self, question: Q, alike: Callable[[Q], bool]) -> bool:
        """Whether an answer to `question` will be its own: no other one is due that looks alike."""
        return not any(
            alike(a.question) for a in self._asked if not (a.answered and a.question == question)
        )
