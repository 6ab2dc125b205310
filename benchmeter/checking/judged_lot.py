"""A judged lot: the verdict on each row, and what the parts have in common."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from benchmeter.checking.terms import Terms
from benchmeter.conformity.judgement import WORST_FIRST
from benchmeter.conformity.verdict import (
    Measurement,
    MeasurementVerdict,
    Verdict,
)
from benchmeter.errors import InputError, Message
from benchmeter.files.table_file import one_line
from benchmeter.parts.conclusion import (
    PartVerdict,
)
from benchmeter.statistics.lot import lot_statistics
from benchmeter.statistics.lot_statistics import LotStatistics

__all__ = ["JudgedLot", "JudgedRow", "UnjudgedRow", "judged_lot"]

_SHOWN_PARTS = 5


@dataclass(frozen=True, slots=True)
class JudgedRow:
    """One part of the lot. `line`: of the file. `extra`: cells that are only kept."""

    line: int
    part: str
    verdict: PartVerdict
    extra: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class UnjudgedRow:
    """A row that could not be read, and why."""

    line: int
    part: str
    error: InputError
    extra: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class JudgedLot:
    """All rows in the order of the file.

    Attributes:
        name: of the file.
        sections: statistics for each measurement; of labels that differ each for itself.
        notes: what looks odd without being wrong.
        extra_header: names of the columns that are only kept.
    """

    name: str
    terms: Terms
    rows: tuple[JudgedRow | UnjudgedRow, ...]
    sections: tuple[LotStatistics, ...]
    notes: tuple[Message, ...]
    extra_header: tuple[str, ...]

    @property
    def parts(self) -> tuple[JudgedRow, ...]:
        """The rows with a verdict."""
        return tuple(r for r in self.rows if isinstance(r, JudgedRow))

    @property
    def bad_rows(self) -> tuple[UnjudgedRow, ...]:
        """The rows without."""
        return tuple(r for r in self.rows if isinstance(r, UnjudgedRow))

    def with_verdict(self) -> dict[Verdict, list[JudgedRow]]:
        """The parts by their verdict, worst first; none without parts."""
        return {
            verdict: found
            for verdict in WORST_FIRST
            if (found := [p for p in self.parts if p.verdict.verdict is verdict])
        }


def judged_lot(
    name: str,
    terms: Terms,
    rows: Sequence[JudgedRow | UnjudgedRow],
    extra_header: Sequence[str] = (),
) -> JudgedLot:
    """The rows with what they have in common."""
    of_section: dict[Measurement, list[MeasurementVerdict]] = {}
    for row in rows:
        for verdict in row.verdict.sections if isinstance(row, JudgedRow) else ():
            of_section.setdefault(verdict.section, []).append(verdict)
    return JudgedLot(
        name=name,
        terms=terms,
        rows=tuple(rows),
        sections=tuple(lot_statistics(s, found) for s, found in of_section.items()),
        notes=(*_repeated(rows), *_mixed_digits(terms, of_section)),
        extra_header=tuple(extra_header),
    )


def _repeated(rows: Sequence[JudgedRow | UnjudgedRow]) -> list[Message]:
    twice = [part for part, count in Counter(r.part for r in rows if r.part).items() if count > 1]
    if not twice:
        return []
    shown = [one_line(part) for part in twice[:_SHOWN_PARTS]]
    if len(twice) > _SHOWN_PARTS:
        more = len(twice) - _SHOWN_PARTS
        return [Message("tasks.more_parts_repeated", {"parts": shown, "more": more})]
    return [Message("tasks.parts_repeated", {"parts": shown})]


def _mixed_digits(
    terms: Terms, of_section: dict[Measurement, list[MeasurementVerdict]]
) -> list[Message]:
    """Where a count is worth the last digit, lost zeros change the accuracy."""
    lines = () if terms.accuracy is None else (terms.accuracy, *terms.accuracy.more)
    if not any(line.counts and line.count_si is None for line in lines):
        return []
    digits: dict[str, set[Decimal]] = {}
    for section, verdicts in of_section.items():
        found = (v.resolution_si for v in verdicts)
        digits.setdefault(section.name, set()).update(d for d in found if d is not None)
    mixed = any(len(found) > 1 for found in digits.values())
    return [Message("tasks.mixed_digits")] if mixed else []
