"""Judge parts without a session: one by what is typed, a lot by what a table holds."""

from collections.abc import Callable
from functools import cache
from pathlib import Path

from benchmeter.checking.judged_lot import JudgedLot, JudgedRow, UnjudgedRow, judged_lot
from benchmeter.checking.terms import Terms, judge_typed
from benchmeter.conformity.lead_offset import refuse_lead_offset
from benchmeter.errors import InputError
from benchmeter.files.output_file import OutputFile
from benchmeter.files.table_file import BadRow, Row, open_table, write_table
from benchmeter.parts.nameplate.label import ToleranceMissing
from benchmeter.parts.rated_part import (
    Rating,
)
from benchmeter.reports.lot_table import verdict_table
from benchmeter.tasks.lot_columns import Columns, column_names, find_columns

__all__ = ["judge_lot", "write_verdicts"]


def judge_lot(path: Path, terms: Terms, *, results: OutputFile | None = None) -> JudgedLot:
    """Judge each row of a table of readings by the same terms.

    Args:
        terms: a row with a label of its own is rated by that.
        results: where the verdicts will be written; None: nowhere.

    Raises:
        InputError: the file cannot be used as a whole, or would be overwritten. A row that cannot
            be used is in the lot, with its error.
    """
    names = column_names(terms.kind)
    file = open_table(path, names.is_known, names.example)
    if results is not None:
        if results.path.exists() and results.path.samefile(path):
            raise InputError("tasks.overwrites_readings")
        results.check()
    columns = find_columns(file, names)
    if columns.label is None:
        columns.require(terms.rating)
    rating_of = _rating_of(terms)
    rows = [
        _judged_row(row, number, columns, terms, rating_of)
        for number, row in enumerate(file.rows(columns.used), 1)
    ]
    if not rows:
        raise InputError("tasks.no_parts", file=file.name)
    return judged_lot(file.name, terms, rows, [file.header[i] for i in columns.extra])


def write_verdicts(to: OutputFile, lot: JudgedLot) -> None:
    """Write the verdicts of a lot as a table, a row for each row that was read.

    Raises:
        InputError, WorldError: the file is there, or cannot be written.
    """
    write_table(to, verdict_table(lot))


def _judged_row(
    row: Row | BadRow,
    number: int,
    columns: Columns,
    terms: Terms,
    rating_of: Callable[[str], Rating],
) -> JudgedRow | UnjudgedRow:
    if isinstance(row, BadRow):
        return UnjudgedRow(row.line, "", InputError.of(row.why), ())
    part = columns.cell(row, columns.part) or str(number)
    extra = tuple(row.cells[i] for i in columns.extra)
    label = columns.cell(row, columns.label)
    if not label:
        columns.require(terms.rating)  # one missing column, not as many bad rows
    try:
        rating = rating_of(label) if label else terms.rating
        typed = columns.readings(row, rating)
    except InputError as error:
        return UnjudgedRow(row.line, part, error, extra)
    return JudgedRow(row.line, part, judge_typed(terms, rating, typed), extra)


def _rating_of(terms: Terms) -> Callable[[str], Rating]:
    """Reads labels; the same one once only, and a tolerance is lent to one that has none."""

    @cache
    def rating(label: str) -> Rating:
        try:
            found = terms.rate(label, "")
        except ToleranceMissing:
            found = terms.rate(label, terms.tolerance)
        refuse_lead_offset(found.sections, terms.offsets.farad)
        return found

    return rating
