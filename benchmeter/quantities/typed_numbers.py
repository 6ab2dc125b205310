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
        raise InputError("There is no number.", "Type it like 44.1 or 44,1.")
    if len(plain) > 40 or not _NUMBER.fullmatch(plain):
        raise InputError(
            f"“{text.strip()[:40]}” is not a number.",
            "Type it like 44.1 or 44,1, without spaces or thousands separators.",
        )
    if _GROUPED.fullmatch(plain):
        raise InputError(
            f"“{plain}” may be {plain.replace(',', '.')} or {plain.replace(',', '')}.",
            "Type it with a point, or without the comma.",
        )
    return Decimal(plain.replace(",", "."))
