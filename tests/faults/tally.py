"""What a fault did: how often it struck, what was lost, what was wrong, what recovered."""

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

__all__ = ["Fault", "NotHere", "Tally"]


class NotHere(Exception):
    """This fault cannot be made on this machine; the text says why."""


@dataclass
class Tally:
    """The table's row.

    Attributes:
        lost: acknowledged inputs or readings that are not in the record.
        wrong: inputs, values or statuses that differ from what was sent, and errors that were
            told wrongly.
        recovered: rounds after which all went on as it should.
        notes: what was seen, for people.
    """

    fault: str
    rounds: int = 0
    lost: int = 0
    wrong: int = 0
    recovered: int = 0
    seconds: float = 0.0
    notes: list[str] = field(default_factory=list)

    @property
    def sound(self) -> bool:
        return not (self.lost or self.wrong) and self.recovered == self.rounds > 0


Strike = Callable[[Path, int, Random], Tally]
"""Makes a fault so many times in a folder of its own.

Raises:
    NotHere: it cannot be made here.
"""


@dataclass(frozen=True, slots=True)
class Fault:
    """A fault and how often it is made in the quick and in the long version (0: long only)."""

    name: str
    strike: Strike
    quick: int
    long: int

    def __call__(self, folder: Path, rounds: int, seed: int = 1) -> Tally:
        folder.mkdir(parents=True, exist_ok=True)
        tally = self.strike(folder, rounds, Random(f"{seed} {self.name}"))
        tally.fault = self.name
        return tally
