"""One seeded mistake: where it is, what it was, what it becomes."""

import hashlib
from dataclasses import dataclass

__all__ = ["Mutant", "Step", "sampled"]

Step = tuple[str, int | None]
"""From a node of the syntax tree to one below it: a field, and the place in it if it is a list."""


@dataclass(frozen=True, slots=True)
class Mutant:
    """A single change to one file.

    `file` is relative to the root of the checkout. `wing` groups the score. `scope` is the function
    or table that it is in, `statement` the first line of its statement. `repeat` counts mutants of
    one file that are alike in all of that.

    Code: `path` leads to the node that is replaced; `lines` are those a test must run to see it,
    empty where the statement runs at import: then it is seen through `names`.
    Data: `span` holds the offsets of `before` in the text of the file.
    """

    file: str
    wing: str
    line: int
    scope: str
    statement: str
    operator: str
    before: str
    after: str
    repeat: int = 0
    path: tuple[Step, ...] = ()
    lines: tuple[int, int] | None = None
    names: frozenset[str] = frozenset()
    span: tuple[int, int] | None = None

    @property
    def key(self) -> tuple[str, ...]:
        """What it is, wherever it moves in its file."""
        place = (self.file, self.scope, self.statement, str(self.repeat))
        return (*place, self.operator, self.before, self.after)

    def __str__(self) -> str:
        return f"{self.file}:{self.line}: {self.operator}: {self.before}  →  {self.after}"


def sampled(mutants: list[Mutant], count: int, seed: int) -> list[Mutant]:
    """`count` of them, drawn by a hash: a change elsewhere in the code leaves the draw as it is."""

    def drawn(mutant: Mutant) -> bytes:
        return hashlib.sha256("\0".join((str(seed), *mutant.key)).encode()).digest()

    return sorted(mutants, key=drawn)[:count]
