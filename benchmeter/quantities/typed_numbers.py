"""Numbers as people type them: decimal point or decimal comma, never a thousands separator."""

import re
from decimal import Decimal

from benchmeter.errors import InputError

__all__ = ["parse_number"]

_NUMBER = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d{1,2})?", re.ASCII)
_GROUPED = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}([eE].*)?", re.ASCII)


def parse_number(text: str) -> Decimal:
    """The number that a person wrote, every digit kept.

    >>> parse_number("44,10")
    Decimal('44.10')

    Raises:
        InputError: empty, not a number, or a comma that may part thousands ("1,234").
    """
    plain = text.strip().replace("−", "-")
    if not plain:
        raise InputError("quantities.no_number")
    if len(plain) > 40 or not _NUMBER.fullmatch(plain):
        raise InputError("quantities.not_a_number", text=text.strip())
    if _GROUPED.fullmatch(plain):
        raise InputError(
            "quantities.comma_may_group",
            text=plain,
            decimal=plain.replace(",", "."),
            grouped=plain.replace(",", ""),
        )
    return Decimal(plain.replace(",", "."))
