"""A judged lot: how many parts have which verdict, and what they have in common.

No row is kept: a lot of a million parts must fit into little memory. Whoever wants the rows reads
the file once more.
"""

import heapq
from array import array
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from operator import attrgetter
from typing import TYPE_CHECKING

from benchmeter.checking.repeated_names import RepeatedNames
from benchmeter.checking.terms import Terms
from benchmeter.conformity.judgement import WORST_FIRST
from benchmeter.conformity.verdict import WORDS, Measurement, Verdict
from benchmeter.errors import InputError, Message
from benchmeter.files.table_file import BadRow, one_line
from benchmeter.parts.conclusion import PartVerdict
from benchmeter.statistics.lot import MeasurementReadings, statistics_of
from benchmeter.statistics.lot_statistics import LotStatistics

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

__all__ = ["JudgedBatch", "JudgedLot", "JudgedRow", "LotTally", "SectionBatch", "UnjudgedRow"]

_SHOWN_PARTS = 5  # that stand on several rows
_NAMED_PARTS = 10  # of one verdict
_MOST_SECTIONS = 1000  # of labels that differ by row


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
class SectionBatch:
    """What was read of one measurement in a batch.

    Attributes:
        places: rows of the batch, ascending; int64, shape (n,).
        values_si: float64, shape (n,); NaN where there is no value.
        codes: uint8, shape (n,): the verdicts, see `WORDS`.
        resolutions_si: those that occur.
    """

    measurement: Measurement
    places: "NDArray[np.int64]"
    values_si: "NDArray[np.float64]"
    codes: "NDArray[np.uint8]"
    resolutions_si: frozenset[Decimal]


@dataclass(frozen=True, slots=True)
class JudgedBatch:
    """Rows that were judged together.

    Attributes:
        lines: of the file, one a row.
        parts: what the rows call them.
        errors: why a row was not judged, by its place.
        codes: uint8, one a row: the verdict on the part; of no meaning where there is an error.
        sections: what was read.
        bad: rows between them that are no rows.
        verdict_on, extra: the verdict on a row with all that it follows from, and its cells that
            are only kept.
    """

    lines: Sequence[int]
    parts: Sequence[str]
    errors: Mapping[int, InputError]
    codes: "NDArray[np.uint8]"
    sections: Sequence[SectionBatch]
    bad: Sequence[BadRow]
    verdict_on: Callable[[int], PartVerdict]
    extra: Callable[[int], tuple[str, ...]]

    def rows(self) -> Iterator[JudgedRow | UnjudgedRow]:
        """All rows in the order of the file."""
        yield from heapq.merge(
            map(self._row, range(len(self.parts))),
            (UnjudgedRow(bad.line, "", InputError.of(bad.why), ()) for bad in self.bad),
            key=attrgetter("line"),
        )

    def bad_rows(self) -> Iterator[UnjudgedRow]:
        """Those that were not judged."""
        if self.errors or self.bad:
            yield from (row for row in self.rows() if isinstance(row, UnjudgedRow))

    def _row(self, i: int) -> JudgedRow | UnjudgedRow:
        error = self.errors.get(i)
        if error is not None:
            return UnjudgedRow(self.lines[i], self.parts[i], error, self.extra(i))
        return JudgedRow(self.lines[i], self.parts[i], self.verdict_on(i), self.extra(i))


@dataclass(frozen=True, slots=True)
class JudgedLot:
    """What the rows of a file say together.

    Attributes:
        name: of the file.
        counts: parts by their verdict, worst first; none without parts.
        named: the first parts of each verdict.
        bad_count: rows without a verdict.
        sections: statistics for each measurement; of labels that differ each for itself.
        units: of the measurements, by their names.
        notes: what looks odd without being wrong.
        extra_header: names of the columns that are only kept.
        batches: judges the rows once more.
    """

    name: str
    terms: Terms
    counts: Mapping[Verdict, int]
    named: Mapping[Verdict, Sequence[str]]
    bad_count: int
    sections: tuple[LotStatistics, ...]
    units: Mapping[str, str]
    notes: tuple[Message, ...]
    extra_header: tuple[str, ...]
    batches: Callable[[], Iterator[JudgedBatch]]

    @property
    def part_count(self) -> int:
        """Rows with a verdict."""
        return sum(self.counts.values())

    def rows(self) -> Iterator[JudgedRow | UnjudgedRow]:
        """All rows in the order of the file."""
        for batch in self.batches():
            yield from batch.rows()


@dataclass(slots=True)
class _Section:
    values_si: "array[float]" = field(default_factory=lambda: array("d"))
    codes: bytearray = field(default_factory=bytearray)
    resolutions_si: set[Decimal] = field(default_factory=set)


class LotTally:
    """Counts batches as they are judged."""

    def __init__(self, terms: Terms) -> None:
        self.count = 0
        self._terms = terms
        self._bad = 0
        self._counts = [0] * len(WORDS)
        self._named: dict[Verdict, list[str]] = {word: [] for word in WORDS}
        self._sections: dict[Measurement, _Section] = {}
        self._left_out = False
        self._units: dict[str, str] = {}
        self._digits: dict[str, set[Decimal]] = defaultdict(set)
        self._repeated = RepeatedNames()

    def add(self, batch: JudgedBatch) -> None:
        """Count one more batch."""
        import numpy as np

        self._repeated.add(batch.parts)
        self.count += len(batch.parts) + len(batch.bad)
        self._bad += len(batch.errors) + len(batch.bad)
        good = np.ones(len(batch.parts), bool)
        good[list(batch.errors)] = False
        counts = np.bincount(batch.codes[good], minlength=len(WORDS)).tolist()
        for code, count in enumerate(counts):
            named = self._named[WORDS[code]]
            if count and (wanted := _NAMED_PARTS - len(named)) > 0:
                places = np.flatnonzero(good & (batch.codes == code))[:wanted]
                named += [batch.parts[i] for i in places.tolist()]
            self._counts[code] += count
        for section in batch.sections:
            self._add(section)

    def lot(
        self,
        name: str,
        extra_header: Sequence[str],
        batches: Callable[[], Iterator[JudgedBatch]],
    ) -> JudgedLot:
        """What they have in common."""
        import numpy as np

        counts = dict(zip(WORDS, self._counts, strict=True))
        statistics = (
            statistics_of(
                MeasurementReadings(
                    measurement,
                    np.frombuffer(found.values_si, np.float64),
                    np.frombuffer(found.codes, np.uint8),
                    # The finest digit: others may have lost their trailing zeros on the way.
                    min(filter(None, found.resolutions_si), default=None),
                )
            )
            for measurement, found in self._sections.items()
        )
        return JudgedLot(
            name=name,
            terms=self._terms,
            counts={word: counts[word] for word in WORST_FIRST if counts[word]},
            named=self._named,
            bad_count=self._bad,
            sections=tuple(statistics),
            units=self._units,
            notes=tuple(self._notes()),
            extra_header=tuple(extra_header),
            batches=batches,
        )

    def _add(self, batch: SectionBatch) -> None:
        measurement = batch.measurement
        self._units[measurement.name] = measurement.unit
        self._digits[measurement.name] |= batch.resolutions_si
        if measurement not in self._sections and len(self._sections) == _MOST_SECTIONS:
            self._left_out = True
            return
        section = self._sections.setdefault(measurement, _Section())
        section.values_si.frombytes(batch.values_si.tobytes())
        section.codes += batch.codes.tobytes()
        section.resolutions_si |= batch.resolutions_si

    def _notes(self) -> Iterator[Message]:
        twice = self._repeated
        if twice.count:
            shown = [one_line(name) for name in twice.first(_SHOWN_PARTS)]
            more = twice.count - len(shown)
            if more:
                yield Message("tasks.more_parts_repeated", {"parts": shown, "more": more})
            else:
                yield Message("tasks.parts_repeated", {"parts": shown})
        if self._mixed_digits():
            yield Message("tasks.mixed_digits")
        if self._left_out:
            yield Message("tasks.sections_left_out", {"most": _MOST_SECTIONS})

    def _mixed_digits(self) -> bool:
        """Where a count is worth the last digit, lost zeros change the accuracy."""
        accuracy = self._terms.accuracy
        lines = () if accuracy is None else (accuracy, *accuracy.more)
        if not any(line.counts and line.count_si is None for line in lines):
            return False
        return any(len(found) > 1 for found in self._digits.values())
