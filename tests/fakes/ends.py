"""Whether a check takes both ends of what it allows, and nothing beyond."""

import math
from collections.abc import Callable
from decimal import Decimal
from typing import TypeVar

import pytest

from benchmeter.errors import InputError

__all__ = ["takes_from_to"]

_N = TypeVar("_N", float, Decimal)


def takes_from_to(check: Callable[[_N], object], low: _N | None, high: _N | None) -> None:
    """It takes both ends and refuses the next number beyond each; None: no end on that side."""
    for end, outward in ((low, -math.inf), (high, math.inf)):
        if end is None:
            continue
        check(end)
        beyond: object = (
            end.next_toward(Decimal(outward))
            if isinstance(end, Decimal)
            else math.nextafter(end, outward)
        )
        with pytest.raises(InputError):
            check(beyond)  # type: ignore[arg-type]
