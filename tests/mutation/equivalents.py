"""Mutants that no test can tell from the program: each with the reason, in `equivalent.toml`."""

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from tests.mutation.mutant import Mutant

__all__ = ["LIST", "Equivalent", "equivalents", "without"]

LIST = Path(__file__).with_name("equivalent.toml")


@dataclass(frozen=True, slots=True)
class Equivalent:
    """A change at a place that is named by its text. `after` absent: whatever it becomes."""

    file: str
    statement: str
    before: str
    reason: str
    after: str | None = None

    def names(self, mutant: Mutant) -> bool:
        """Whether it is that mutant."""
        here = (mutant.file, mutant.statement, mutant.before)
        return here == (self.file, self.statement, self.before) and (
            self.after is None or self.after == mutant.after
        )


def equivalents(path: Path = LIST) -> list[Equivalent]:
    """Those listed."""
    if not path.exists():
        return []
    return [Equivalent(**entry) for entry in tomllib.loads(path.read_text())["equivalent"]]


def without(mutants: Sequence[Mutant], listed: Sequence[Equivalent]) -> list[Mutant]:
    """The mutants that a test could notice."""
    by_file: dict[str, list[Equivalent]] = {}
    for one in listed:
        by_file.setdefault(one.file, []).append(one)
    return [m for m in mutants if not any(one.names(m) for one in by_file.get(m.file, ()))]
