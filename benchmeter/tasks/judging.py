"""Judge a lot without a session, by what a table holds."""

from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from benchmeter.checking.judged_lot import JudgedBatch, JudgedLot, LotTally, UnjudgedRow
from benchmeter.checking.terms import Terms
from benchmeter.errors import InputError
from benchmeter.files.input_file import LARGEST_STREAM
from benchmeter.files.output_file import OutputFile
from benchmeter.files.table_file import open_table, write_table
from benchmeter.reports.lot_table import verdict_table
from benchmeter.tasks.lot_columns import column_names, find_columns
from benchmeter.tasks.lot_judge import LotJudge

__all__ = ["Progress", "judge_lot", "write_verdicts"]

Progress = Callable[[int, float], None]
"""Told how many rows have been judged, and which share of the file they are, 0..1."""


def judge_lot(
    path: Path,
    terms: Terms,
    *,
    keep: Sequence[str] = (),
    results: OutputFile | None = None,
    progress: Progress = lambda rows, share: None,
    bad_row: Callable[[UnjudgedRow], None] = lambda row: None,
) -> JudgedLot:
    """Judge each row of a table of readings by the same terms.

    Args:
        terms: a row with a label of its own is rated by that.
        keep: columns without a meaning here that are carried along.
        results: where the verdicts will be written; None: nowhere.
        progress: told now and then, whenever rows are judged.
        bad_row: told each row that cannot be judged.

    Raises:
        InputError: the file cannot be used as a whole, or would be overwritten.
    """
    names = column_names(terms.kind)
    file = open_table(path, names.is_known, names.example, most=LARGEST_STREAM)
    if results is not None:
        if results.path.exists() and results.path.samefile(path):
            raise InputError("tasks.overwrites_readings")
        results.check()
    columns = find_columns(file, names, keep)
    if columns.label is None:
        columns.require(terms.rating)
    columns.refuse_unknown()
    judge = LotJudge(columns, terms)

    def batches() -> Iterator[JudgedBatch]:
        count = 0
        for batch in file.batches(columns.used):
            yield judge.judge(batch, count)
            count += len(batch.rows) + len(batch.bad)
            progress(count, batch.share)

    tally = LotTally(terms)
    for batch in batches():
        tally.add(batch)
        for row in batch.bad_rows():
            bad_row(row)
    if not tally.count:
        raise InputError("tasks.no_parts", file=file.name)
    return tally.lot(file.name, [file.header[i] for i in columns.kept], batches)


def write_verdicts(to: OutputFile, lot: JudgedLot) -> None:
    """Write the verdicts of a lot as a table, a row for each row that was read.

    Raises:
        InputError, WorldError: the file is there, or cannot be written.
    """
    write_table(to, verdict_table(lot))
