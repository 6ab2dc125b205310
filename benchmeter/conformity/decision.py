"""The decision rule: a value, its limits and a guard band give a zone.

ILAC-G8:09/2019 cl. 4.2.3 with guard band w: pass up to w inside a limit, conditional pass up to the
limit, conditional fail up to w outside, fail beyond. The limits belong to the band and each zone
holds its bounds, compared with a relative slack of 1e-9, so that no verdict hangs on a binary
fraction.

The rule is written once, for a number and for an array of numbers: a condition is true or false, or
an array of that.
"""

from collections.abc import Iterable, Iterator
from typing import Any, TypeAlias

from benchmeter.conformity.verdict import Reason, Verdict

__all__ = ["SLACK", "Case", "Numbers", "at_least", "below", "first", "zone", "zones"]

Numbers: TypeAlias = Any
"""A float, or a NumPy array of them; one judged alone must not wait for NumPy."""

SLACK = 1e-9
"""Relative; see above."""

Case = tuple[Any, Verdict, Reason]
"""A condition and what holds under it, if no case before it does."""


def zone(y: float, low: float, high: float, guard: float) -> tuple[Verdict, Reason]:
    """The verdict on y between the limits; all in one unit. A guard band of 0: simple rule."""
    return first(zones(y, low, high, guard))


def zones(y: Numbers, low: float, high: float, guard: Numbers) -> Iterator[Case]:
    """The cases of `zone` in their order; the last one always holds."""
    yield below(y, low - guard), Verdict.FAIL, Reason.BELOW
    yield below(high + guard, y), Verdict.FAIL, Reason.ABOVE
    yield below(high - low, 2 * guard), Verdict.UNDECIDABLE, Reason.METER_TOO_COARSE
    outside = below(y, low) | below(high, y)
    yield outside, Verdict.CONDITIONAL_FAIL, Reason.NEAR_LIMIT_OUTSIDE
    near = below(y, low + guard) | below(high - guard, y)
    yield near, Verdict.CONDITIONAL_PASS, Reason.NEAR_LIMIT_INSIDE
    yield guard != 0, Verdict.PASS, Reason.INSIDE
    yield True, Verdict.PASS, Reason.INSIDE_SIMPLE


def first(cases: Iterable[Case]) -> tuple[Verdict, Reason]:
    """What holds of one number."""
    return next((word, reason) for holds, word, reason in cases if holds)


def at_least(a: Numbers, b: Numbers) -> Any:
    """a >= b, but for a binary fraction."""
    return (a >= b - SLACK * abs(a)) | (a >= b - SLACK * abs(b))


def below(a: Numbers, b: Numbers) -> Any:
    """Not `at_least`."""
    return at_least(a, b) ^ True
