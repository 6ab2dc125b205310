"""A table is read block by block, and reads the same however its blocks fall."""

import csv
import io
from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from benchmeter.errors import InputError
from benchmeter.files import table_records
from benchmeter.files.table_file import BadRow, Row, open_table

PIECES = ["a", "4,5", ",", '"', '""', "\n", "\r\n", "\r", "\n\n", "x\u2028y", "é", ",,", '"b\nc"']


def rows(path: Path, own_line: tuple[int, ...] = ()) -> list[Row | BadRow]:
    return list(open_table(path, lambda cell: cell == "a", "a,b").rows(own_line))


@settings(max_examples=200, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.sampled_from(PIECES), max_size=40).map("".join), st.integers(1, 30))
@example('1,"x\n2,y\n3,z\n', 5)
@example("1,2\r\n3,4\r\n", 10)
def test_it_reads_the_same_in_blocks_of_any_size(tmp_path, monkeypatch, text, size):
    path = tmp_path / "table.csv"
    path.write_text("a,b\n" + text, "utf-8", newline="")
    for own_line in ((), (0,)):
        monkeypatch.setattr(table_records, "_BLOCK", 1 << 19)
        whole = rows(path, own_line)
        monkeypatch.setattr(table_records, "_BLOCK", size)
        assert rows(path, own_line) == whole


@settings(max_examples=100, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.tuples(st.text("ab,\"\n\r '", min_size=1), st.text('x,"\n')), min_size=1))
def test_what_the_csv_module_writes_is_read(tmp_path, monkeypatch, written):
    monkeypatch.setattr(table_records, "_BLOCK", 7)
    path, text = tmp_path / "table.csv", io.StringIO(newline="")
    csv.writer(text).writerows([("a", "b"), *written])
    path.write_text(text.getvalue(), "utf-8", newline="")
    expected = [row for row in written if any(cell.strip() for cell in row)]
    assert [row.cells for row in rows(path) if isinstance(row, Row)] == expected


def test_a_file_that_is_written_while_it_is_read_is_refused(tmp_path):
    path = tmp_path / "table.csv"
    path.write_text("a,b\n1,2\n")
    table = open_table(path, lambda cell: cell == "a", "a,b")
    path.write_text("a,b\n1,2\n3,4\n")
    with pytest.raises(InputError, match=r"tables\.changed"):
        list(table.rows(()))


def test_a_line_without_end_is_no_table(tmp_path):
    path = tmp_path / "table.csv"
    with path.open("w") as file:
        file.write("a,b\n" + "x" * 3_000_000)
    with pytest.raises(InputError, match=r"tables\.line_too_long"):
        list(open_table(path, lambda cell: cell == "a", "a,b", most=10_000_000).rows(()))
