"""`benchmeter judge RATING --lot FILE.csv`: the verdicts on many parts, and what they share."""

import sys
from collections import Counter
from collections.abc import Callable
from functools import cache
from pathlib import Path

from benchmeter.commands.judged import Terms, judge_shown
from benchmeter.commands.lot_columns import Columns, column_names, find_columns
from benchmeter.commands.lot_report import (
    JudgedLot,
    JudgedRow,
    UnjudgedRow,
    document,
    results,
    text,
)
from benchmeter.commands.parsing import print_json
from benchmeter.conformity.lead_offset import refuse_lead_offset
from benchmeter.conformity.verdict import Measurement, MeasurementVerdict, Rating
from benchmeter.errors import InputError
from benchmeter.files.table_file import (
    BadRow,
    Row,
    TableFile,
    one_line,
    open_table,
    write_table,
)
from benchmeter.parts.nameplate.label import ToleranceMissing, parse_label
from benchmeter.quantities.writing import clip
from benchmeter.statistics.lot import lot_statistics

__all__ = ["judge_lot"]

_SHOWN_PARTS = 5


def judge_lot(path: Path, out: Path | None, terms: Terms, *, as_json: bool) -> int:
    """Judge, write the results, print; any verdict is a success.

    Raises:
        InputError: the file cannot be used as a whole. A row that cannot is told by its line.
        WorldError: the results cannot be written.
    """
    names = column_names(terms.kind)
    file = open_table(path, names.is_known, names.example)
    if out is not None and out.exists() and out.samefile(path):
        raise InputError("--out would overwrite the readings.", "Name another file.")
    lot = _judged(file, find_columns(file, names), terms)
    for bad in lot.bad_rows:
        print(f"benchmeter: {lot.name}, line {bad.line}: {bad.why}", file=sys.stderr)
    if out is not None:
        write_table(out, results(lot))
    if as_json:
        print_json(document(lot))
        return 0
    print(text(lot))
    if out is not None:
        print(f"\nWritten: {out.resolve()}")
    return 0


def _judged(file: TableFile, columns: Columns, terms: Terms) -> JudgedLot:
    if columns.label is None:
        columns.require(terms.rating)
    rating_of = _rating_of(terms)
    rows = [
        _judged_row(row, number, columns, terms, rating_of)
        for number, row in enumerate(file.rows(columns.used), 1)
    ]
    if not rows:
        raise InputError(f"{file.name} names its columns and holds no parts.", "Add a line a part.")
    by_section: dict[Measurement, list[MeasurementVerdict]] = {}
    for row in rows:
        for verdict in row.verdict.sections if isinstance(row, JudgedRow) else ():
            by_section.setdefault(verdict.section, []).append(verdict)
    return JudgedLot(
        name=file.name,
        terms=terms,
        rows=tuple(rows),
        sections=tuple(lot_statistics(s, found) for s, found in by_section.items()),
        notes=tuple(_notes(rows, terms)),
        extra_header=tuple(file.header[i] for i in columns.extra),
    )


def _judged_row(
    row: Row | BadRow,
    number: int,
    columns: Columns,
    terms: Terms,
    rating_of: Callable[[str], Rating],
) -> JudgedRow | UnjudgedRow:
    if isinstance(row, BadRow):
        return UnjudgedRow(row.line, "", row.why, ())
    part = columns.cell(row, columns.part) or str(number)
    extra = tuple(row.cells[i] for i in columns.extra)
    label = columns.cell(row, columns.label)
    if not label:
        columns.require(terms.rating)  # one missing column, not as many bad rows
    try:
        rating = rating_of(label) if label else terms.rating
        shown = columns.readings(row, rating)
    except InputError as error:
        return UnjudgedRow(row.line, part, one_line(str(error)), extra)
    return JudgedRow(row.line, part, judge_shown(terms, rating, shown), extra)


def _rating_of(terms: Terms) -> Callable[[str], Rating]:
    """Reads labels; the same one once only, and a tolerance is lent to one that has none."""

    @cache
    def rating(label: str) -> Rating:
        try:
            found = _read_label(label, "", terms)
        except ToleranceMissing:
            found = _read_label(label, terms.tolerance, terms)
        refuse_lead_offset(found, terms.offsets.farad)
        return found

    return rating


def _read_label(label: str, tolerance: str, terms: Terms) -> Rating:
    if terms.kind is None:
        return parse_label(label, tolerance)
    from benchmeter.parts.rating import rate

    return rate(terms.kind, label, tolerance)


def _notes(rows: list[JudgedRow | UnjudgedRow], terms: Terms) -> list[str]:
    """What looks odd without being wrong."""
    found = []
    twice = [part for part, count in Counter(r.part for r in rows if r.part).items() if count > 1]
    if twice:
        more = f" and {len(twice) - _SHOWN_PARTS} more" if len(twice) > _SHOWN_PARTS else ""
        shown = ", ".join(clip(one_line(part)) for part in twice[:_SHOWN_PARTS])
        found.append(f"part {shown}{more}: more than one row; each row counts as a part of its own")
    lines = () if terms.accuracy is None else (terms.accuracy, *terms.accuracy.more)
    if any(line.counts and line.count_si is None for line in lines):
        digits: dict[str, set[object]] = {}
        for row in rows:
            for s in row.verdict.sections if isinstance(row, JudgedRow) else ():
                if s.resolution_si is not None:
                    digits.setdefault(s.section.name, set()).add(s.resolution_si)
        if any(len(found) > 1 for found in digits.values()):
            found.append(
                "readings of one section end in different places, as when a spreadsheet drops "
                "zeros; say what a count is worth, like --accuracy “1 % + 2 x 0.1 µF”"
            )
    return found
