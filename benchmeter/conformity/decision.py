"""The decision rule: a value, its limits and a guard band give a zone.

ILAC-G8:09/2019 cl. 4.2.3 with guard band w: pass up to w inside a limit, conditional pass up to the
limit, conditional fail up to w outside, fail beyond. The limits belong to the band and each zone
holds its bounds, compared with a relative slack of 1e-9, so that no verdict hangs on a binary
fraction.
"""

from benchmeter.conformity.verdict import Reason, Verdict

__all__ = ["SLACK", "at_least", "zone"]

SLACK = 1e-9
"""Relative; see above."""


def zone(y: float, low: float, high: float, guard: float) -> tuple[Verdict, Reason]:
    """The verdict on y between the limits; all in one unit. A guard band of 0: simple rule."""
    if not at_least(y, low - guard):
        return Verdict.FAIL, Reason.BELOW
    if not at_least(high + guard, y):
        return Verdict.FAIL, Reason.ABOVE
    if not at_least(high - low, 2 * guard):
        return Verdict.UNDECIDABLE, Reason.METER_TOO_COARSE
    if not (at_least(y, low) and at_least(high, y)):
        return Verdict.CONDITIONAL_FAIL, Reason.NEAR_LIMIT_OUTSIDE
    if not (at_least(y, low + guard) and at_least(high - guard, y)):
        return Verdict.CONDITIONAL_PASS, Reason.NEAR_LIMIT_INSIDE
    return Verdict.PASS, Reason.INSIDE if guard else Reason.INSIDE_SIMPLE


def at_least(a: float, b: float) -> bool:
    """a >= b, but for a binary fraction."""
    return a >= b - SLACK * max(abs(a), abs(b))
