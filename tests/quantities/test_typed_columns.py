"""A column of numbers is read as each of them is alone, or left alone."""

from decimal import Decimal

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from benchmeter.errors import InputError
from benchmeter.files.table_file import with_point
from benchmeter.quantities.typed_columns import plain_numbers
from benchmeter.quantities.typed_numbers import parse_number

_CELLS = st.one_of(
    st.text("0123456789.,", max_size=18),
    st.text("05.,-+eE µF\x00٤", max_size=6),
    st.decimals(0, 10**9, places=3).map(str),
)


@given(st.lists(_CELLS, min_size=1, max_size=12), st.booleans())
@example(["1.234", "1,234", "12.3456", "0,123", ".5", "5.", ".", "", "007"], False)
@example(["1.234", "1,234", "12.3456", "0.123", "1234567890123456", "999999999999999"], True)
@example(["4\x005", "5\x00", "٤", "x" * 200_000], False)
def test_what_is_plain_is_the_number_that_is_typed(cells: list[str], decimal_comma: bool) -> None:
    found = plain_numbers(cells, decimal_comma=decimal_comma)
    for cell, count, decimals in zip(
        cells, found.counts.tolist(), found.decimals.tolist(), strict=True
    ):
        if decimals >= 0:
            alone = parse_number(with_point(cell) if decimal_comma else cell)
            assert alone.as_tuple() == Decimal(count).scaleb(-decimals).as_tuple()


@given(st.lists(st.from_regex(r"[0-9]{1,3}\.?[0-9]{0,4}", fullmatch=True), min_size=2, max_size=9))
def test_numbers_of_one_form_have_as_many_digits_and_zeros(cells: list[str]) -> None:
    found = plain_numbers(cells, decimal_comma=False)
    form: dict[int, tuple[int, int, int]] = {}
    for cell, told, decimals in zip(
        cells, found.form.tolist(), found.decimals.tolist(), strict=True
    ):
        digits = cell.replace(".", "")
        counted = (decimals, len(digits.lstrip("0")), len(digits) - len(digits.rstrip("0")))
        assert form.setdefault(told, counted) == counted


@pytest.mark.parametrize("cell", ["44.10", "5", "0.05", ".5", "5.", "1234.567", "007", "44,1"])
def test_readings_of_a_meter_are_plain(cell: str) -> None:
    assert plain_numbers([cell], decimal_comma=False).decimals[0] >= 0


@pytest.mark.parametrize("cell", ["1,234", "OL", "", "-5", "44 uF", "1e3", "1_0", "１"])
def test_what_is_odd_is_left_alone(cell: str) -> None:
    assert plain_numbers([cell], decimal_comma=False).decimals[0] == -1


def test_a_point_that_may_part_thousands_is_left_alone() -> None:
    assert plain_numbers(["1.234", "1,234"], decimal_comma=True).decimals.tolist() == [-1, 3]
    with pytest.raises(InputError):
        with_point("1.234")
