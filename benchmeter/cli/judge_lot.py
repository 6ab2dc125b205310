"""`benchmeter judge RATING --lot FILE.csv`: the verdicts on many parts, and what they share."""

import sys
from collections import Counter
from collections.abc import Callable
from functools import cache
from pathlib import Path

from benchmeter.cli.judged import Terms, judge_typed
from benchmeter.cli.lot_columns import Columns, find_columns, is_known
from benchmeter.cli.lot_report import JudgedLot, JudgedRow, UnjudgedRow, document, results, text
from benchmeter.cli.parsing import print_json
from benchmeter.conformity.judge import judge_part
from benchmeter.conformity.label import ToleranceMissing, parse_label
from benchmeter.conformity.leads import refuse_lead_offset
from benchmeter.conformity.lot_statistics import lot_statistics
from benchmeter.conformity.verdict import Rating, Section, SectionVerdict
from benchmeter.conformity.writing import clip
from benchmeter.errors import InputError
from benchmeter.storage.table_file import (
    BadRow,
    Row,
    TableFile,
    one_line,
    open_table,
    write_table,
)

__all__ = ["judge_lot"]

_SHOWN_PARTS = 5


def judge_lot(path: Path, out: Path | None, terms: Terms, *, as_json: bool) -> int:
    """Judge, write the results, print; any verdict is a success.

    Raises:
        InputError: the file cannot be used as a whole. A row that cannot is told by its line.
        WorldError: the results cannot be written.
    """
    file = open_table(path, is_known, "part,HERM,FAN")
    if out is not None and out.exists() and out.samefile(path):
        raise InputError("--out would overwrite the readings.", "Name another file.")
    lot = _judged(file, terms)
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


def _judged(file: TableFile, terms: Terms) -> JudgedLot:
    columns = find_columns(file)
    if columns.label is None:
        columns.require(terms.rating)
    rating_of = _rating_of(terms)
    rows = [
        _judged_row(row, number, columns, terms, rating_of)
        for number, row in enumerate(file.rows(columns.used), 1)
    ]
    if not rows:
        raise InputError(f"{file.name} names its columns and holds no parts.", "Add a line a part.")
    by_section: dict[Section, list[SectionVerdict]] = {}
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
    accuracy, rule = terms.accuracy, terms.rule
    verdicts = [judge_typed(s, r, accuracy, rule, terms.lead_offset_si) for s, r in shown]
    return JudgedRow(row.line, part, judge_part(rating, rule, accuracy, verdicts), extra)


def _rating_of(terms: Terms) -> Callable[[str], Rating]:
    """Reads labels; the same one once only, and a tolerance is lent to one that has none."""

    @cache
    def rating(label: str) -> Rating:
        try:
            found = parse_label(label)
        except ToleranceMissing:
            found = parse_label(label, terms.tolerance)
        refuse_lead_offset(found, terms.lead_offset_si)
        return found

    return rating


def _notes(rows: list[JudgedRow | UnjudgedRow], terms: Terms) -> list[str]:
    """What looks odd without being wrong."""
    found = []
    twice = [part for part, count in Counter(r.part for r in rows if r.part).items() if count > 1]
    if twice:
        more = f" and {len(twice) - _SHOWN_PARTS} more" if len(twice) > _SHOWN_PARTS else ""
        shown = ", ".join(clip(one_line(part)) for part in twice[:_SHOWN_PARTS])
        found.append(f"part {shown}{more}: more than one row; each row counts as a part of its own")
    accuracy = terms.accuracy
    if accuracy is not None and accuracy.counts and accuracy.count_si is None:
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
