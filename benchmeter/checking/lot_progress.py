"""How far a carton has been tested: its parts in order, what each came to, what comes next."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from string import digits

from benchmeter.checking.part_check import PartCheck
from benchmeter.conformity.verdict import Verdict

__all__ = ["LotProgress", "counted_on", "lot_progress"]


@dataclass(frozen=True, slots=True)
class LotProgress:
    """The parts of one carton in the order in which they were first begun.

    Attributes:
        lot: name of the carton.
        checks: of each part the last one: a part that was tested again counts once.
    """

    lot: str
    checks: tuple[PartCheck, ...]

    @property
    def words(self) -> Counter[Verdict]:
        """How many parts came to each verdict; parts without one are left out."""
        return Counter(c.verdict.verdict for c in self.checks if c.verdict is not None)

    @property
    def next_part(self) -> str:
        """Own number of the part that is counted on to."""
        return counted_on(self.checks[-1].part) if self.checks else "1"

    def before(self, part: str) -> PartCheck | None:
        """The part that stands before this one; the last one if there is no such part."""
        names = [c.part for c in self.checks]
        place = names.index(part) if part in names else len(names)
        return self.checks[place - 1] if place > 0 else None


def lot_progress(checks: Iterable[PartCheck], lot: str) -> LotProgress:
    """What the checks of a session say of a carton, oldest check first."""
    last: dict[str, PartCheck] = {}
    for check in checks:
        if check.lot == lot:
            last[check.part] = check
    return LotProgress(lot, tuple(last.values()))


def counted_on(number: str) -> str:
    """The next own number: its last digits one higher, in as many places.

    >>> counted_on("A-009")
    'A-010'
    """
    stem = number.rstrip(digits)
    if stem == number:
        return f"{number} 2".strip()
    kept = number.rstrip("9")
    nines = len(number) - len(kept)
    if kept == stem:
        return f"{stem}1{'0' * nines}"
    return f"{kept[:-1]}{int(kept[-1]) + 1}{'0' * nines}"
