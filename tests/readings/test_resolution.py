"""Resolution is a fact of the meter: more or fewer digits on the wire change nothing."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmeter.quantities.units import UNITS, last_digit
from benchmeter.readings.resolution import DisplayResolution

FARAD, MICRO = UNITS["F"], UNITS["µF"]


def steps(*numbers: str, counts: int | None = None) -> list[str | None]:
    """The worth of a count at each of these numbers, in the µF of their text."""
    display = DisplayResolution(counts)
    found = [display.of(n, last_digit(n), MICRO).step for n in map(Decimal, numbers)]
    return [None if step is None else f"{step:f}" for step in found]


@pytest.mark.parametrize(
    ("number", "counts", "step"),
    [
        ("44.10", None, "0.01"),
        ("4.7", None, "0.1"),
        ("59.999", None, "0.001"),
        ("42.8200", None, "0.01"),  # six digits: the last two are dead
        ("42.8200000", None, "0.01"),
        ("42.8000000", None, "0.1"),
        ("42.0000000", None, "0.1"),  # three digits at least
        ("42.8213", None, "0.0001"),  # six that are alive
        ("42.8197613", None, None),  # eight are no display's
        ("42.8197613", 6000, "0.01"),
        ("60.0100000", 6000, "0.1"),
        ("60.0000000", 6000, "0.01"),
        ("5.99999998", 6000, "0.001"),
        ("42.8", 6000, "0.1"),  # a range that was chosen by hand, or zeros cut off
    ],
)
def test_the_digits_of_one_number(number: str, counts: int | None, step: str | None) -> None:
    assert steps(number, counts=counts) == [step]


def test_a_digit_that_was_seen_alive_counts_in_the_next_readings() -> None:
    assert steps("42.8200", "42.8213", "42.8200") == ["0.01", "0.0001", "0.0001"]
    assert steps("42.8000000", "42.8100000", "42.8000000") == ["0.1", "0.01", "0.01"]
    assert steps("42.8213", "7.1200", "42.8200")[-1] == "0.01"  # another part, another range


def test_zeros_that_are_cut_off_are_learned() -> None:
    shown = ("43.9", "44", "43.91") * 4
    assert steps(*shown)[:3] == ["0.1", "1", "0.01"]
    assert steps(*shown)[-3:] == ["0.01"] * 3


def test_a_meter_that_keeps_its_zeros_may_change_its_range() -> None:
    """Hunting at the end of a range; 60.0 ends in a written zero."""
    shown = ("59.98", "60.1", "59.99", "60.0", "59.98", "60.1", "59.97", "60.1")
    assert [s for n, s in zip(shown, steps(*shown), strict=True) if n == "60.1"] == ["0.1"] * 3


def test_what_a_count_is_worth_was_learned_only_where_it_is_not_as_written() -> None:
    display = DisplayResolution()
    assert not display.of(Decimal("44.10"), Decimal("0.01"), MICRO).learned
    assert display.of(Decimal("4.28200000E-05"), Decimal("1E-13"), FARAD).learned
    told = DisplayResolution(6000).of(Decimal("4.28200000E-05"), Decimal("1E-13"), FARAD)
    assert (told.step, told.learned) == (Decimal("1E-8"), False)


@given(st.lists(st.integers(1000, 6000), min_size=1, max_size=30), st.integers(0, 5))
def test_a_display_with_surplus_digits_never_seems_finer_than_it_is(
    counts: list[int], surplus: int
) -> None:
    """Four digits, and as many zeros behind them as make more than five."""
    display = DisplayResolution()
    for count in counts:
        number = Decimal(count).scaleb(-2 - surplus, None) * 10**surplus
        step = display.of(number, last_digit(number), MICRO).step
        assert step is not None
        assert surplus == 1 or step >= Decimal("0.01")


@given(st.lists(st.integers(-20, 20), min_size=8, max_size=60))
def test_a_faithful_display_is_taken_at_its_word(offs: list[int]) -> None:
    display = DisplayResolution()
    for off in (-1, 0, *offs):
        number = Decimal(4410 + off).scaleb(-2)
        assert display.of(number, last_digit(number), MICRO).step == Decimal("0.01")
