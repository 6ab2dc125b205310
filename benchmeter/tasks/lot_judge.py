"""Judges rows of a lot, a batch at a time: plain readings all at once, the odd ones each alone."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from itertools import chain
from typing import TYPE_CHECKING

from benchmeter.checking.judged_lot import JudgedBatch, SectionBatch
from benchmeter.checking.terms import Terms
from benchmeter.checking.typed_reading import TypedReading
from benchmeter.conformity.lead_offset import refuse_lead_offset
from benchmeter.conformity.verdict import WORDS, Measurement, MeasurementVerdict, Reason
from benchmeter.conformity.verdict_codes import verdict_codes, worst_codes
from benchmeter.errors import InputError
from benchmeter.files.table_file import RowBatch
from benchmeter.parts.conclusion import PartVerdict
from benchmeter.parts.nameplate.label import ToleranceMissing
from benchmeter.parts.part_verdict import (
    decides,
    depend_on_each_other,
    judge_readings,
    verdict_on_part,
)
from benchmeter.parts.rated_part import Rating
from benchmeter.quantities.label_text import EXACTLY
from benchmeter.quantities.typed_columns import PlainNumbers, plain_numbers
from benchmeter.quantities.units import split_value
from benchmeter.readings.gate import quantity_named, status_named, written_unit
from benchmeter.readings.status import Status
from benchmeter.tasks.lot_columns import Columns
from benchmeter.tasks.table_cells import typed_cell

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Codes = NDArray[np.uint8]
    Places = NDArray[np.int64]

__all__ = ["LotJudge"]

_OF_READINGS = ("unit", "function", "status")
_EXACT_POWER = 22  # of ten, that a float holds
_EXACT_COUNT = 2**53


@dataclass(frozen=True, slots=True)
class _Source:
    """Where a reading comes from: its section, column and unit, and what the row says of both."""

    section: Measurement
    column: int
    unit: str
    row_unit: str
    function: str
    status: str


@dataclass(slots=True)
class _Column:
    """What a column says of a section, for rows that are alike.

    `resolutions`: of the plain readings, the rows that have each; of the others by their verdicts.
    """

    source: _Source
    texts: Sequence[str]
    values_si: "Floats"
    codes: "Codes"
    alone: dict[int, MeasurementVerdict]
    errors: dict[int, InputError]
    resolutions: list[tuple["Places", Decimal | None]]


@dataclass(frozen=True, slots=True)
class _Group:
    """Rows of one label, unit and status: where they stand in the batch."""

    places: "Places"
    rating: Rating
    columns: Sequence[_Column]


class LotJudge:
    """Judges the rows of a table by the same terms; a row with a label of its own by that."""

    def __init__(self, columns: Columns, terms: Terms) -> None:
        self._columns, self._terms = columns, terms
        self._file = columns.file
        self._rating = lru_cache(1024)(self._rated)
        self._alone = lru_cache(8192)(self._judged_alone)

    def judge(self, batch: RowBatch, before: int) -> JudgedBatch:
        """Judge some rows.

        Args:
            before: rows of the file that came before them, those without a verdict included.

        Raises:
            InputError: a part has no column for one of its sections.
        """
        import numpy as np

        cells = list(zip(*batch.rows, strict=True)) or [()] * len(self._file.header)
        errors: dict[int, InputError] = {}
        groups = list(self._groups(cells, len(batch.rows), errors))
        codes = np.zeros(len(batch.rows), np.uint8)
        group_of = np.zeros(len(batch.rows), np.int64)
        place_in = np.zeros(len(batch.rows), np.int64)
        for number, group in enumerate(groups):
            group_of[group.places] = number
            place_in[group.places] = np.arange(len(group.places))
            codes[group.places] = self._part_codes(group, errors)

        def verdict_on(i: int) -> PartVerdict:
            return self._verdict(groups[int(group_of[i])], int(place_in[i]))

        def extra(i: int) -> tuple[str, ...]:
            return tuple(batch.rows[i][column] for column in self._columns.kept)

        return JudgedBatch(
            lines=batch.lines,
            parts=self._parts(batch, cells, before),
            errors=errors,
            codes=codes,
            sections=list(_sections(groups, errors)),
            bad=batch.bad,
            verdict_on=verdict_on,
            extra=extra,
        )

    def _parts(self, batch: RowBatch, cells: Sequence[Sequence[str]], before: int) -> Sequence[str]:
        """What a row calls its part, or its number."""
        if self._columns.part is None:
            found = [""] * len(batch.rows)
        else:
            found = [cell.strip() for cell in cells[self._columns.part]]
        if all(found):
            return found
        import numpy as np

        bad = np.searchsorted([row.line for row in batch.bad], batch.lines).tolist()
        return [name or str(before + 1 + i + bad[i]) for i, name in enumerate(found)]

    def _groups(
        self, cells: Sequence[Sequence[str]], count: int, errors: dict[int, InputError]
    ) -> Iterable[_Group]:
        """The rows that have a rating, by what they have in common."""
        import numpy as np

        alike = self._columns.of_a_kind
        rows: dict[tuple[str, ...], list[int]] = {}
        if not alike:
            rows[()] = list(range(count)) if count else []
        for i, row in enumerate(zip(*(map(str.strip, cells[c]) for c in alike), strict=True)):
            rows.setdefault(row, []).append(i)
        for key, where in rows.items():
            if not where:
                continue
            said = dict(zip(alike, key, strict=True))
            label = said.get(self._columns.label, "") if self._columns.label is not None else ""
            if not label:
                self._columns.require(self._terms.rating)  # one missing column, not many bad rows
            rating = self._rating(label) if label else self._terms.rating
            if isinstance(rating, InputError):
                errors.update(dict.fromkeys(where, rating))
                continue
            yield self._group(rating, np.array(where), said, cells, errors)

    def _group(
        self,
        rating: Rating,
        places: "Places",
        said: Mapping[int, str],
        cells: Sequence[Sequence[str]],
        errors: dict[int, InputError],
    ) -> _Group:
        whole = len(places) == len(cells[0])
        where = places.tolist()

        def texts(column: int) -> list[str]:
            found = cells[column]
            return list(map(str.strip, found if whole else [found[i] for i in where]))

        names = {s.name for s in rating.sections}
        for name, (column, _) in self._columns.sections.items():
            if name in names:
                continue
            header = self._file.header[column]
            error = InputError("tasks.filled_part_no_such", header=header, text=rating.text)
            for i, text in zip(where, texts(column), strict=True):
                if text:
                    errors.setdefault(i, error)
        columns = []
        for section in rating.sections:
            if section.name not in self._columns.sections:
                name = self._columns.names.column_of(section.name)
                error = InputError("tasks.file_no_column_part", column_name=name)
                for i in where:
                    errors.setdefault(i, error)
                continue
            column, unit = self._columns.sections[section.name]
            about = (self._said(said, what, section.name) for what in _OF_READINGS)
            found = self._column(_Source(section, column, unit, *about), texts(column))
            for i, error in found.errors.items():
                errors.setdefault(where[i], error)
            columns.append(found)
        return _Group(places, rating, columns)

    def _said(self, said: Mapping[int, str], what: str, section: str) -> str:
        """What the row says of a section itself, or of all; "" for nothing."""
        about = self._columns.about
        columns = (about.get((what, section)), about.get((what, "")))
        return next((said[c] for c in columns if c is not None and said[c]), "")

    def _column(self, source: _Source, texts: Sequence[str]) -> _Column:
        import numpy as np

        found = _Column(
            source, texts, np.full(len(texts), np.nan), np.zeros(len(texts), np.uint8), {}, {}, []
        )
        numbers = plain_numbers(texts, decimal_comma=self._file.decimal_comma)
        left = numbers.decimals < 0
        for places in self._of_one_resolution(source, texts, numbers):
            left[places] = ~self._judge_plain(found, places, numbers.counts[places])
        for i in np.flatnonzero(left).tolist():
            alone = self._alone(source, texts[i])
            if isinstance(alone, InputError):
                found.errors[i] = alone
                continue
            found.alone[i] = alone
            found.codes[i] = WORDS.index(alone.verdict)
            if alone.reading_si is not None:
                found.values_si[i] = float(alone.reading_si)
        return found

    def _of_one_resolution(
        self, source: _Source, texts: Sequence[str], numbers: PlainNumbers
    ) -> Iterable["Places"]:
        """The plain numbers that end in the same place and have one resolution."""
        import numpy as np

        plain = np.flatnonzero(numbers.decimals >= 0)
        _, first, form = np.unique(numbers.form[plain], return_index=True, return_inverse=True)
        alike: dict[tuple[int, Decimal | None], int] = {}
        group = []
        for i in plain[first].tolist():
            typed = self._typed(source, texts[i])
            step = typed.resolution_si if isinstance(typed, TypedReading) else None
            group.append(alike.setdefault((int(numbers.decimals[i]), step), len(alike)))
        of_each = np.array(group, np.int64)[form]
        for number in range(len(alike)):
            yield plain[of_each == number]

    def _judge_plain(
        self, found: _Column, places: "Places", counts: "NDArray[np.int64]"
    ) -> "NDArray[np.bool_]":
        """Judge numbers of one step and one resolution; gives which were judged.

        What the least and the largest of them are worth is asked as of any reading: the values
        between them lie on the line through both.
        """
        import numpy as np

        source, texts = found.source, found.texts
        none = np.zeros(len(counts), bool)
        ends = int(np.argmin(counts)), int(np.argmax(counts))
        low, high = (self._typed(source, texts[int(places[i])]) for i in ends)
        if not (isinstance(low, TypedReading) and isinstance(high, TypedReading)):
            return none
        if low.value_si is None or high.value_si is None or low.resolution_si != high.resolution_si:
            return none
        first, last = (int(counts[i]) for i in ends)
        step = Decimal(0)
        if first != last:
            rise = EXACTLY.subtract(high.value_si, low.value_si)
            step = EXACTLY.divide(rise, Decimal(last - first)).normalize(EXACTLY)
        start = EXACTLY.subtract(low.value_si, EXACTLY.multiply(step, Decimal(first)))
        lead = self._terms.offsets.of(source.section)
        # In whole steps of a power of ten everything is exact, and rounds once to a float.
        exponent = min(int(number.as_tuple().exponent) for number in (step, start, lead))
        whole_step, whole_start, whole_lead = (
            int(number.scaleb(-exponent, EXACTLY)) for number in (step, start, lead)
        )
        most = abs(whole_step * last) + abs(whole_start) + abs(whole_lead)
        if most >= _EXACT_COUNT or abs(exponent) > _EXACT_POWER:
            return none
        shown = counts * whole_step + whole_start
        judged = shown >= whole_lead  # of what lies below zero each is looked at
        shown = shown[judged]
        one, times = 10.0 ** abs(exponent), np.multiply if exponent > 0 else np.divide
        shown_si, y = times(shown, one), times(shown - whole_lead, one)
        places = places[judged]
        found.values_si[places] = y
        found.codes[places] = verdict_codes(
            source.section,
            shown_si,
            y,
            resolution_si=low.resolution_si,
            accuracy=self._terms.accuracy,
            rule=self._terms.rule,
            lead_offset_u_si=self._terms.offsets.u_of(source.section),
        )
        found.resolutions.append((places, low.resolution_si))
        return judged

    def _typed(self, source: _Source, text: str) -> TypedReading | InputError | None:
        """What a cell says, with what the row says of it; None: nothing stands in it."""
        section, unit = source.section, source.row_unit or source.unit
        try:
            told, status = quantity_named(source.function), status_named(source.status)
            if not text and status is Status.OK:
                return None
            if source.row_unit and not self._suits(source, text):
                return TypedReading(None, None, Reason.WRONG_FUNCTION)
            return typed_cell(
                self._file, source.column, text, unit, section, told=told, status=status
            )
        except InputError as error:
            return error

    def _suits(self, source: _Source, text: str) -> bool:
        """Whether the section can be measured in the row's unit.

        Raises:
            InputError: there is no such unit, or the column or the cell gives another.
        """
        quantity = source.section.quantity
        written = written_unit(source.row_unit, quantity)
        number, own = split_value(text)
        for other in (source.unit, own if number else ""):
            if other and written_unit(other, quantity).unit is not written.unit:
                raise InputError("tasks.units_differ", unit=source.row_unit, other=other)
        return written.measures(quantity)

    def _judged_alone(self, source: _Source, text: str) -> MeasurementVerdict | InputError:
        typed = self._typed(source, text)
        if isinstance(typed, InputError):
            return typed
        terms, shown = self._terms, () if typed is None else (typed,)
        return judge_readings(source.section, shown, terms.accuracy, terms.rule, terms.offsets)

    def _verdict(self, group: _Group, i: int) -> PartVerdict:
        """The verdict on a row of a group, with all that it follows from."""
        measured = []
        for column in group.columns:
            found = column.alone.get(i) or self._alone(column.source, column.texts[i])
            if isinstance(found, InputError):
                raise found
            measured.append(found)
        terms = self._terms
        return verdict_on_part(terms.kind, group.rating, measured, terms.accuracy, rule=terms.rule)

    def _part_codes(self, group: _Group, errors: Mapping[int, InputError]) -> "Codes":
        import numpy as np

        kind = self._terms.kind
        sections = [column.source.section for column in group.columns]
        if not depend_on_each_other(kind) and not any(section.unrated for section in sections):
            deciding = [c.codes for c in group.columns if decides(kind, c.source.section)]
            return worst_codes(deciding, len(group.places))
        codes = np.zeros(len(group.places), np.uint8)
        for i, place in enumerate(group.places.tolist()):
            if place not in errors:
                codes[i] = WORDS.index(self._verdict(group, i).verdict)
        return codes

    def _rated(self, label: str) -> Rating | InputError:
        """What a label says; a tolerance is lent to one that has none."""
        terms = self._terms
        try:
            try:
                found = terms.rate(label, "")
            except ToleranceMissing:
                found = terms.rate(label, terms.tolerance)
            refuse_lead_offset(found.sections, terms.offsets.farad)
        except InputError as error:
            return error
        return found


def _sections(groups: Iterable[_Group], errors: Mapping[int, InputError]) -> Iterable[SectionBatch]:
    """What was read of each measurement on the rows that were judged, in their order."""
    import numpy as np

    found: dict[Measurement, list[tuple[Places, Floats, Codes, frozenset[Decimal]]]] = {}
    first: dict[Measurement, int] = {}
    for group in groups:
        good = np.ones(len(group.places), bool)
        if errors:
            good &= ~np.isin(group.places, list(errors))
        places = group.places[good]
        if not len(places):
            continue
        for column in group.columns:
            section = column.source.section
            steps = {step for where, step in column.resolutions if good[where].any()}
            steps |= {v.resolution_si for i, v in column.alone.items() if good[i]}
            known = frozenset(step for step in steps if step is not None)
            read = (places, column.values_si[good], column.codes[good], known)
            found.setdefault(section, []).append(read)
            first[section] = min(first.get(section, places[0]), places[0])
    for section in sorted(found, key=first.__getitem__):
        parts = found[section]
        places, values, codes = (np.concatenate([part[i] for part in parts]) for i in range(3))
        order = np.argsort(places, kind="stable")
        known = frozenset(chain.from_iterable(part[3] for part in parts))
        yield SectionBatch(section, places[order], values[order], codes[order], known)
