"""Columns of numbers as people type them, all at once; the odd ones are left to `parse_number`."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

__all__ = ["PlainNumbers", "plain_numbers"]

_LONGEST = 16  # signs; 15 digits are exact in a float
_GROUP = 3  # digits behind a sign that may part thousands


@dataclass(frozen=True, slots=True)
class PlainNumbers:
    """Numbers of digits and a decimal sign: number = counts / 10**decimals, exact.

    Attributes:
        counts: int64, shape (n,).
        decimals: int64, shape (n,); -1 where a cell holds anything else.
        form: int64, shape (n,): alike in numbers with equally many decimals, digits, and zeros at
            their end.
    """

    counts: "NDArray[np.int64]"
    decimals: "NDArray[np.int64]"
    form: "NDArray[np.int64]"


def plain_numbers(cells: Sequence[str], *, decimal_comma: bool) -> PlainNumbers:
    """The plain numbers of a column.

    Args:
        cells: without spaces around.
        decimal_comma: a point may part thousands; otherwise a comma may.
    """
    import numpy as np

    lengths = np.fromiter(map(len, cells), np.int64, len(cells))
    width = min(int(lengths.max(initial=1)), _LONGEST)
    signs = np.array(cells, f"U{width}").view(np.uint32).reshape(len(cells), width)
    counts = np.zeros(len(cells), np.int64)
    digits, decimals, zeros, parts, odd = (counts.copy() for _ in range(5))
    for sign in np.ascontiguousarray(signs.T):
        digit = sign - ord("0")  # unsigned: all other signs are larger than nine
        is_digit, is_point, is_comma = digit < 10, sign == ord("."), sign == ord(",")
        counts = np.where(is_digit, counts * 10 + digit, counts)
        digits += is_digit
        zeros = np.where(is_digit, np.where(digit == 0, zeros + 1, 0), zeros)
        decimals += is_digit & (parts > 0)
        parts += is_point | is_comma
        odd += is_point if decimal_comma else is_comma
    plain = (digits + parts == lengths) & (digits > 0) & (digits < _LONGEST) & (parts <= 1)
    plain &= (odd == 0) | (decimals != _GROUP)
    significant = np.searchsorted(10 ** np.arange(_LONGEST), counts, side="right")
    form = (decimals * _LONGEST + significant) * _LONGEST + zeros
    return PlainNumbers(counts, np.where(plain, decimals, -1), form)
