"""When a value of a reference part is to be determined again."""

from datetime import date, timedelta
from enum import StrEnum

__all__ = ["SOON", "Due", "due_state"]

SOON = timedelta(days=30)
"""Warned so long before; common practice, no source."""


class Due(StrEnum):
    """Where today lies."""

    NOT_TOLD = "not told"
    GOOD = "good"
    SOON = "soon"
    OVERDUE = "overdue"


def due_state(due: date | None, today: date) -> Due:
    """Whether a calibration is due. It is good on its last day."""
    if due is None:
        return Due.NOT_TOLD
    if today > due:
        return Due.OVERDUE
    return Due.SOON if due - today <= SOON else Due.GOOD
